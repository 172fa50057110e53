/**
 * Make safe: the shortest list of steps that closes the car up from the state it is in.
 *
 * A car is closed up `to-stand`: nothing is open, nothing runs, no new fluid is needed, and what is empty stays empty
 * and is told. Or `to-drive`: it is full as well, though perhaps with its old fluid. Every step of a list is one that
 * the gate lets through when its turn comes.
 *
 * The search is exact: first that as little as possible is left, then the fewest steps, then the fewest minutes. It
 * tries ways of the shared part of the car only; for each circuit it keeps what every state of it has cost by then.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/visits/make_safe.py.
 */

/** @import { Aim, Catalog, Composition, Variable } from "./types.js" */
/** @import { Part } from "./car-parts.js" */
/** @import { Cell, Move, Moves, State } from "./moves.js" */
/** @import { Resting } from "./usefulness.js" */

import { allows, movedTogether, put, take, takeApart } from "./car-parts.js";
import { findDistances, pours, restOf } from "./distances.js";
import { Heap } from "./heap.js";
import { afterMove, isBroken, readMoves } from "./moves.js";
import { findUsable, findUseful } from "./usefulness.js";

/** @typedef {{ steps: string[], seconds: number, left: Record<string, string> }} SafeList instances in order; left: what even then is not as at the end of a visit */

/** One step outweighs all minutes of a visit, and one thing left open outweighs all its steps. */
const STEP = 2 ** 20;
const LEFT = 2 ** 30;

/** @typedef {{ own: State, cost: number, move: Move | null, from: string }} Entry a state of a circuit, its cost, and how it came about last; without a move it was there before the shared part moved on */
/** @typedef {{ entries: Map<string, Entry>, later: Map<string, Reached | null>, least: number | null }} Reached */
/** @typedef {{ state: State, cost: number, circuits: Reached[], move: Move | null, before: Way | null }} Way one way of the shared part, and all that the circuits may have done meanwhile */

/** @type {WeakMap<Composition, Moves>} */
const movesOf = new WeakMap();

/**
 * The shortest list that closes the car up; null where no steps of this visit can.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables
 * @param {Aim} aim
 * @returns {SafeList | null}
 */
export function makeSafe(catalog, composition, variables, aim) {
  let moves = movesOf.get(composition);
  if (!moves) movesOf.set(composition, (moves = readMoves(catalog, composition)));
  const start = moves.variables.map((variable, v) => variable.values.indexOf(variables[moves.ids[v] ?? ""] ?? ""));
  const found = search(moves, start, aim);
  if (!found) return null;
  const left = moves.variables.flatMap(({ values, ends }, v) => {
    const value = values[found.end[v] ?? 0] ?? "";
    return ends.includes(value) ? [] : [[moves.ids[v] ?? "", value]];
  });
  return {
    steps: found.moves.map(({ id }) => id),
    seconds: found.moves.reduce((sum, { seconds }) => sum + seconds, 0),
    left: Object.fromEntries(left),
  };
}

/** @param {Moves} moves @param {Aim} aim @returns {Resting} */
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

/**
 * @param {Moves} moves
 * @param {State} start
 * @param {Aim} aim
 * @returns {{ moves: Move[], end: State } | null} the moves of the cheapest list and the state they leave
 */
function search(moves, start, aim) {
  const levels = levelsOf(moves, aim);
  const resting = restingOf(moves, aim);
  const laws = moves.laws.filter((law) => !isBroken(law, start));
  const usable = findUseful(moves, findUsable(moves, laws, start, levels), laws, start, resting);
  const costs = new Map(usable.map(({ id, seconds }) => [id, STEP + seconds]));
  const order = new Map(usable.map(({ id }, at) => [id, at]));
  const { shared, circuits } = takeApart(moves, usable, laws);
  /** @param {number[]} variables */
  const distances = (variables) => findDistances({ variables, usable, laws, start, resting, levels, costs });
  const far = circuits.map(({ variables }) => distances(variables));
  const sharedFar = movedTogether(shared).map((variables) => ({ variables, costs: distances(variables) }));
  const own = new Set(shared.variables);
  const sharedMoves = shared.moves.map((move) => ({
    move: { ...move, needs: move.needs.filter(({ v }) => own.has(v)) },
    asks: circuits.map(({ variables }) => move.needs.filter(({ v }) => variables.includes(v))),
  }));

  /** @type {Heap<{ way: Way, isEnd: boolean }>} */
  const queue = new Heap();
  /** Of ways that promise the same the one that has come farthest goes first. @param {number | null} total @param {Way} way @param {boolean} isEnd */
  const push = (total, way, isEnd) => void (total !== null && queue.push([total, -way.cost], { way, isEnd }));
  /** @type {Map<string, Way[]>} */
  const tried = new Map();
  /** @type {Way} */
  const first = { state: start, cost: 0, circuits: circuits.map((part) => settle(part, [{ own: take(part, start), cost: 0 }], start)), move: null, before: null };
  push(estimate(first), first, false);
  for (let next = queue.pop(); next; next = queue.pop()) {
    const { way, isEnd } = next[1];
    if (isEnd) return trace(way);
    const key = way.state.join();
    const others = tried.get(key) ?? [];
    if (others.some((other) => isNoDearer(other, way))) continue;
    tried.set(key, [...others, way]);
    push(totalOf(way), way, true);
    for (const { move, asks } of sharedMoves) {
      const on = go(way, move, asks);
      if (on) push(estimate(on), on, false);
    }
  }
  return null;

  /** @param {Way} way @param {Move} move @param {Cell[][]} asks what it asks of each circuit @returns {Way | null} */
  function go(way, move, asks) {
    const after = afterMove(move, way.state);
    if (!after || pours(levels, way.state, after) || shared.laws.some((law) => isBroken(law, after))) return null;
    if (after.every((value, v) => value === way.state[v])) return null;
    /** @type {Reached[]} */
    const carried = [];
    for (const [at, part] of circuits.entries()) {
      const on = carry(part, /** @type {Reached} */ (way.circuits[at]), asks[at] ?? [], way.state, after);
      if (!on) return null;
      carried.push(on);
    }
    return { state: after, cost: way.cost + (costs.get(move.id) ?? 0), circuits: carried, move, before: way };
  }

  /** What is left of a circuit's states, and what can be done from there, once the shared part is on. @param {Part} part @param {Reached} reached @param {Cell[]} asked @param {State} before @param {State} after @returns {Reached | null} */
  function carry(part, reached, asked, before, after) {
    if (!asked.length && part.around.every((v) => before[v] === after[v])) return reached;
    const key = `${asked.map(({ v, mask }) => `${v}:${mask}`)}|${part.around.map((v) => after[v])}`;
    let on = reached.later.get(key);
    if (on === undefined) {
      const kept = [...reached.entries.values()].filter((entry) => allows(part, entry.own, asked, after));
      reached.later.set(key, (on = kept.length ? settle(part, kept, after) : null));
    }
    return on;
  }

  /** All states of a circuit that can be come to while the shared part stays as it is. @param {Part} part @param {{ own: State, cost: number }[]} kept @param {State} whole @returns {Reached} */
  function settle(part, kept, whole) {
    /** @type {Map<string, Entry>} */
    const entries = new Map(kept.map(({ own: state, cost }) => [state.join(), { own: state, cost, move: null, from: "" }]));
    /** @type {Heap<string>} */
    const waiting = new Heap();
    for (const [key, { cost }] of entries) waiting.push([cost], key);
    for (let next = waiting.pop(); next; next = waiting.pop()) {
      const [[cost = 0], key] = next;
      const entry = /** @type {Entry} */ (entries.get(key));
      if (cost > entry.cost) continue;
      const before = put(part, entry.own, whole);
      for (const move of part.moves) {
        const after = afterMove(move, before);
        if (!after || pours(levels, before, after) || part.laws.some((law) => isBroken(law, after))) continue;
        const there = take(part, after);
        const total = cost + (costs.get(move.id) ?? 0);
        const known = entries.get(there.join());
        if (known && known.cost <= total) continue;
        entries.set(there.join(), { own: there, cost: total, move, from: key });
        waiting.push([total], there.join());
      }
    }
    return { entries, later: new Map(), least: null };
  }

  /** What the whole list will cost at least; null where it cannot end. @param {Way} way @returns {number | null} */
  function estimate(way) {
    let total = way.cost;
    for (const { variables, costs: known } of sharedFar) {
      const cost = known.get(variables.map((v) => way.state[v]).join());
      if (cost === undefined) return null;
      total += cost;
    }
    for (const [at, reached] of way.circuits.entries()) {
      reached.least ??= [...reached.entries].reduce((least, [key, { cost }]) => Math.min(least, cost + (far[at]?.get(key) ?? Infinity)), Infinity);
      total += reached.least;
    }
    return total === Infinity ? null : total;
  }

  /** What the list costs when it ends here; null where the car may not be left like this. @param {Way} way @returns {number | null} */
  function totalOf(way) {
    const rest = restOf(resting, shared.variables, take(shared, way.state));
    if (rest === null) return null;
    let total = way.cost + rest;
    for (const [at, part] of circuits.entries()) {
      const end = findEnd(part, /** @type {Reached} */ (way.circuits[at]));
      if (!end) return null;
      total += end.total;
    }
    return total;
  }

  /** The cheapest state in which a circuit may be left; of equal ones the first. @param {Part} part @param {Reached} reached */
  function findEnd({ variables }, { entries }) {
    /** @type {{ total: number, key: string } | null} */
    let best = null;
    for (const [key, { own: state, cost }] of entries) {
      const rest = restOf(resting, variables, state);
      if (rest !== null && (!best || cost + rest < best.total)) best = { total: cost + rest, key };
    }
    return best;
  }

  /** The moves of all parts in one list, and the state at its end. @param {Way} last */
  function trace(last) {
    /** @type {Way[]} */
    const ways = [];
    /** @type {Way | null} */
    let way = last;
    for (; way; way = way.before) ways.unshift(way);
    /** @type {Move[][][]} */
    const done = ways.map(() => []);
    let end = last.state;
    for (const [at, part] of circuits.entries()) {
      const reached = /** @type {Reached} */ (last.circuits[at]);
      const key = findEnd(part, reached)?.key ?? "";
      end = put(part, /** @type {Entry} */ (reached.entries.get(key)).own, end);
      traceCircuit(ways, at, key).forEach((sequence, stretch) => done[stretch]?.push(sequence));
    }
    return { moves: ways.flatMap((way, at) => [...(way.move ? [way.move] : []), ...merge(done[at] ?? [], order)]), end };
  }
}

/** What was done to a circuit, for each stretch between two moves of the shared part. @param {Way[]} ways @param {number} at @param {string} key */
function traceCircuit(ways, at, key) {
  /** @type {Move[][]} */
  const done = ways.map(() => []);
  for (let here = ways.length - 1; here >= 0; here -= 1) {
    const reached = /** @type {Reached} */ (ways[here]?.circuits[at]);
    if (reached === ways[here - 1]?.circuits[at]) continue;
    for (let entry = reached.entries.get(key); entry?.move; entry = reached.entries.get(key)) {
      done[here]?.unshift(entry.move);
      key = entry.from;
    }
  }
  return done;
}

/** What different circuits do in one stretch, in the order of the day. @param {Move[][]} sequences @param {Map<string, number>} order */
function merge(sequences, order) {
  /** @type {Move[]} */
  const merged = [];
  /** @param {Move[]} moves */
  const rank = ([first]) => order.get(first?.id ?? "") ?? 0;
  for (let waiting = sequences.filter((moves) => moves.length); waiting.length; waiting = waiting.filter((moves) => moves.length)) {
    const first = waiting.reduce((least, moves) => (rank(moves) < rank(least) ? moves : least));
    merged.push(/** @type {Move} */ (first.shift()));
  }
  return merged;
}

/** @param {Way} one @param {Way} other */
function isNoDearer(one, other) {
  return (
    one.cost <= other.cost &&
    one.circuits.every((mine, at) => {
      const theirs = /** @type {Reached} */ (other.circuits[at]);
      return mine === theirs || [...theirs.entries].every(([key, { cost }]) => (mine.entries.get(key)?.cost ?? Infinity) <= cost);
    })
  );
}
