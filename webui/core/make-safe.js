/**
 * Make safe: the shortest list of steps that closes the car up from the state it is in.
 *
 * A car is closed up `to-stand`: nothing is open, nothing runs, no new fluid is needed, and what is empty stays empty
 * and is told. Or `to-drive`: it is full as well, though perhaps with its old fluid. Every step of a list is one that
 * the gate lets through when its turn comes.
 *
 * Where the shortest is not found in as many states as may be tried, the list is another one (plain-way.js) and says
 * so. The same vectors (tests/agreement) drive this file and server/fillfirst/visits/make_safe.py.
 */

/** @import { Aim, Catalog, Composition } from "./types.js" */
/** @import { Family } from "./interchangeable.js" */
/** @import { Moves } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { findFamilies } from "./interchangeable.js";
import { readMoves } from "./moves.js";
import { findPlain } from "./plain-way.js";
import { findShortest } from "./shortest-list.js";
import { LIMIT, taskOf, TooManyStates } from "./task.js";

/**
 * @typedef {object} SafeList
 * @property {string[]} steps instances in order
 * @property {number} seconds
 * @property {Record<string, string>} left what even then is not as at the end of a visit
 * @property {boolean} shortest whether none can be better; false where that would have taken too long to find out
 */

/** @type {WeakMap<Composition, { moves: Moves, families: Family[] }>} */
const readings = new WeakMap();

/**
 * The shortest list that closes the car up, or another one where that takes more than `limit` states. Null where no
 * list is known: there is none, or after `limit` states none was found.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables
 * @param {Aim} aim
 * @param {number} [limit]
 * @returns {SafeList | null}
 */
export function makeSafe(catalog, composition, variables, aim, limit = LIMIT) {
  const work = makeSafeByAndBy(catalog, composition, variables, aim, limit);
  let step = work.next();
  while (!step.done) step = work.next();
  return step.value;
}

/**
 * The same, state by state: it yields after each that was tried, for whoever must not be held up by it.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables
 * @param {Aim} aim
 * @param {number} [limit]
 * @returns {Generator<void, SafeList | null>}
 */
export function* makeSafeByAndBy(catalog, composition, variables, aim, limit = LIMIT) {
  const { moves, families } = read(catalog, composition);
  const start = moves.variables.map((variable, v) => variable.values.indexOf(variables[moves.ids[v] ?? ""] ?? ""));
  const { found, shortest } = yield* find(moves, taskOf(moves, families, start, aim, limit), aim);
  if (!found) return null;
  const left = moves.variables.flatMap(({ values, ends }, v) => {
    const value = values[found.end[v] ?? 0] ?? "";
    return ends.includes(value) ? [] : [[moves.ids[v] ?? "", value]];
  });
  return {
    steps: found.listed.map(({ id }) => id),
    seconds: found.listed.reduce((sum, { seconds }) => sum + seconds, 0),
    left: Object.fromEntries(left),
    shortest,
  };
}

/** A visit is read once. @param {Catalog} catalog @param {Composition} composition */
function read(catalog, composition) {
  let known = readings.get(composition);
  if (!known) {
    const moves = readMoves(catalog, composition);
    readings.set(composition, (known = { moves, families: findFamilies(moves) }));
  }
  return known;
}

/** @param {Moves} moves @param {Task} task @param {Aim} aim */
function* find(moves, task, aim) {
  try {
    return { found: yield* findShortest(moves, task), shortest: true };
  } catch (error) {
    if (!(error instanceof TooManyStates)) throw error;
    return { found: findPlain(moves, task, aim), shortest: false };
  }
}
