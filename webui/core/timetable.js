/**
 * The day as it can go: what one pair of hands does when, and which waits are filled with other work.
 *
 * Waits are filled by the same state machine that gates the steps (gate.js): a step is begun early only where the gate
 * lets it through as the car then stands, where nothing that waits needs the car otherwise, and where the order in
 * which all of it ends breaks no rule. Steps of one service keep their order; the steps that services share (raising,
 * running, lowering) part the day, and nothing passes them but what is marked `meanwhile`. So a day is never longer
 * than one step after another, and never shorter than its longest chain.
 */

/** @import { Catalog, Composition } from "./types.js" */
/** @import { Learned } from "./durations.js" */

import { Day } from "./day.js";
import { jobsOf } from "./day-jobs.js";

/** @typedef {{ id: string, step: string, start_s: number, work_s: number, wait_s: number, end_s: number, attended: boolean, people: number, early: boolean }} Task early: begun in the wait of another; attended: hands or eyes stay on it while it waits */
/** @typedef {{ from_s: number, to_s: number }} Span */

/**
 * @typedef {object} Timetable
 * @property {Task[]} tasks in the order in which they begin
 * @property {string[]} order instances in the order in which they end: what the gate would see
 * @property {number} total_s
 * @property {number} hands_s somebody works or watches
 * @property {number} idle_s nobody has anything to do
 * @property {number} bound_s what no order of these steps could beat: the longest chain, or all that hands do
 * @property {Span[]} unbroken once begun, these are seen through
 * @property {Span | null} second when a second person is needed
 * @property {{ at_s: number, after: string | null }[]} rests where one may stop for the day with the car safe; after: the step that ended
 */

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Learned | null} [learned] from this owner's own visits
 * @returns {Timetable}
 */
export function makeTimetable(catalog, composition, learned = null) {
  const day = new Day(catalog, composition, jobsOf(catalog, composition, learned));
  while (!day.isOver()) day.goOn();
  return day.tell();
}
