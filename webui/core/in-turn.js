/** How long a day is with one step after another and every wait sat out: the plainest sum of its times. */

/** @import { Catalog, Composition } from "./types.js" */
/** @import { Learned } from "./durations.js" */

import { effects, stepOf } from "./compose.js";
import { tellDurations } from "./durations.js";

/**
 * A wait that counts from an earlier change is only as long as what is left of it: what cools goes on cooling.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Learned | null} [learned] from this owner's own visits
 * @returns {{ work_s: number, wait_s: number }}
 */
export function spendInTurn(catalog, composition, learned = null) {
  const durations = tellDurations(catalog, composition, learned);
  let state = Object.fromEntries(Object.entries(composition.variables).map(([id, base]) => [id, catalog.variables[base]?.starts ?? ""]));
  /** @type {Record<string, number>} when each variable last changed */
  const changed_s = {};
  const spent = { work_s: 0, wait_s: 0 };
  for (const instance of composition.steps) {
    const { since } = stepOf(catalog, instance);
    const { work_s = 0, wait_s = 0 } = durations[instance.id] ?? {};
    spent.work_s += work_s;
    const gone_s = since?.length ? spent.work_s + spent.wait_s - Math.max(0, ...since.map((id) => changed_s[id] ?? 0)) : 0;
    spent.wait_s += Math.max(0, wait_s - gone_s);
    const made = effects(catalog, composition, state, instance);
    for (const [id, value] of Object.entries(made)) if (state[id] !== value) changed_s[id] = spent.work_s + spent.wait_s;
    state = { ...state, ...made };
  }
  return spent;
}
