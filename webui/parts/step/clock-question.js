/**
 * A clock that was set while a wait runs is asked about, never silently believed: the two ways to count are offered, and
 * the answer is an entry, so that every phone and the record judge alike.
 *
 * Only looks between which the page was in sight all the time are compared: while a phone sleeps its running time may
 * stand still, and that is no clock that was set.
 */

/** @import { Timer } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */

import { SET_MS, setBetween } from "../../core/clock.js";
import { element } from "../../dom/element.js";
import { clockSet } from "../../app/words/clock-set.js";
import { words } from "../../app/words.js";
import { Button } from "../controls/press.js";
import { timeText } from "../texts/reading-words.js";
import { Pair } from "./context.js";
import { forgetClockSet, keepClockSet, lastClockSet } from "./unfinished.js";

/** Phones differ by seconds; a start that another told is ahead of this clock only beyond that. */
const OTHERS_MS = 60_000;

/** Looks at the clock for as long as a step is on screen: with each frame that is drawn, as only those are drawn in sight. */
export function ClockWatch() {
  /** From the first moment on: a clock may be set before anything is drawn. @type {{ wall_ms: number, ran_ms: number } | null} null after the page was out of sight */
  let last = document.visibilityState === "visible" ? { wall_ms: Date.now(), ran_ms: performance.now() } : null;
  let set_ms = 0;
  let frame = 0;
  const forget = () => void (last = null);
  document.addEventListener("visibilitychange", forget);

  /** @param {number} ran_ms */
  function see(ran_ms) {
    frame = 0;
    if (document.visibilityState !== "visible") return forget();
    const now = { wall_ms: Date.now(), ran_ms };
    set_ms += last ? setBetween(last, now) : 0;
    last = now;
  }

  /** How far it was set since the last look. @returns {number} milliseconds */
  function look() {
    frame ||= requestAnimationFrame(see);
    const seen_ms = set_ms;
    set_ms = 0;
    return seen_ms;
  }

  function dispose() {
    cancelAnimationFrame(frame);
    document.removeEventListener("visibilitychange", forget);
  }
  return { look, dispose };
}

/** What a wait is judged by: while both ways to count it say the same, nobody need be asked. @param {Timer} timer @param {number} ran_ms */
function judged({ least_s, most_s }, ran_ms) {
  if (ran_ms < (least_s ?? 0) * 1000) return ran_ms;
  return most_s !== null && ran_ms > most_s * 1000 ? ran_ms : "long enough";
}

/** Whether it must be asked how long a wait has run: a clock was set, or its start is yet to come. @param {Timer} timer @param {string | null} device this phone */
export function isInDoubt(timer, device) {
  const by_ms = lastClockSet(timer.event);
  const gone_ms = Date.now() - timer.started_ms;
  const slack_ms = timer.device === device ? SET_MS : OTHERS_MS;
  return gone_ms < -slack_ms || (Math.abs(by_ms) > SET_MS && judged(timer, gone_ms) !== judged(timer, gone_ms - by_ms));
}

/** @param {StepContext} context */
export function ClockQuestion(context) {
  const { instance } = context;
  const watch = ClockWatch();
  const says = element("p", {});
  const root = element("section", { class: "moved-on clock-set", role: "status", hidden: true }, element("p", {}, element("b", {}, clockSet.title)), says);
  let shown = "";

  /** @param {Timer} timer @param {number} ran_ms */
  function correct(timer, ran_ms) {
    const { position, least_s, most_s, event } = timer;
    return async () => {
      const started_ms = Date.now() - ran_ms;
      const kept = await context.record("timer-started", { step: instance.id, ...(position && { position }), started_ms, least_s, most_s, corrects: event });
      if (kept) forgetClockSet(event);
    };
  }

  /**
   * To be called as long as a wait runs.
   *
   * @param {Timer | undefined} timer
   * @returns {HTMLElement | null} what is to be answered before anything else; null where nothing is
   */
  function ask(timer) {
    const set_ms = watch.look();
    if (timer && set_ms) keepClockSet(timer.event, lastClockSet(timer.event) + set_ms);
    const isAsked = timer !== undefined && isInDoubt(timer, context.app.me.device);
    root.hidden = !isAsked;
    if (!timer || !isAsked) {
      shown = "";
      return null;
    }
    return choices(timer, Date.now() - timer.started_ms, lastClockSet(timer.event));
  }

  /** @type {HTMLElement} */
  let foot = element("div", {});

  /** @param {Timer} timer @param {number} gone_ms by the clock as it is now @param {number} by_ms */
  function choices(timer, gone_ms, by_ms) {
    const seen_ms = gone_ms - by_ms;
    const span = /** @param {number} ms */ (ms) => words.timers.span(ms < 60_000 ? ms / 1000 : 60 * Math.floor(ms / 60_000));
    const canBeSeen = by_ms !== 0 && seen_ms >= 0;
    const wanted = [timer.event, by_ms, canBeSeen && span(seen_ms), gone_ms >= 0 && span(gone_ms)].join("|");
    if (wanted === shown) return foot;
    shown = wanted;
    says.textContent = by_ms ? (by_ms > 0 ? clockSet.forward : clockSet.back)(words.timers.span(Math.abs(by_ms) / 1000)) : clockSet.ahead(timeText(timer.started_ms));
    const began_ms = { seen: timer.started_ms + by_ms, clock: timer.started_ms };
    const offers = [
      canBeSeen ? Button({ class: "action" }, () => correct(timer, Date.now() - began_ms.seen)(), clockSet.byRunning(span(seen_ms))) : null,
      gone_ms >= 0 ? Button({ class: "second" }, () => correct(timer, Date.now() - began_ms.clock)(), clockSet.byClock(span(gone_ms))) : null,
    ].filter((one) => one !== null);
    if (offers.length < 2) offers.push(Button({ class: offers.length ? "second" : "action" }, () => correct(timer, 0)(), clockSet.fromNow));
    const [first, second] = offers;
    foot = first && second ? Pair(first, second) : /** @type {HTMLElement} */ (first);
    return foot;
  }

  return { root, ask, dispose: watch.dispose };
}
