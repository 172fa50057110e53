/**
 * How far a part of the car is from where it may be left, were nothing else in the way. make-safe.js searches along
 * these distances; they are never too long. The same vectors drive this file and server/fillfirst/visits/distances.py.
 */

/** @import { Law, Move, Moves, State } from "./moves.js" */

import { Heap } from "./heap.js";
import { afterMove, CLOSED, isBroken, touchedBy, USED, variablesOf } from "./moves.js";

/** @typedef {Map<number, Map<number, number>>} Resting for each variable the values in which it may be left, and how bad each is; the others do not matter */

/** Whether this takes new fluid: some circuit is fuller than before, or its fluid newer. @param {number[]} levels @param {State} before @param {State} after */
export function pours(levels, before, after) {
  return levels.some((v) => (after[v] ?? 0) < (before[v] ?? 0));
}

/**
 * The moves that may ever be made from here, were everything once reached there for good.
 *
 * @param {Moves} moves
 * @param {Law[]} laws
 * @param {State} start
 * @param {number[]} levels
 * @returns {Move[]}
 */
export function findUsable(moves, laws, start, levels) {
  const reached = start.map((value) => 1 << value);
  const level = new Set(levels);
  const waiting = new Map(
    moves.all.map((move) => {
      const touched = touchedBy(move);
      return [move, [...move.there, ...laws.filter((law) => [...variablesOf(law)].some((v) => touched.has(v)))]];
    }),
  );
  /** @type {Set<Move>} */
  const usable = new Set();
  for (;;) {
    const ready = [...waiting].filter(([move, asked]) => mayBeMade(move, asked, reached, level));
    if (!ready.length) return moves.all.filter((move) => usable.has(move));
    for (const [move] of ready) {
      waiting.delete(move);
      usable.add(move);
      for (const [v, value] of move.writes) reached[v] = (reached[v] ?? 0) | (1 << value);
      for (const [closure, parts] of move.opens) {
        if ((reached[closure] ?? 0) & (1 << CLOSED)) for (const part of parts) reached[part] = (reached[part] ?? 0) | (1 << USED);
      }
    }
  }
}

/** @param {Move} move @param {Law[]} asked @param {number[]} reached a bit for each value @param {Set<number>} levels */
function mayBeMade(move, asked, reached, levels) {
  /** @param {number} v */
  const can = (v) => reached[v] ?? 0;
  if (move.needs.some(({ v, mask }) => !(can(v) & mask))) return false;
  if (move.writes.some(([v, value]) => levels.has(v) && !(can(v) & ((1 << (value + 1)) - 1)))) return false;
  const written = new Map(move.writes);
  const refits = move.tightens.some(
    ([closure, value, parts]) => can(closure) !== 1 << value && parts.some((part) => can(part) === 1 << USED && !written.has(part)),
  );
  if (refits) return false;
  /** @param {number} v */
  const will = (v) => (written.has(v) ? 1 << (written.get(v) ?? 0) : can(v));
  return !move.there.some((law) => isSurelyBroken(law, can)) && !asked.some((law) => isSurelyBroken(law, will));
}

/** @param {Law} law @param {(v: number) => number} can */
function isSurelyBroken({ whiles, musts }, can) {
  return whiles.every((group) => group.some(({ v, mask }) => !(can(v) & ~mask))) && musts.some(({ v, mask }) => !(can(v) & mask));
}

/** How bad it is to leave these variables in this state; null where they may not be left. @param {Resting} resting @param {number[]} variables @param {State} own @returns {number | null} */
export function restOf(resting, variables, own) {
  let total = 0;
  for (const [at, v] of variables.entries()) {
    const values = resting.get(v);
    if (!values) continue;
    const cost = values.get(own[at] ?? 0);
    if (cost === undefined) return null;
    total += cost;
  }
  return total;
}

/**
 * The cost from each state of some variables to the best in which they may be left, by the state's key.
 *
 * @param {{ variables: number[], usable: Move[], laws: Law[], start: State, resting: Resting, levels: number[], costs: Map<string, number> }} given
 * @returns {Map<string, number>}
 */
export function findDistances({ variables, usable, laws, start, resting, levels, costs }) {
  const own = new Set(variables);
  const moves = usable
    .filter((move) => [...touchedBy(move)].some((v) => own.has(v)))
    .map((move) => ({ ...move, needs: move.needs.filter(({ v }) => own.has(v)), there: [] }));
  const kept = laws
    .filter(({ whiles }) => whiles.flat().every(({ v }) => own.has(v)))
    .map(({ whiles, musts }) => ({ whiles, musts: musts.filter(({ v }) => own.has(v)) }));
  const near = levels.filter((v) => own.has(v));

  const first = variables.map((v) => start[v] ?? 0);
  /** @type {Map<string, { own: State, back: [string, number][] }>} */
  const known = new Map([[first.join(), { own: first, back: [] }]]);
  const waiting = [first];
  const whole = [...start];
  for (let here = waiting.pop(); here; here = waiting.pop()) {
    for (const [at, v] of variables.entries()) whole[v] = here[at] ?? 0;
    const key = here.join();
    for (const move of moves) {
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
