/**
 * Wait. The deadline is stored, not counted: after a lock or a reload it is still true, and it says how long ago it
 * passed. A least time is satisfied by time gone by; a most that was passed is said, not hidden. A hold with `since`
 * counts from the step that last changed what it names: oil drips, whatever else is done meanwhile.
 */

/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { canBeHeard, TONE_MS, unlockSound } from "../../device/sound.js";
import { say } from "../../device/voice.js";
import { amountValue } from "../texts/known.js";
import { Button, ignoreGhosts } from "../controls/press.js";
import { timeText } from "../texts/reading-words.js";
import { ClockQuestion } from "./clock-question.js";
import { ActionButton, Foot, Waiting } from "./context.js";
import { MeanwhileOffer } from "./meanwhile-offer.js";
import { begunAt } from "./waits.js";
import { TimerRing } from "../drawings/timer-ring.js";

/** @typedef {{ started_ms: number, least_s?: number | null, most_s?: number | null }} Run */

/** @param {StepContext} context @returns {StepKind} */
export function HoldStep(context) {
  const time = HoldTime(context);
  const question = ClockQuestion(context);
  const panel = element("div", { class: "panel" }, question.root, ...time.parts);
  const foot = HoldFoot(context, start);
  const clock = setInterval(update, 500);

  const least = () => amountValue(context.knowledge(), context.step.hold?.least) ?? 0;
  const most = () => amountValue(context.knowledge(), context.step.hold?.most);

  function start() {
    if (context.app.preferences.sound) void unlockSound();
    return context.record("timer-started", { step: context.instance.id, started_ms: begunAt(context.open(), context.step) ?? Date.now(), least_s: least(), most_s: most() });
  }

  /** What has run its time before anyone came to start it. @returns {Run | undefined} */
  function runThrough() {
    const started_ms = begunAt(context.open(), context.step);
    if (started_ms === null || Date.now() - started_ms < least() * 1000) return undefined;
    return { started_ms, least_s: least(), most_s: most() };
  }

  function update() {
    const asked = question.ask(context.open().visit.timers[context.instance.id]);
    time.hide(asked !== null);
    if (asked) return foot.ask(asked);
    const run = context.open().visit.timers[context.instance.id] ?? runThrough();
    const least_s = run?.least_s ?? least();
    const isOver = time.update(run, least_s);
    foot.update(run ? (isOver ? "over" : "running") : "waiting", least_s);
  }

  return { picture: null, panel, foot: foot.root, hasOwnNumber: true, update, dispose };

  function dispose() {
    clearInterval(clock);
    question.dispose();
  }
}

/** The time as it is seen and said. @param {StepContext} context */
function HoldTime(context) {
  const ring = TimerRing();
  const spoken = element("p", { class: "only-spoken", "aria-live": "polite" });
  const over = element("p", { class: "overtime" });
  const heard = element("p", { class: "quiet heard" });

  /** Until it is answered how long it has run, nothing is said of the time. @param {boolean} isHidden */
  function hide(isHidden) {
    ring.root.toggleAttribute("hidden", isHidden);
    if (isHidden) over.textContent = heard.textContent = spoken.textContent = "";
  }

  /** @param {Run | undefined} run @param {number} least_s @returns {boolean} whether it has lasted long enough */
  function update(run, least_s) {
    const gone_s = run ? (Date.now() - run.started_ms) / 1000 : 0;
    const left_s = least_s - gone_s;
    const isOver = run !== undefined && left_s <= 0;
    ring.update({ left_s, least_s, isOver, says: holdText(run, left_s, least_s) });
    over.textContent = run ? overText(run.most_s ?? null, gone_s) : "";
    const says = run ? spokenTime(left_s, run.most_s ?? null, gone_s) : "";
    if (spoken.textContent !== says) spoken.textContent = says;
    heard.textContent = run && !isOver ? heardText(context.app) : "";
    return isOver;
  }
  return { parts: [ring.root, over, heard, spoken], hide, update };
}

/** The action: to start, to wait or do something else meanwhile, to go on. @param {StepContext} context @param {() => unknown} start */
function HoldFoot(context, start) {
  const root = Foot();
  const offer = MeanwhileOffer(context, () => draw(0));
  let state = "";
  let drawn = "";

  /** @param {HTMLElement} choices */
  function ask(choices) {
    state = drawn = "asked";
    if (root.firstElementChild !== choices) root.replaceChildren(choices);
  }

  /** @param {"waiting" | "running" | "over"} now @param {number} least_s */
  function update(now, least_s) {
    if (state === "running" && now === "over") tellOver();
    state = now;
    if (state === "running") offer.look();
    draw(least_s);
  }

  /** @param {number} least_s */
  function draw(least_s) {
    const wanted = state === "running" ? `running ${offer.step()}` : state;
    if (drawn === wanted) return;
    drawn = wanted;
    if (state === "over") root.replaceChildren(ActionButton(context));
    else if (state === "waiting") root.replaceChildren(Button({ class: "action" }, start, words.timers.start(words.timers.span(least_s))));
    else if (state === "running") root.replaceChildren(...[offer.button(), Waiting(words.timers.running)].filter((one) => one !== null));
  }

  function tellOver() {
    ignoreGhosts(); // the offer beside it goes
    if (context.app.preferences.readAloud) setTimeout(() => say([words.timers.over]), TONE_MS);
  }
  return { root, ask, update };
}

/** What is said of the time without being asked: once a minute, as every second would drown all else. @param {number} left_s @param {number | null} most_s @param {number} gone_s */
function spokenTime(left_s, most_s, gone_s) {
  if (left_s > 0) return words.timers.minutesLeft(Math.ceil(left_s / 60));
  if (most_s === null) return words.timers.over;
  const past_s = gone_s - most_s;
  return `${words.timers.over} ${overText(most_s, most_s + Math.sign(past_s) * 60 * Math.ceil(Math.abs(past_s) / 60))}`;
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
