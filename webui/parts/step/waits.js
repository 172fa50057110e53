/**
 * What waits on its own: holds whose time runs, or has run and nobody has come back to. The work that may be done
 * meanwhile is found by the rules by which the day was laid out, and never where the car is being closed up.
 */

/** @import { Instance, Step, Timer } from "../../core/types.js" */
/** @import { Open } from "../../app/types.js" */

import { stepOf } from "../../core/compose.js";
import { amountValue, knowledgeOf } from "../texts/known.js";

/** @typedef {{ instance: Instance, step: Step, timer: Timer, left_s: number }} Wait left_s: 0 and less once it is over */

/** @param {Timer} timer @returns {number} seconds; 0 and less once it is over */
export function leftOfTimer({ started_ms, least_s }) {
  return (started_ms - Date.now()) / 1000 + (least_s ?? 0);
}

/** In the order of the day. @param {Open} open @returns {Wait[]} */
export function waitsOf({ catalog, composition, visit }) {
  return composition.steps.flatMap((instance) => {
    const timer = visit.timers[instance.id];
    if (!timer || visit.steps[instance.id]) return [];
    const step = stepOf(catalog, instance);
    if (step.kind !== "hold") return [];
    return [{ instance, step, timer, left_s: leftOfTimer(timer) }];
  });
}

/**
 * When what a hold counts from was last changed by a step that stands: oil drips, whatever else is done meanwhile.
 *
 * @param {Open} open @param {Step} step
 * @returns {number | null} null where it counts from its own start
 */
export function begunAt({ catalog, composition, visit }, step) {
  const ends = composition.steps.flatMap((instance) => {
    const status = visit.steps[instance.id];
    const { makes } = stepOf(catalog, instance);
    return status?.status === "done" && step.since?.some((id) => id in makes) ? [Date.parse(status.at)] : [];
  });
  return ends.length ? Math.max(...ends) : null;
}

/** How long a step that nobody has begun would be waited for all the same. @param {Open} open @param {Instance} instance */
function leftOf(open, instance) {
  const step = stepOf(open.catalog, instance);
  const begun_ms = begunAt(open, step);
  if (begun_ms === null) return 0;
  return (begun_ms - Date.now()) / 1000 + (amountValue(knowledgeOf(open), step.hold?.least) ?? 0);
}

/** What hands may begin now. What drips already is none of it until it has dripped. @param {Open} open @returns {Promise<string | null>} an instance */
export async function findMeanwhile(open) {
  const { catalog, composition, visit } = open;
  const waiting = waitsOf(open).map(({ instance, left_s }) => ({ id: instance.id, left_s: Math.max(0, left_s) }));
  if (!waiting.length || visit.closing_up) return null;
  const { findWorkMeanwhile } = await import("../../core/meanwhile.js");
  for (;;) {
    const id = findWorkMeanwhile(catalog, composition, visit.variables, behind(open), waiting);
    const found = composition.steps.find((instance) => instance.id === id);
    const left_s = found ? leftOf(open, found) : 0;
    if (!found || left_s <= 0) return id;
    waiting.push({ id: found.id, left_s });
  }
}

/**
 * Where to go on after a step: to what is over, else to what may be done meanwhile, else to what is over first. A block that was
 * begun is finished before anything.
 *
 * @param {Open} open
 * @param {string | null} device whose waits one goes back to unasked: another person stands by theirs
 * @returns {Promise<string | null>} an instance; null where it is simply the next of the day
 */
export async function findPlace(open, device) {
  const { catalog, composition, visit } = open;
  const soonest = waitsOf(open).sort((one, other) => one.left_s - other.left_s);
  if (!soonest.length || visit.closing_up) return null;
  const { findBlockLeft } = await import("../../core/meanwhile.js");
  const over = soonest.find(({ timer, left_s }) => left_s <= 0 && timer.device === device);
  const place = findBlockLeft(catalog, composition, behind(open)) ?? over?.instance.id ?? (await findMeanwhile(open)) ?? soonest[0]?.instance.id;
  return place && place !== visit.next ? place : null;
}

/** Ticked or passed over. @param {Open} open */
function behind({ visit }) {
  return new Set(Object.keys(visit.steps));
}
