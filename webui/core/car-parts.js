/**
 * A visit taken apart: what all of the car shares, and circuits that have to do with that alone. Whether a fill plug
 * can go back depends on its own unit and on how the car stands, not on the other units; so make-safe.js works out
 * each circuit by itself. The same vectors drive this file and server/fillfirst/visits/parts_of_car.py.
 */

/** @import { Law, Move, Moves, State } from "./moves.js" */

import { touchedBy, variablesOf } from "./moves.js";

/**
 * @typedef {object} Part some variables of the car with the moves that write them, and the laws that speak of them
 * @property {number[]} variables
 * @property {Move[]} moves
 * @property {Law[]} laws
 * @property {number[]} around variables of the shared part on which its moves and laws depend
 */

/**
 * The shared part, and the circuits that depend on nothing but it and themselves.
 *
 * @param {Moves} moves
 * @param {Move[]} usable
 * @param {Law[]} laws
 * @returns {{ shared: Part, circuits: Part[] }}
 */
export function takeApart(moves, usable, laws) {
  const group = groupVariables(moves, usable, laws);
  const numbers = [0, ...[...new Set(group)].filter((number) => number !== 0).sort((a, b) => a - b)];
  const common = new Set([...group.keys()].filter((v) => group[v] === 0));
  const parts = numbers.map((number) => {
    const variables = [...group.keys()].filter((v) => group[v] === number);
    const own = new Set(variables);
    const ownMoves = usable.filter((move) => [...touchedBy(move)].some((v) => own.has(v)));
    const ownLaws = laws.map((law) => lawWithin(law, own, common)).filter(({ musts }) => musts.length);
    const near = new Set([
      ...ownMoves.flatMap(({ needs, there }) => [...needs.map(({ v }) => v), ...there.flatMap((law) => [...variablesOf(law)])]),
      ...ownLaws.flatMap((law) => [...variablesOf(law)]),
    ]);
    const around = [...near].filter((v) => common.has(v) && !own.has(v)).sort((a, b) => a - b);
    return { variables, moves: ownMoves, laws: ownLaws, around };
  });
  const [shared, ...circuits] = parts;
  return { shared: /** @type {Part} */ (shared), circuits };
}

/** The group of each variable; 0 is the shared one. @param {Moves} moves @param {Move[]} usable @param {Law[]} laws @returns {number[]} */
function groupVariables(moves, usable, laws) {
  const names = [...new Set(moves.variables.flatMap(({ circuit }) => (circuit ? [circuit] : [])))].sort();
  let group = moves.variables.map(({ circuit }) => (circuit ? names.indexOf(circuit) + 1 : 0));
  /** @param {number} old @param {number} other */
  const rename = (old, other) => void (group = group.map((number) => (number === old ? other : number)));
  /** One group of all these: the shared one, if it is among them. @param {Iterable<number>} variables */
  function join(variables) {
    const found = [...new Set([...variables].map((v) => group[v] ?? 0))].sort((a, b) => a - b);
    for (const number of found.slice(1)) rename(number, found[0] ?? 0);
  }
  /** @param {number} v */
  const isOwn = (v) => group[v] !== 0;

  moves.parts.forEach((parts, closure) => parts.length && join([closure, ...parts]));
  for (const move of usable) {
    const touched = [...touchedBy(move)];
    join(touched);
    for (const law of move.there) for (const v of variablesOf(law)) rename(group[v] ?? 0, 0);
    if (touched.every(isOwn)) join([...touched, ...move.needs.map(({ v }) => v).filter(isOwn)]);
  }
  for (const law of laws) {
    const asked = law.whiles.flat().map(({ v }) => v).filter(isOwn);
    if (asked.length) join([...asked, ...[...variablesOf(law)].filter(isOwn)]);
  }
  return group;
}

/** What a law asks of one part; nothing where it does not speak of it. @param {Law} law @param {Set<number>} own @param {Set<number>} common @returns {Law} */
function lawWithin(law, own, common) {
  const asked = law.whiles.flat().map(({ v }) => v).filter((v) => !common.has(v));
  if (asked.length) return asked.every((v) => own.has(v)) ? law : { whiles: law.whiles, musts: [] };
  return { whiles: law.whiles, musts: law.musts.filter(({ v }) => own.has(v)) };
}

/** The state of a part, out of that of the whole car. @param {Part} part @param {State} whole @returns {State} */
export function take({ variables }, whole) {
  return variables.map((v) => whole[v] ?? 0);
}

/** The state of the whole car with that of a part in it. @param {Part} part @param {State} own @param {State} whole @returns {State} */
export function put({ variables }, own, whole) {
  const state = [...whole];
  for (const [at, v] of variables.entries()) state[v] = own[at] ?? 0;
  return state;
}

/** The variables of a part in groups, such that no move writes into two of them. @param {Part} part @returns {number[][]} */
export function movedTogether({ variables, moves }) {
  const group = new Map(variables.map((v) => [v, new Set([v])]));
  for (const move of moves) {
    const joined = new Set([...touchedBy(move)].flatMap((v) => [...(group.get(v) ?? [])]));
    for (const v of joined) group.set(v, joined);
  }
  return [...new Set(group.values())].map((each) => [...each].sort((a, b) => a - b));
}
