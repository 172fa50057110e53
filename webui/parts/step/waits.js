/**
 * What waits on its own: holds whose time runs, or has run and nobody has come back to; and plain waits, whose step is the
 * next of the day and reads whether what was changed has come to rest, as what cools. The work that may be done meanwhile
 * is found by the rules by which the day was laid out, and never where the car is being closed up.
 */

/** @import { Instance, Step, Timer } from "../../core/types.js" */
/** @import { Open } from "../../app/types.js" */

import { stepOf } from "../../core/compose.js";
import { judgements, stops } from "../../core/gate.js";
import { amountValue, knowledgeOf } from "../texts/known.js";
import { takenAt } from "./taken.js";

/** @typedef {{ instance: Instance, step: Step, timer: Timer | null, ends_ms: number, wasTooSoon: boolean }} Wait timer: null of a plain wait, which nobody starts; wasTooSoon: somebody looked, and the reading said no */

/** Phones differ by seconds; what was done is ahead of this clock only beyond that. */
const AHEAD_MS = 60_000;

/** @param {Wait} wait @returns {number} seconds; 0 and less once it is over */
export function leftOf({ ends_ms }) {
  return (ends_ms - Date.now()) / 1000;
}

/** In the order of the day. @param {Open} open @returns {Wait[]} */
export function waitsOf(open) {
  const { catalog, composition, visit } = open;
  return composition.steps.flatMap((instance) => {
    if (visit.steps[instance.id]) return [];
    const step = stepOf(catalog, instance);
    const timer = visit.timers[instance.id];
    if (step.kind === "hold") return timer ? [{ instance, step, timer, ends_ms: timer.started_ms + 1000 * (timer.least_s ?? 0), wasTooSoon: false }] : [];
    return plainWaitOf(open, instance) ?? [];
  });
}

/**
 * Its end follows from the entry that changed what it counts from, so it is the same after a reload and on every phone.
 * No clock is asked about: nothing is judged by the minutes, the reading decides. A clock that was set makes somebody look
 * early or late; where it puts the change into the future, it is not known how long it waits.
 *
 * @param {Open} open @param {Instance} instance
 * @returns {Wait | null} null too where the reading is in and says that it is over
 */
export function plainWaitOf(open, instance) {
  const { catalog, composition, visit } = open;
  const step = stepOf(catalog, instance);
  if (step.kind !== "measure" || step.wait_s <= 0 || instance.id !== visit.next || visit.closing_up) return null;
  const begun_ms = begunAt(open, step);
  if (begun_ms === null || begun_ms > Date.now() + AHEAD_MS) return null;
  if (stops(catalog, composition, visit.variables, instance).length) return null;
  const isRead = step.readings.every((name) => takenAt(open, instance, name));
  const wasTooSoon = isRead && judgements(catalog, visit.values, step).some(({ holds }) => holds === false);
  return isRead && !wasTooSoon ? null : { instance, step, timer: null, ends_ms: begun_ms + 1000 * step.wait_s, wasTooSoon };
}

/**
 * When what a step counts from was last changed by a step that stands: oil drips, whatever else is done meanwhile.
 *
 * @param {Open} open @param {Step} step
 * @returns {number | null} milliseconds; null where it counts from its own start
 */
export function begunAt({ catalog, composition, visit }, { since }) {
  if (!since?.length) return null;
  const ends = [...composition.steps, ...composition.standby].flatMap((instance) => {
    const status = visit.steps[instance.id];
    const { makes } = stepOf(catalog, instance);
    return status?.status === "done" && since.some((id) => id in makes) ? [Date.parse(status.at)] : [];
  });
  return ends.length ? Math.max(...ends) : null;
}

/** How long a step that nobody has begun would be waited for all the same. @param {Open} open @param {Instance} instance */
function leftUnbegun(open, instance) {
  const step = stepOf(open.catalog, instance);
  const begun_ms = begunAt(open, step);
  if (begun_ms === null) return 0;
  return (begun_ms - Date.now()) / 1000 + (step.hold ? (amountValue(knowledgeOf(open), step.hold.least) ?? 0) : step.wait_s);
}

/** For how long work is looked for. What took longer than it usually does may take as long again. @param {Wait} wait */
function fillableOf(wait) {
  return Math.max(leftOf(wait), wait.wasTooSoon ? wait.step.wait_s : 0);
}

/** What hands may begin now. What drips already is none of it until it has dripped. @param {Open} open @returns {Promise<string | null>} an instance */
export async function findMeanwhile(open) {
  const { catalog, composition, visit } = open;
  const waiting = waitsOf(open).map((wait) => ({ id: wait.instance.id, left_s: fillableOf(wait) }));
  if (!waiting.length || visit.closing_up) return null;
  const { findWorkMeanwhile } = await import("../../core/meanwhile.js");
  for (;;) {
    const id = findWorkMeanwhile(catalog, composition, visit.variables, behind(open), waiting);
    const found = composition.steps.find((instance) => instance.id === id);
    const left_s = found ? leftUnbegun(open, found) : 0;
    if (!found || left_s <= 0) return id;
    waiting.push({ id: found.id, left_s });
  }
}

/**
 * Where to go on after a step: to what is over, else to what may be done meanwhile, else to what is over first. A block that was
 * begun is finished before anything. A plain wait is nobody's own, and is come to before it is left.
 *
 * @param {Open} open
 * @param {string | null} device whose holds one goes back to unasked: another person stands by theirs
 * @param {boolean} isOut whether the step was out of its turn
 * @returns {Promise<string | null>} an instance; null where it is simply the next of the day
 */
export async function findPlace(open, device, isOut) {
  const { catalog, composition, visit } = open;
  const soonest = waitsOf(open).filter(({ timer }) => timer || isOut).sort((one, other) => one.ends_ms - other.ends_ms);
  if (!soonest.length || visit.closing_up) return null;
  const { findBlockLeft } = await import("../../core/meanwhile.js");
  const over = soonest.find((wait) => leftOf(wait) <= 0 && (!wait.timer || wait.timer.device === device));
  const place = findBlockLeft(catalog, composition, behind(open)) ?? over?.instance.id ?? (await findMeanwhile(open)) ?? soonest[0]?.instance.id;
  return place && place !== visit.next ? place : null;
}

/** Ticked or passed over. @param {Open} open */
function behind({ visit }) {
  return new Set(Object.keys(visit.steps));
}
