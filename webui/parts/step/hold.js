/**
 * Wait. The deadline is stored, not counted: after a lock or a reload it is still true, and it says how long ago it
 * passed. A least time is satisfied by time gone by; a most that was passed is said, not hidden.
 */

/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { canBeHeard, unlockSound } from "../../device/sound.js";
import { say } from "../../device/voice.js";
import { amountValue } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { timeText } from "../texts/reading-words.js";
import { ActionButton, Foot } from "./context.js";
import { TimerRing } from "../drawings/timer-ring.js";

/** The tone at the end has the first word. */
const AFTER_TONE_MS = 1800;

/** @param {StepContext} context @returns {StepKind} */
export function HoldStep(context) {
  const { step, instance } = context;
  const ring = TimerRing();
  const spoken = element("p", { class: "only-spoken", "aria-live": "polite" });
  const over = element("p", { class: "overtime", role: "status" });
  const heard = element("p", { class: "quiet heard" });
  const panel = element("div", { class: "panel" }, ring.root, over, heard, spoken);
  const foot = Foot();
  const clock = setInterval(update, 500);
  let shown = "";

  const least = () => amountValue(context.knowledge(), step.hold?.least) ?? 0;
  const most = () => amountValue(context.knowledge(), step.hold?.most);

  function start() {
    if (context.app.preferences.sound) void unlockSound();
    return context.record("timer-started", { step: instance.id, started_ms: Date.now(), least_s: least(), most_s: most() });
  }

  function update() {
    const timer = context.open().visit.timers[instance.id];
    const gone = timer ? (Date.now() - timer.started_ms) / 1000 : 0;
    const least_s = timer?.least_s ?? least();
    const left_s = least_s - gone;
    const isOver = Boolean(timer) && left_s <= 0;
    ring.update({ left_s, least_s, isOver, says: holdText(timer, left_s, least_s) });
    over.textContent = timer ? overText(timer.most_s ?? null, gone) : "";
    const minutes = Math.ceil(left_s / 60);
    const says = timer && !isOver && minutes > 0 ? words.timers.minutesLeft(minutes) : isOver ? words.timers.over : "";
    if (spoken.textContent !== says) spoken.textContent = says;
    heard.textContent = timer && !isOver ? heardText(context.app) : "";
    showAction(timer ? (isOver ? "over" : "running") : "waiting", least_s);
  }

  /** @param {"waiting" | "running" | "over"} state @param {number} least_s */
  function showAction(state, least_s) {
    if (shown === state) return;
    if (shown === "running" && state === "over" && context.app.preferences.readAloud) setTimeout(() => say([words.timers.over]), AFTER_TONE_MS);
    shown = state;
    if (state === "over") foot.replaceChildren(ActionButton(context));
    else if (state === "waiting") foot.replaceChildren(Button({ class: "action" }, start, words.timers.start(words.timers.span(least_s))));
    else {
      const waiting = Button({ class: "action" }, () => {}, words.timers.running);
      waiting.setAttribute("aria-disabled", "true");
      foot.replaceChildren(waiting);
    }
  }

  return { picture: null, panel, foot, hasOwnNumber: true, update, dispose: () => clearInterval(clock) };
}

/** Whether the end will be heard, as it stands now. @param {import("../../app/types.js").App} app */
export function heardText({ preferences }) {
  if (!preferences.sound) return words.timers.silent;
  return canBeHeard() ? words.timers.heard : words.timers.notHeard;
}

/**
 * @param {{ started_ms: number } | undefined} timer
 * @param {number} left_s
 * @param {number} least_s
 */
export function holdText(timer, left_s, least_s) {
  if (!timer) return words.timers.atLeast(words.timers.span(least_s));
  if (left_s > 0) return words.timers.until(timeText(timer.started_ms + least_s * 1000));
  return words.timers.ended(words.timers.span(left_s > -60 ? -left_s : Math.floor(-left_s / 60) * 60));
}

/** @param {number | null} most_s @param {number} gone_s */
export function overText(most_s, gone_s) {
  if (most_s === null) return "";
  return gone_s > most_s ? words.timers.tooLong(words.timers.span(gone_s - most_s)) : words.timers.finishWithin(words.timers.span(most_s - gone_s));
}
