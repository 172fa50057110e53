/** Named positions, each held: the one to be in now is the largest thing on the screen. */

/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { unlockSound } from "../../device/sound.js";
import { say } from "../../device/voice.js";
import { amountValue, itemText } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { ClockQuestion } from "./clock-question.js";
import { ActionButton, Foot, Waiting } from "./context.js";

/** @param {StepContext} context @returns {StepKind} */
export function CycleStep(context) {
  const { step, instance } = context;
  const { catalog, visit } = context.open();
  const listed = visit.values[step.positions ?? ""];
  const positions = Array.isArray(listed) ? listed : [];
  const names = positions.map((position) => itemText(catalog, step.positions, position));
  const now = element("b", { class: "position" });
  const left = element("span", { class: "left" });
  const list = element("ol", { class: "positions" }, ...names.map((name) => element("li", {}, element("span", {}, name))));
  // The seconds that go by are seen, not said.
  const spoken = element("p", { class: "only-spoken", role: "status" });
  const question = ClockQuestion(context);
  const turn = element("div", { class: "now" }, now, left);
  const panel = element("div", { class: "panel cycle" }, question.root, turn, list, spoken);
  const foot = Foot();
  const clock = setInterval(update, 250);
  let shown = "";

  const least = () => amountValue(context.knowledge(), step.hold?.least) ?? 0;

  /** @param {number} at */
  function hold(at) {
    const position = positions[at] ?? "";
    if (context.app.preferences.sound) void unlockSound();
    return context.record("timer-started", { step: instance.id, position, started_ms: Date.now(), least_s: least(), most_s: null });
  }

  function update() {
    const timer = context.open().visit.timers[instance.id];
    const asked = question.ask(timer);
    turn.hidden = asked !== null;
    if (asked) return showQuestion(asked);
    const at = timer ? turnOf(context) : -1;
    const left_s = timer ? (timer.least_s ?? least()) - (Date.now() - timer.started_ms) / 1000 : 0;
    const isHeld = at >= 0 && left_s > 0;
    const ahead = isHeld ? at : at + 1;
    now.textContent = names[Math.min(ahead, names.length - 1)] ?? "";
    left.textContent = words.timers.span(isHeld ? Math.ceil(left_s) : least());
    [...list.children].forEach((item, index) => {
      item.setAttribute("data-turn", index < ahead ? "done" : index === ahead ? "next" : "later");
    });
    showAction(ahead >= names.length ? "done" : isHeld ? `held ${at}` : `next ${ahead}`, ahead, isHeld);
  }

  /** @param {HTMLElement} choices */
  function showQuestion(choices) {
    shown = "asked";
    if (foot.firstElementChild !== choices) foot.replaceChildren(choices);
  }

  /** @param {string} state @param {number} ahead @param {boolean} isHeld */
  function showAction(state, ahead, isHeld) {
    if (shown === state) return;
    spoken.textContent = shown ? spokenTurn(ahead, isHeld) : "";
    if (shown && context.app.preferences.readAloud) void say([spokenTurn(ahead, isHeld)]);
    shown = state;
    if (ahead >= names.length) foot.replaceChildren(ActionButton(context));
    else if (!isHeld) foot.replaceChildren(Button({ class: "action" }, () => hold(ahead), words.work.inPosition(names[ahead] ?? "")));
    else foot.replaceChildren(Waiting(words.work.holding(names[ahead] ?? "")));
  }

  /** @param {number} ahead @param {boolean} isHeld */
  function spokenTurn(ahead, isHeld) {
    const name = names[ahead] ?? "";
    if (ahead >= names.length) return words.aloud.lastHeld;
    return isHeld ? words.aloud.hold(name, words.aloud.span(least())) : words.aloud.nextPosition(name);
  }

  return { picture: null, panel, foot, hasOwnNumber: true, update, dispose };

  function dispose() {
    clearInterval(clock);
    question.dispose();
  }
}

/**
 * Which turn is on: as many as were begun since the step was last begun afresh. Counted, because a list may pass
 * through one position twice; a start told by a wrong clock and put right is one start.
 *
 * @param {StepContext} context
 */
function turnOf({ open, instance }) {
  const { events, visit } = open();
  const inForce = events.filter(({ id }) => !visit.undone.includes(id));
  const afresh = inForce.findLastIndex(({ kind, payload }) => kind === "went-back" && payload.from === instance.id);
  return inForce.slice(afresh + 1).filter(({ kind, payload }) => kind === "timer-started" && payload.step === instance.id && !payload.corrects).length - 1;
}
