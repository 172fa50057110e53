/**
 * Above a step that is done while others wait: what waits, how long still, and the way back to it. A row is the same
 * size before its time is up and after, and does the same, so nothing moves under a finger when a wait ends.
 */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Wait } from "./waits.js" */

import { element } from "../../dom/element.js";
import { waits as words } from "../../app/words/waits.js";
import { TONE_MS } from "../../device/sound.js";
import { say } from "../../device/voice.js";
import { Button, ignoreGhosts } from "../controls/press.js";
import { stepTitle } from "../texts/known.js";
import { ClockWatch, isInDoubt } from "./clock-question.js";
import { keepClockSet, lastClockSet } from "./unfinished.js";
import { leftOf, waitsOf } from "./waits.js";

const BEAT_MS = 1000;

/** @param {App} app @param {(instance: string) => unknown} onGo */
export function WaitsStrip(app, onGo) {
  const spoken = element("p", { class: "only-spoken", role: "status" });
  const list = element("div", { class: "waits-rows" });
  const root = element("section", { class: "waits", "aria-label": words.label, hidden: true }, list, spoken);
  /** @type {Map<string, ReturnType<typeof Row>>} */
  let rows = new Map();
  /** @type {Wait[]} */
  let shown = [];
  /** A clock that is set while nobody looks at a wait is asked about all the same. @type {ReturnType<typeof ClockWatch> | null} */
  let watch = null;
  let beat = 0;

  /** @param {Open} open @param {string | null} current the step on screen, which shows its own time */
  function update(open, current) {
    shown = waitsOf(open).filter(({ instance }) => instance.id !== current);
    if (shown.map(({ instance }) => instance.id).join() !== [...rows.keys()].join()) lay(open);
    showTimes();
  }

  /** @param {Open} open */
  function lay(open) {
    const before = rows;
    rows = new Map(shown.map(({ instance }) => [instance.id, before.get(instance.id) ?? Row(stepTitle(open, instance), () => onGo(instance.id))]));
    list.replaceChildren(...[...rows.values()].map(({ button }) => button));
    root.hidden = rows.size === 0;
    ignoreGhosts();
    rest();
    if (rows.size === 0) return;
    watch = ClockWatch();
    beat = setInterval(showTimes, BEAT_MS);
  }

  function showTimes() {
    const set_ms = watch?.look() ?? 0;
    for (const wait of shown) {
      const { instance, timer } = wait;
      if (set_ms && timer) keepClockSet(timer.event, lastClockSet(timer.event) + set_ms);
      const ended = rows.get(instance.id)?.update(wait, timer !== null && isInDoubt(timer, app.me.device));
      if (ended) tell(ended);
    }
  }

  /** The tone has the first word. @param {string} says */
  function tell(says) {
    spoken.textContent = says;
    if (app.preferences.readAloud) setTimeout(() => say([says]), TONE_MS);
  }

  function rest() {
    clearInterval(beat);
    watch?.dispose();
    watch = null;
  }
  return { root, update, dispose: rest };
}

/** @param {string} title @param {() => unknown} onGo */
function Row(title, onGo) {
  const time = element("b", {});
  const button = Button({ class: "wait-row" }, onGo, element("span", {}, time, element("span", { class: "what" }, title)), element("span", { class: "way" }, words.goBack));
  /** @type {boolean | null} null before it was first shown */
  let wasOver = null;

  /** @param {Wait} wait @param {boolean} inDoubt @returns {string | null} what is to be said, when the time has just run out */
  function update(wait, inDoubt) {
    const isOver = leftOf(wait) <= 0 && !inDoubt && !wait.wasTooSoon;
    const says = inDoubt ? words.inDoubt : leftText(wait);
    if (time.textContent !== says) {
      time.textContent = says;
      button.setAttribute("aria-label", words.rowLabel(title, says));
      button.toggleAttribute("data-over", isOver);
    }
    const hasJustEnded = isOver && wasOver === false;
    wasOver = isOver;
    return hasJustEnded ? (wait.timer ? words.isOver : words.isLikely)(title) : null;
  }
  return { button, update };
}

/** @param {Wait} wait */
function leftText(wait) {
  const left_s = leftOf(wait);
  if (!wait.timer) return left_s > 0 ? words.about(Math.ceil(left_s / 60)) : wait.wasTooSoon ? words.lookAgain : words.likelyLook;
  if (left_s > 0) return words.left(Math.ceil(left_s / 60));
  return left_s > -60 ? words.over : words.overFor(Math.floor(-left_s / 60));
}
