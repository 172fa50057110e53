/**
 * Which moves a list may need at all, so that make-safe.js tries no others.
 *
 * Some moves can never be made from here. Of the others, those are of use that bring about something wanted which is
 * not so now, or which another useful move puts at risk. The shortest list has no others in it: take them out, and
 * every move that is left still finds what it needs. The same in Python: server/fillfirst/visits/usefulness.py.
 */

/** @import { Cell, Law, Move, Moves, State } from "./moves.js" */

import { CLOSED, touchedBy, USED, variablesOf } from "./moves.js";

/** @typedef {Map<number, Map<number, number>>} Resting for each variable the values in which it may be left, and how bad each is; the others do not matter */

/** For each move the laws that speak of what it writes. @param {Move[]} moves @param {Law[]} laws @returns {Map<Move, Law[]>} */
function lawsOn(moves, laws) {
  const asked = laws.map((law) => ({ law, variables: variablesOf(law) }));
  return new Map(
    moves.map((move) => {
      const touched = [...touchedBy(move)];
      return [move, asked.filter(({ variables }) => touched.some((v) => variables.has(v))).map(({ law }) => law)];
    }),
  );
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
  const waiting = lawsOn(moves.all, laws);
  /** @type {Set<Move>} */
  const usable = new Set();
  for (;;) {
    const ready = [...waiting].filter(([move, asked]) => mayBeMade(move, [...move.there, ...asked], reached, level));
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

/**
 * Of the usable moves those that may be in the shortest list.
 *
 * @param {Moves} moves
 * @param {Move[]} usable
 * @param {Law[]} laws
 * @param {State} start
 * @param {Resting} resting
 * @returns {Move[]}
 */
export function findUseful({ variables }, usable, laws, start, resting) {
  const every = variables.map(({ values }) => (1 << values.length) - 1);
  const asked = lawsOn(usable, laws);
  const comesTo = start.map((value) => 1 << value);
  const wanted = start.map(() => 0);
  /** @type {Set<Move>} */
  const useful = new Set();
  for (;;) {
    for (const [v, values] of resting) wanted[v] = (wanted[v] ?? 0) | better(values, comesTo[v] ?? 0);
    for (const move of useful) {
      for (const { v, mask } of wishesOf(move, asked.get(move) ?? [], comesTo, every)) {
        if ((comesTo[v] ?? 0) & ~mask) wanted[v] = (wanted[v] ?? 0) | mask;
      }
    }
    const more = usable.filter((move) => !useful.has(move) && move.writes.some(([v, value]) => (wanted[v] ?? 0) & (1 << value)));
    if (!more.length) return usable.filter((move) => useful.has(move));
    for (const move of more) {
      useful.add(move);
      for (const [v, value] of move.writes) comesTo[v] = (comesTo[v] ?? 0) | (1 << value);
      for (const [, parts] of move.opens) for (const part of parts) comesTo[part] = (comesTo[part] ?? 0) | (1 << USED);
    }
  }
}

/** The values that are better than the worst it may come to. @param {Map<number, number>} values @param {number} comesTo */
function better(values, comesTo) {
  let worst = -1;
  for (let value = 0; comesTo >> value; value += 1) if (comesTo & (1 << value)) worst = Math.max(worst, values.get(value) ?? Infinity);
  return [...values].reduce((mask, [value, cost]) => (cost < worst ? mask | (1 << value) : mask), 0);
}

/** All that has to be so, or might have to be, for a move to be made. @param {Move} move @param {Law[]} laws @param {number[]} comesTo @param {number[]} every @returns {Cell[]} */
function wishesOf(move, laws, comesTo, every) {
  const written = new Map(move.writes);
  const nothing = new Map();
  return [
    ...move.needs,
    ...move.tightens.flatMap(([, , parts]) => parts.filter((part) => !written.has(part)).map((v) => ({ v, mask: (1 << USED) - 1 }))),
    ...move.there.flatMap((law) => waysToKeep(law, nothing, comesTo, every)),
    ...laws.flatMap((law) => waysToKeep(law, written, comesTo, every)),
  ];
}

/** What keeps a law from being broken once this is written; nothing where it cannot be. @param {Law} law @param {Map<number, number>} written @param {number[]} comesTo @param {number[]} every @returns {Cell[]} */
function waysToKeep({ whiles, musts }, written, comesTo, every) {
  /** @param {number} v */
  const will = (v) => (written.has(v) ? 1 << (written.get(v) ?? 0) : (comesTo[v] ?? 0));
  if (!whiles.every((group) => group.some(({ v, mask }) => will(v) & mask))) return [];
  if (musts.every(({ v, mask }) => written.has(v) && will(v) & mask)) return [];
  return [
    ...musts.filter(({ v }) => !written.has(v)),
    ...whiles.flat().filter(({ v }) => !written.has(v)).map(({ v, mask }) => ({ v, mask: (every[v] ?? 0) & ~mask })),
  ];
}
