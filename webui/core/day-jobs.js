/** The steps of a day as pieces of work: how long each takes, and which must have ended before which. */

/** @import { Catalog, Composition, Instance, Step } from "./types.js" */
/** @import { Learned } from "./durations.js" */

import { stepOf, targets } from "./compose.js";
import { tellDurations } from "./durations.js";

/** @typedef {{ at: number, instance: Instance, step: Step, work_s: number, wait_s: number }} Job one instance of the day */

/** @param {Catalog} catalog @param {Composition} composition @param {Learned | null} learned @returns {Job[]} */
export function jobsOf(catalog, composition, learned) {
  const durations = tellDurations(catalog, composition, learned);
  return composition.steps.map((instance, at) => {
    const { work_s = 0, wait_s = 0 } = durations[instance.id] ?? {};
    return { at, instance, step: stepOf(catalog, instance), work_s, wait_s };
  });
}

/**
 * The steps that must have ended before each one may begin, by place in the day.
 *
 * @param {Catalog} catalog @param {Composition} composition @param {Job[]} jobs
 * @returns {number[][]}
 */
export function findBefore(catalog, composition, jobs) {
  const touched = jobs.map(({ step, instance }) => {
    const touches = /** @param {Record<string, unknown>} named */ (named) => new Set(Object.keys(named).flatMap((base) => targets(catalog, composition, instance, base)));
    // What a wait counts from stays as it is until it is over.
    const since = Object.fromEntries((step.since ?? []).map((id) => [id, true]));
    return { job: step.job, needs: touches({ ...step.needs, ...since }), makes: touches(step.makes) };
  });
  /** @type {number[]} */
  let sinceShared = [];
  let shared = -1;
  return jobs.map(({ step }, at) => {
    const mine = /** @type {Touched} */ (touched[at]);
    const near = touched.slice(0, at).flatMap((other, place) => (dependsOn(mine, other, !step.meanwhile) ? [place] : []));
    if (step.meanwhile) return near;
    const isShared = catalog.jobs[step.job]?.shared === true;
    const before = [...(isShared ? sinceShared : near), ...(shared >= 0 ? [shared] : [])];
    if (isShared) [shared, sinceShared] = [at, []];
    else sinceShared = [...sinceShared, at];
    return [...new Set(before)];
  });
}

/** @typedef {{ job: string, needs: Set<string>, makes: Set<string> }} Touched */

/** Whether two steps touch one thing of the car, one of them changing it; or are of one service. @param {Touched} later @param {Touched} earlier @param {boolean} keepsOrder */
function dependsOn(later, earlier, keepsOrder) {
  if (keepsOrder && later.job === earlier.job) return true;
  const meets = /** @param {Set<string>} one @param {Set<string>} other */ (one, other) => [...one].some((id) => other.has(id));
  return meets(earlier.makes, later.needs) || meets(earlier.makes, later.makes) || meets(earlier.needs, later.makes);
}

/** Two steps of one block and one item follow each other at once: an open nipple is not left. @param {Pick<Job, "step" | "instance">} one @param {Pick<Job, "step" | "instance">} other */
export function isSameBlock(one, other) {
  return one.step.block !== null && one.step.block !== undefined && one.step.block === other.step.block && one.step.job === other.step.job && one.instance.item === other.instance.item;
}
