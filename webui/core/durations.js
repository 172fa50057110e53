/**
 * How long the steps of a visit take this owner: what the procedures say, moved towards what their own visits showed.
 *
 * A step's own time is the gap between the entry before it and the one that finished it. Gaps that cannot have been
 * work (a pause, a step ticked in passing, one taken back) are left out. Few observations move little: the median counts with its
 * number against a weight of three for what the procedures say, and steps never done before go by the owner's pace over
 * all of them. Common practice: a shrunken median.
 */

/** @import { Catalog, Composition, Event } from "./types.js" */

import { stepOf } from "./compose.js";
import { valueOf } from "./figures.js";
import { findUndone } from "./fold.js";
import { median } from "./median.js";

/** @typedef {Record<string, { work_s: number, wait_s: number }>} Durations by instance */
/** @typedef {{ steps: Record<string, { count: number, median_s: number }>, pace: number, count: number, visits: number }} Learned by step; pace: this owner's time over the written one */

/** How many observations the written time counts as. */
const TRUST = 3;
/** The same for the pace over all steps. */
const PACE_TRUST = 20;
/** Shorter than this share of the written time a step was ticked in passing; longer than this many times, there was a pause. */
const LEAST = 0.15;
const MOST = 5;

/**
 * @param {Catalog} catalog
 * @param {Event[][]} visits the entries of each closed visit of this owner, in clock order
 * @returns {Learned}
 */
export function learnDurations(catalog, visits) {
  const steps = new Map(catalog.steps.map((step) => [step.id, step]));
  /** @type {Map<string, number[]>} */
  const seen = new Map();
  /** @type {number[]} */
  const ratios = [];
  for (const events of visits) {
    const undone = findUndone(events);
    events.forEach((event, at) => {
      if (undone.has(event.id)) return;
      const step = event.kind === "step-done" ? steps.get(String(event.payload.step).split("@")[0] ?? "") : undefined;
      const before = events[at - 1];
      // A wait ends when somebody comes back to it: that gap tells nothing of hands.
      if (!step || !before || step.wait_s > 0 || step.hold || step.work_s <= 0 || before.device !== event.device) return;
      const gap_s = (event.hlc.ms - startOf(events, at)) / 1000;
      const ratio = gap_s / step.work_s;
      if (ratio < LEAST || ratio > MOST) return;
      seen.set(step.id, [...(seen.get(step.id) ?? []), gap_s]);
      ratios.push(ratio);
    });
  }
  const pace = Math.exp((ratios.length * Math.log(median(ratios) || 1)) / (ratios.length + PACE_TRUST));
  return {
    steps: Object.fromEntries([...seen].map(([id, gaps]) => [id, { count: gaps.length, median_s: median(gaps) }])),
    pace,
    count: ratios.length,
    visits: visits.length,
  };
}

/** When the step at hand began: at the end of the step before it; readings and photos on the way are part of it. @param {Event[]} events @param {number} at @returns {number} ms */
function startOf(events, at) {
  const before = events.slice(0, at).findLast(({ kind }) => ["step-done", "step-skipped", "visit-opened", "went-back", "taken-up-again", "undone"].includes(kind));
  return before?.hlc.ms ?? events[at]?.hlc.ms ?? 0;
}

/**
 * The time of every instance of a visit. A hold lasts as long as the car's own number says, where it is known.
 *
 * @param {Catalog} catalog @param {Composition} composition @param {Learned | null} learned
 * @returns {Durations}
 */
export function tellDurations(catalog, composition, learned) {
  return Object.fromEntries(
    composition.steps.map((instance) => {
      const step = stepOf(catalog, instance);
      const own = learned?.steps[step.id];
      const paced_s = step.work_s * (learned?.pace ?? 1);
      const work_s = own ? (own.count * own.median_s + TRUST * paced_s) / (own.count + TRUST) : paced_s;
      const least_s = valueOf(catalog, step.hold?.least ?? null, composition.facts);
      const times = step.positions ? lengthOf(composition.facts[step.positions]) : 1;
      return [instance.id, { work_s, wait_s: typeof least_s === "number" ? Math.max(least_s * times, 0) : step.wait_s }];
    }),
  );
}

/** @param {unknown} list */
function lengthOf(list) {
  return Array.isArray(list) ? list.length : 1;
}
