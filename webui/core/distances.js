/**
 * How far a part of the car is from where it may be left, were nothing else in the way. make-safe.js searches along
 * these distances; they are never too long. The same vectors drive this file and server/fillfirst/visits/distances.py.
 */

/** @import { State } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { Heap } from "./heap.js";
import { findLeads, holdsBack } from "./interchangeable.js";
import { afterMove, isBroken, touchedBy } from "./moves.js";
import { restOf } from "./task.js";

/** Whether this takes new fluid: some circuit is fuller than before, or its fluid newer. @param {number[]} levels @param {State} before @param {State} after */
export function pours(levels, before, after) {
  return levels.some((v) => (after[v] ?? 0) < (before[v] ?? 0));
}

/**
 * The cost from each state of some variables to the best in which they may be left, by the state's key.
 * Throws TooManyStates where the task is out of states.
 *
 * @param {number[]} variables
 * @param {Task} task
 * @returns {Map<string, number>}
 */
export function findDistances(variables, { usable, laws, start, resting, levels, costs, families, spend }) {
  const own = new Set(variables);
  const moves = usable
    .filter((move) => [...touchedBy(move)].some((v) => own.has(v)))
    .map((move) => ({ ...move, needs: move.needs.filter(({ v }) => own.has(v)), there: [] }));
  const kept = laws
    .filter(({ whiles }) => whiles.flat().every(({ v }) => own.has(v)))
    .map(({ whiles, musts }) => ({ whiles, musts: musts.filter(({ v }) => own.has(v)) }));
  const leads = findLeads(moves, families, variables);
  const near = levels.filter((v) => own.has(v));

  const first = variables.map((v) => start[v] ?? 0);
  /** @type {Map<string, { own: State, back: [string, number][] }>} */
  const known = new Map([[first.join(), { own: first, back: [] }]]);
  const waiting = [first];
  const whole = [...start];
  for (let here = waiting.pop(); here; here = waiting.pop()) {
    spend();
    for (const [at, v] of variables.entries()) whole[v] = here[at] ?? 0;
    const key = here.join();
    for (const move of moves) {
      const lead = leads.get(move.id);
      if (lead && holdsBack(lead, whole)) continue;
      const after = afterMove(move, whole);
      if (!after || pours(near, whole, after) || kept.some((law) => isBroken(law, after))) continue;
      const there = variables.map((v) => after[v] ?? 0);
      const thereKey = there.join();
      if (thereKey === key) continue;
      let found = known.get(thereKey);
      if (!found) {
        known.set(thereKey, (found = { own: there, back: [] }));
        waiting.push(there);
      }
      found.back.push([key, costs.get(move.id) ?? 0]);
    }
  }
  return spread(known, (state) => restOf(resting, variables, state));
}

/** @param {Map<string, { own: State, back: [string, number][] }>} known @param {(own: State) => number | null} rest */
function spread(known, rest) {
  /** @type {Heap<string>} */
  const queue = new Heap();
  for (const [key, { own }] of known) {
    const cost = rest(own);
    if (cost !== null) queue.push([cost], key);
  }
  /** @type {Map<string, number>} */
  const least = new Map();
  for (let next = queue.pop(); next; next = queue.pop()) {
    const [[cost = 0], key] = next;
    if (least.has(key)) continue;
    least.set(key, cost);
    for (const [before, step] of known.get(key)?.back ?? []) if (!least.has(before)) queue.push([cost + step], before);
  }
  return least;
}
