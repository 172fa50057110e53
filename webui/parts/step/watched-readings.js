/**
 * The readings of a watch and what they tell: where the last one stands, and when the window is met. An old reading is
 * not believed, and neither is one whose moment cannot be told because the phone's clock was set since.
 */

/** @import { Taken } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */
/** @import { Forecast } from "./window-forecast.js" */

import { SET_MS } from "../../core/clock.js";
import { amountValue } from "../texts/known.js";
import { ClockWatch } from "./clock-question.js";
import { keepClockSet, lastClockSet } from "./unfinished.js";
import { forecast } from "./window-forecast.js";

/** @typedef {"none" | "below" | "inside" | "above" | "old"} Standing */

/** Phones differ by seconds; a reading that another made is ahead of this clock only beyond that. */
const OTHERS_MS = 60_000;

/** @param {StepContext} context */
export function WatchedReadings(context) {
  const { step, instance } = context;
  const name = step.window?.reading ?? step.readings[0] ?? "";
  const watch = ClockWatch();
  /** Worked out once a reading, not once a second. @type {{ event: string, told: Forecast | null }} */
  let worked = { event: "", told: null };

  const reading = () => context.open().catalog.readings[name];
  const bounds = () => ({
    from: amountValue(context.knowledge(), step.window?.from) ?? -Infinity,
    to: amountValue(context.knowledge(), step.window?.to) ?? Infinity,
  });

  /** Only what was read since this step was last begun afresh. @returns {Taken[]} */
  function points() {
    const { visit, events } = context.open();
    const isBack = /** @param {import("../../core/types.js").Event} event */ (event) =>
      event.kind === "went-back" && event.payload.from === instance.id && !visit.undone.includes(event.id);
    const begun = events.findLastIndex(isBack);
    const since = new Set(events.slice(begun + 1).map(({ id }) => id));
    return (visit.readings[name] ?? []).filter((taken) => taken.step === instance.id && since.has(taken.event));
  }

  /** To be called as long as the watch is on screen. */
  function lookAtClock() {
    const set_ms = watch.look();
    const last = set_ms ? points().at(-1) : undefined;
    if (last) keepClockSet(last.event, lastClockSet(last.event) + set_ms);
  }

  /** Whether how long ago it was made cannot be told. @param {Taken} taken */
  function isUntimed(taken) {
    const slack_ms = taken.device === context.app.me.device ? SET_MS : OTHERS_MS;
    return lastClockSet(taken.event) !== 0 || Date.parse(taken.at) > Date.now() + slack_ms;
  }

  /** @param {Taken | undefined} last @returns {Standing} */
  function standing(last) {
    if (!last) return "none";
    const { from, to } = bounds();
    if (last.value > to) return "above";
    if (isUntimed(last)) return "old";
    if (last.value < from) return "below";
    return Date.now() - Date.parse(last.at) > 2000 * (step.window?.every_s ?? 60) ? "old" : "inside";
  }

  /** From those readings whose moments are all told by one clock. @param {Taken[]} taken */
  function outlook(taken) {
    const event = taken.at(-1)?.event ?? "";
    if (event !== worked.event) {
      const timed = taken.slice(taken.findLastIndex(isUntimed) + 1);
      const { from, to } = bounds();
      const told = timed.map((one) => ({ at_ms: Date.parse(one.at), value: one.value }));
      worked = { event, told: forecast(context.open().catalog, told, from, to) };
    }
    return worked.told;
  }

  return { name, reading, bounds, points, lookAtClock, isUntimed, standing, outlook, dispose: watch.dispose };
}
