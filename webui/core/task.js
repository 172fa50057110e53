/**
 * What Make safe is asked: from which state, by which moves and under which laws, and how each end counts.
 * The same in Python: server/fillfirst/visits/task.py.
 */

/** @import { Aim } from "./types.js" */
/** @import { Family } from "./interchangeable.js" */
/** @import { Law, Move, Moves, State } from "./moves.js" */
/** @import { Resting } from "./usefulness.js" */

import { isBroken } from "./moves.js";
import { findUsable, findUseful } from "./usefulness.js";

/** One step outweighs all minutes of a visit, and one thing left open outweighs all its steps. */
export const STEP = 2 ** 20;
const LEFT = 2 ** 30;

/** So many states may be tried for one list: enough for a gearbox pan with twenty screws. */
export const LIMIT = 20_000;

/** The list is not found within the states that may be tried. */
export class TooManyStates extends Error {}

/**
 * @typedef {object} Task
 * @property {State} start
 * @property {Move[]} usable the moves that a shortest list may have
 * @property {Law[]} laws
 * @property {Resting} resting
 * @property {number[]} levels
 * @property {Map<string, number>} costs what each usable move counts, by its id
 * @property {number[]} sizes how many values each variable has
 * @property {Family[]} families
 * @property {() => void} spend to be called for every state that is tried; throws TooManyStates after the last
 */

/**
 * @param {Moves} moves
 * @param {Family[]} families
 * @param {State} start
 * @param {Aim} aim
 * @param {number} limit
 * @returns {Task}
 */
export function taskOf(moves, families, start, aim, limit) {
  const levels = levelsOf(moves, aim);
  const resting = restingOf(moves, aim);
  const laws = moves.laws.filter((law) => !isBroken(law, start));
  const usable = findUseful(moves, findUsable(moves, laws, start, levels), laws, start, resting);
  const costs = new Map(usable.map(({ id, seconds }) => [id, STEP + seconds]));
  let left = limit;
  const spend = () => {
    if (left === 0) throw new TooManyStates();
    left -= 1;
  };
  const sizes = moves.variables.map(({ values }) => values.length);
  return { start, usable, laws, resting, levels, costs, sizes, families, spend };
}

/** For each variable the values in which it may be left, and how bad each is. @param {Moves} moves @param {Aim} aim @returns {Resting} */
function restingOf({ variables }, aim) {
  /** @type {Resting} */
  const resting = new Map();
  variables.forEach(({ kind, values, ends, rests }, v) => {
    const isMoved = kind === "closure" || kind === "condition";
    if (kind === "fluid" || (aim === "to-stand" && !isMoved)) return;
    const may = aim === "to-stand" && rests?.length ? rests : ends;
    resting.set(v, new Map(may.map((value, rank) => [values.indexOf(value), ends.includes(value) ? 0 : rank * LEFT])));
  });
  return resting;
}

/** What only new fluid can better, and must not get better: nothing, where there is new fluid. @param {Moves} moves @param {Aim} aim */
function levelsOf({ variables }, aim) {
  return aim === "to-drive" ? [] : [...variables.keys()].filter((v) => ["circuit", "fluid"].includes(variables[v]?.kind ?? ""));
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
