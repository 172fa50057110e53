/**
 * How far a part of the car is from where it may be left, were nothing else in the way.
 *
 * make-safe.js searches along these distances. They are never too long: each takes one part by itself, and leaves out
 * what the rest of the car would forbid. Only states are looked at through which a list may lead that costs hardly
 * more than the cheapest; more of them when that is not enough.
 * The same in Python: server/fillfirst/visits/distances.py.
 */

/** @import { Lead } from "./interchangeable.js" */
/** @import { Law, Move, State } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { Heap } from "./heap.js";
import { findLeads, holdsBack } from "./interchangeable.js";
import { afterMove, isBroken, keyOf, touchedBy, USED } from "./moves.js";
import { restOf } from "./task.js";

/** @typedef {{ key: string, own: State, fromStart: number, least: number, back: { before: Seen, step: number }[] }} Seen a state, what it costs from the start and to an end, and the states one move before it */

/** Whether this takes new fluid: some circuit is fuller than before, or its fluid newer. @param {number[]} levels @param {State} before @param {State} after */
export function pours(levels, before, after) {
  for (const v of levels) if ((after[v] ?? 0) < (before[v] ?? 0)) return true;
  return false;
}

/** The cost from each state of some variables to the best in which they may be left. */
export class Distances {
  /** @type {Task} */ #task;
  /** @type {Move[]} */ #moves;
  /** @type {Law[]} */ #laws;
  /** @type {Map<string, Lead>} */ #leads;
  /** @type {number[]} */ #levels;
  /** @type {Map<number, number>[]} */ #ahead;
  /** @type {State} */ #whole;
  /** @type {Map<string, Seen>} */ #seen = new Map();
  /** @type {Heap<Seen>} */ #queue = new Heap();
  /** That of the state they are in now, once it is measured; nothing where they can never be left. @type {number | undefined} */
  far;

  /** @param {number[]} variables @param {Task} task */
  constructor(variables, task) {
    const own = new Set(variables);
    this.variables = variables;
    this.#task = task;
    this.#moves = task.usable
      .filter((move) => [...touchedBy(move)].some((v) => own.has(v)))
      .map((move) => ({ ...move, needs: move.needs.filter(({ v }) => own.has(v)), there: [] }));
    this.#laws = task.laws
      .filter(({ whiles }) => whiles.flat().every(({ v }) => own.has(v)))
      .map(({ whiles, musts }) => ({ whiles, musts: musts.filter(({ v }) => own.has(v)) }));
    this.#leads = findLeads(this.#moves, task.families, variables);
    this.#levels = task.levels.filter((v) => own.has(v));
    this.#ahead = variables.map((v) => aheadOf(v, this.#moves, task));
    this.#whole = [...task.start];
    this.#see(variables.map((v) => task.start[v] ?? 0), 0);
  }

  /** Find out how far it is from here. Yields after every state; throws TooManyStates where the task is out of them. */
  *measure() {
    while (this.#queue.size && (this.far === undefined || this.#queue.least < this.far)) yield this.#lookOn();
  }

  /** Look at all states through which it may cost so much more than it must. @param {number} spare */
  *extend(spare) {
    while (this.#queue.size && this.#queue.least <= (this.far ?? 0) + spare) yield this.#lookOn();
    spread([...this.#seen.values()], (state) => restOf(this.#task.resting, this.variables, state));
  }

  /** Whether no state is missing. */
  get isWhole() {
    return !this.#queue.size;
  }

  /** The cost from a state of these variables; nothing where it was not looked at or cannot be left. @param {string} key @returns {number | undefined} */
  get(key) {
    const least = this.#seen.get(key)?.least;
    return least === Infinity ? undefined : least;
  }

  /** Wait with a state for its turn, unless one of its variables can never be left. @param {State} own @param {number} cost @returns {Seen | undefined} */
  #see(own, cost) {
    const key = keyOf(own);
    const known = this.#seen.get(key);
    if (known && known.fromStart <= cost) return known;
    let ahead = 0;
    for (const [at, value] of own.entries()) ahead += this.#ahead[at]?.get(value) ?? Infinity;
    if (ahead === Infinity) return undefined;
    const seen = known ?? { key, own, fromStart: cost, least: Infinity, back: [] };
    seen.fromStart = cost;
    this.#seen.set(key, seen);
    this.#queue.push([cost + ahead, cost], seen);
    return seen;
  }

  /** Look at the state that promises most, and see those that are one move on. */
  #lookOn() {
    const [[, cost = 0], here] = /** @type {[number[], Seen]} */ (this.#queue.pop());
    if (cost > here.fromStart) return;
    const { costs, resting, spend } = this.#task;
    spend();
    const rest = restOf(resting, this.variables, here.own);
    if (rest !== null) this.far = Math.min(this.far ?? Infinity, cost + rest);
    for (const [at, v] of this.variables.entries()) this.#whole[v] = here.own[at] ?? 0;
    for (const move of this.#moves) {
      const there = this.#after(move);
      if (!there || there.every((value, at) => value === here.own[at])) continue;
      const step = costs.get(move.id) ?? 0;
      this.#see(there, cost + step)?.back.push({ before: here, step });
    }
  }

  /** @param {Move} move @returns {State | null} */
  #after(move) {
    const lead = this.#leads.get(move.id);
    if (lead && holdsBack(lead, this.#whole)) return null;
    const after = afterMove(move, this.#whole);
    if (!after || pours(this.#levels, this.#whole, after)) return null;
    for (const law of this.#laws) if (isBroken(law, after)) return null;
    return this.variables.map((v) => after[v] ?? 0);
  }
}

/**
 * What one variable by itself costs at least from each value; none where it can never be left. A move that writes
 * several counts for each of them in parts, so that no sum is too high.
 *
 * @param {number} v
 * @param {Move[]} moves
 * @param {Task} task
 * @returns {Map<number, number>}
 */
function aheadOf(v, moves, { resting, costs, sizes }) {
  const values = [...Array(sizes[v] ?? 0).keys()];
  /** @type {Map<number, number>} */
  const least = new Map();
  for (const value of values) {
    const rest = restOf(resting, [v], [value]);
    if (rest !== null) least.set(value, rest);
  }
  const ways = moves.flatMap((move) => {
    const cost = Math.floor((costs.get(move.id) ?? 0) / touchedBy(move).size);
    const mask = move.needs.reduce((asked, cell) => (cell.v === v ? asked & cell.mask : asked), -1);
    return writingsOf(move).flatMap(([at, value]) => (at === v ? [{ value, cost, mask }] : []));
  });
  for (const _ of values) {
    for (const { value, cost, mask } of ways) {
      const to = least.get(value);
      if (to === undefined) continue;
      for (const from of values) if (mask & (1 << from) && to + cost < (least.get(from) ?? Infinity)) least.set(from, to + cost);
    }
  }
  return least;
}

/** @param {Move} move @returns {[number, number][]} */
function writingsOf({ writes, opens }) {
  return [...writes, ...opens.flatMap(([, parts]) => parts.map((part) => /** @type {[number, number]} */ ([part, USED])))];
}

/** The least cost from each state to an end, the cost of that end included. @param {Seen[]} seen @param {(own: State) => number | null} rest */
function spread(seen, rest) {
  /** @type {Heap<Seen>} */
  const queue = new Heap();
  for (const state of seen) {
    state.least = rest(state.own) ?? Infinity;
    if (state.least < Infinity) queue.push([state.least], state);
  }
  for (let next = queue.pop(); next; next = queue.pop()) {
    const [[cost = 0], state] = next;
    if (cost > state.least) continue;
    for (const { before, step } of state.back) {
      if (cost + step >= before.least) continue;
      before.least = cost + step;
      queue.push([cost + step], before);
    }
  }
}
