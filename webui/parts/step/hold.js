/**
 * Wait. The deadline is stored, not counted: after a lock or a reload it is still true, and it says how long ago it
 * passed. A least time is satisfied by time gone by; a most that was passed is said, not hidden. A hold with `since`
 * counts from the step that last changed what it names: oil drips, whatever else is done meanwhile.
 */

/** @import { StepContext, StepKind } from "./context.js" */

import { stepOf } from "../../core/compose.js";
import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { canBeHeard, unlockSound } from "../../device/sound.js";
import { say } from "../../device/voice.js";
import { amountValue } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { timeText } from "../texts/reading-words.js";
import { ClockQuestion } from "./clock-question.js";
import { ActionButton, Foot } from "./context.js";
import { TimerRing } from "../drawings/timer-ring.js";

/** The tone at the end has the first word. */
const AFTER_TONE_MS = 1800;

/** @param {StepContext} context @returns {StepKind} */
export function HoldStep(context) {
  const { step, instance } = context;
  const ring = TimerRing();
  const spoken = element("p", { class: "only-spoken", "aria-live": "polite" });
  const over = element("p", { class: "overtime" });
  const heard = element("p", { class: "quiet heard" });
  const question = ClockQuestion(context);
  const panel = element("div", { class: "panel" }, question.root, ring.root, over, heard, spoken);
  const foot = Foot();
  const clock = setInterval(update, 500);
  let shown = "";

  const least = () => amountValue(context.knowledge(), step.hold?.least) ?? 0;
  const most = () => amountValue(context.knowledge(), step.hold?.most);

  function start() {
    if (context.app.preferences.sound) void unlockSound();
    return context.record("timer-started", { step: instance.id, started_ms: begunAt(context) ?? Date.now(), least_s: least(), most_s: most() });
  }

  /** What has run its time before anyone came to start it. @returns {{ started_ms: number, least_s: number, most_s: number | null } | undefined} */
  function runThrough() {
    const started_ms = begunAt(context);
    if (started_ms === null || Date.now() - started_ms < least() * 1000) return undefined;
    return { started_ms, least_s: least(), most_s: most() };
  }

  function update() {
    const asked = question.ask(context.open().visit.timers[instance.id]);
    ring.root.toggleAttribute("hidden", asked !== null);
    if (asked) return showQuestion(asked);
    const timer = context.open().visit.timers[instance.id] ?? runThrough();
    const gone = timer ? (Date.now() - timer.started_ms) / 1000 : 0;
    const least_s = timer?.least_s ?? least();
    const left_s = least_s - gone;
    const isOver = Boolean(timer) && left_s <= 0;
    ring.update({ left_s, least_s, isOver, says: holdText(timer, left_s, least_s) });
    over.textContent = timer ? overText(timer.most_s ?? null, gone) : "";
    const says = timer ? spokenTime(left_s, timer.most_s ?? null, gone) : "";
    if (spoken.textContent !== says) spoken.textContent = says;
    heard.textContent = timer && !isOver ? heardText(context.app) : "";
    showAction(timer ? (isOver ? "over" : "running") : "waiting", least_s);
  }

  /** Until it is answered, nothing is said of the time. @param {HTMLElement} choices */
  function showQuestion(choices) {
    over.textContent = heard.textContent = spoken.textContent = "";
    shown = "asked";
    if (foot.firstElementChild !== choices) foot.replaceChildren(choices);
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

  return { picture: null, panel, foot, hasOwnNumber: true, update, dispose };

  function dispose() {
    clearInterval(clock);
    question.dispose();
  }
}

/** What is said of the time without being asked: once a minute, as every second would drown all else. @param {number} left_s @param {number | null} most_s @param {number} gone_s */
function spokenTime(left_s, most_s, gone_s) {
  if (left_s > 0) return words.timers.minutesLeft(Math.ceil(left_s / 60));
  if (most_s === null) return words.timers.over;
  const past_s = gone_s - most_s;
  return `${words.timers.over} ${overText(most_s, most_s + Math.sign(past_s) * 60 * Math.ceil(Math.abs(past_s) / 60))}`;
}

/** When what a hold counts from was last changed by a step that stands; null where it counts from its own start. @param {StepContext} context */
function begunAt({ step, open }) {
  const { catalog, composition, visit } = open();
  const ends = composition.steps.flatMap((instance) => {
    const status = visit.steps[instance.id];
    const { makes } = stepOf(catalog, instance);
    return status?.status === "done" && step.since?.some((id) => id in makes) ? [Date.parse(status.at)] : [];
  });
  return ends.length ? Math.max(...ends) : null;
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
