/** What hands may do while a step of the visit waits: asked in the middle of a day, answered by the rules that lay one out. */

/** @import { Catalog, Composition } from "./types.js" */
/** @import { Job } from "./day-jobs.js" */
/** @import { State } from "./day.js" */

import { stepOf } from "./compose.js";
import { Day } from "./day.js";
import { findBefore, isSameBlock, jobsOf } from "./day-jobs.js";

/** Asked at every tick of one visit; what stands before what does not change in between. @type {WeakMap<Composition, { jobs: Job[], before: number[][] }>} */
const grounds = new WeakMap();

/**
 * What one pair of hands may do now while steps wait.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {State} state of the car as it is now
 * @param {Set<string>} done instances that were ticked or passed over
 * @param {{ id: string, left_s: number }[]} waiting instances whose time runs, and how much of it is left
 * @returns {string | null} an instance; null where nothing may be begun, or where eyes stay on what waits
 */
export function findWorkMeanwhile(catalog, composition, state, done, waiting) {
  let ground = grounds.get(composition);
  if (!ground) {
    const jobs = jobsOf(catalog, composition, null);
    ground = { jobs, before: findBefore(catalog, composition, jobs) };
    grounds.set(composition, ground);
  }
  const day = new Day(catalog, composition, ground.jobs, ground.before);
  return day.takeUp(state, done, waiting)?.instance.id ?? null;
}

/**
 * The step that comes before all else, because the one before it in its block is behind and an open nipple is not left.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Set<string>} done instances that were ticked or passed over
 * @returns {string | null} an instance
 */
export function findBlockLeft(catalog, composition, done) {
  const { steps } = composition;
  const left = steps.find((instance, at) => {
    const before = steps[at - 1];
    if (!before || done.has(instance.id) || !done.has(before.id)) return false;
    return isSameBlock({ step: stepOf(catalog, before), instance: before }, { step: stepOf(catalog, instance), instance });
  });
  return left?.id ?? null;
}
