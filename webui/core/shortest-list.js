/**
 * The shortest list of moves that closes the car up.
 *
 * It leaves as little as possible, then takes the fewest steps, then the fewest minutes. The search is exact. It tries
 * ways of the shared part of the car only (car-parts.js), and keeps for each of them all that the circuits may have
 * done meanwhile (circuit-states.js). The same in Python: server/fillfirst/visits/shortest_list.py.
 */

/** @import { Reached } from "./circuit-states.js" */
/** @import { Cell, Move, Moves, State } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { movedTogether, put, take, takeApart } from "./car-parts.js";
import { Circuit, traceCircuit } from "./circuit-states.js";
import { Distances, pours } from "./distances.js";
import { Heap } from "./heap.js";
import { findLeads, holdsBack } from "./interchangeable.js";
import { afterMove, isBroken, keyOf } from "./moves.js";
import { restOf, STEP } from "./task.js";

/** @typedef {{ state: State, cost: number, circuits: Reached[], move: Move | null, before: Way | null }} Way one way of the shared part, and all that the circuits may have done meanwhile */

/** A list is looked for that costs so much more than it must at least, and where there is none, more and more. */
const SPARE = 8 * STEP;
const MORE = 4;

/**
 * The moves of the cheapest list and the state they leave; null where there is no list. Yields after every state that
 * was tried, so that whoever waits for it may do something else. Throws TooManyStates where the task is out of them.
 *
 * @param {Moves} moves
 * @param {Task} task
 * @returns {Generator<void, { listed: Move[], end: State } | null>}
 */
export function* findShortest(moves, task) {
  return yield* new Search(moves, task).run();
}

class Search {
  /** @type {Task} */ #task;
  /** @type {Circuit[]} */ #circuits;
  #isCut = false;

  /** @param {Moves} moves @param {Task} task */
  constructor(moves, task) {
    const { shared, circuits } = takeApart(moves, task.usable, task.laws);
    this.#task = task;
    this.shared = shared;
    this.order = new Map(task.usable.map(({ id }, at) => [id, at]));
    this.#circuits = circuits.map((part) => new Circuit(part, task));
    this.far = movedTogether(shared).map((variables) => new Distances(variables, task));
    this.leads = findLeads(shared.moves, task.families, shared.variables);
    const own = new Set(shared.variables);
    /** Moves of the shared part, and what each asks of every circuit. */
    this.moves = shared.moves.map((move) => ({
      move: { ...move, needs: move.needs.filter(({ v }) => own.has(v)) },
      asks: circuits.map(({ variables }) => move.needs.filter(({ v }) => variables.includes(v))),
    }));
  }

  /** Lists that cost hardly more than they must at least are looked for first, then dearer ones. */
  *run() {
    for (const each of [...this.#circuits, ...this.far]) yield* each.measure();
    for (const distances of this.far) yield* distances.extend(Infinity);
    const least = this.#leastOfAll();
    if (least === null) return null;
    for (let spare = SPARE; ; spare *= MORE) {
      this.#isCut = false;
      const begun = [];
      for (const circuit of this.#circuits) begun.push(yield* circuit.begin(spare));
      const last = yield* this.#findEnd(begun, least + spare);
      if (last) return this.#trace(last);
      if (!this.#isCut && !this.#circuits.some(({ isCut }) => isCut)) return null;
    }
  }

  /** The cheapest way that ends, of those that count no more than this. @param {Reached[]} circuits @param {number} most @returns {Generator<void, Way | null>} */
  *#findEnd(circuits, most) {
    /** @type {Heap<{ way: Way, isEnd: boolean }>} */
    const queue = new Heap();
    /** Of ways that promise the same the one that has come farthest goes first. @param {number | null} total @param {Way} way @param {boolean} isEnd */
    const push = (total, way, isEnd) => void (total !== null && queue.push([total, -way.cost], { way, isEnd }));
    /** @type {Map<string, Way[]>} */
    const tried = new Map();
    /** @type {Way} */
    const first = { state: this.#task.start, cost: 0, circuits, move: null, before: null };
    push(this.#estimate(first), first, false);
    for (let next = queue.pop(); next; next = queue.pop()) {
      const [[total = 0], { way, isEnd }] = next;
      if (total > most) {
        this.#isCut = true;
        return null;
      }
      if (isEnd) return way;
      const key = keyOf(way.state);
      const others = tried.get(key) ?? [];
      if (others.some((other) => isNoDearer(other, way))) continue;
      yield this.#task.spend();
      tried.set(key, [...others, way]);
      push(this.#totalOf(way), way, true);
      for (const { move, asks } of this.moves) {
        const on = yield* this.#go(way, move, asks);
        if (on) push(this.#estimate(on), on, false);
      }
    }
    return null;
  }

  /** What any list costs at least; null where there is none. @returns {number | null} */
  #leastOfAll() {
    let total = 0;
    for (const { far } of [...this.#circuits, ...this.far]) {
      if (far === undefined) return null;
      total += far;
    }
    return total;
  }

  /** @param {Way} way @param {Move} move @param {Cell[][]} asks what it asks of each circuit @returns {Generator<void, Way | null>} */
  *#go(way, move, asks) {
    const lead = this.leads.get(move.id);
    if (lead && holdsBack(lead, way.state)) return null;
    const after = afterMove(move, way.state);
    if (!after || pours(this.#task.levels, way.state, after) || this.shared.laws.some((law) => isBroken(law, after))) return null;
    if (after.every((value, v) => value === way.state[v])) return null;
    /** @type {Reached[]} */
    const carried = [];
    for (const [at, circuit] of this.#circuits.entries()) {
      const on = yield* circuit.carry(/** @type {Reached} */ (way.circuits[at]), asks[at] ?? [], way.state, after);
      if (!on) return null;
      carried.push(on);
    }
    return { state: after, cost: way.cost + (this.#task.costs.get(move.id) ?? 0), circuits: carried, move, before: way };
  }

  /** What the whole list will cost at least; null where it cannot end. @param {Way} way @returns {number | null} */
  #estimate(way) {
    let total = way.cost;
    for (const distances of this.far) {
      const cost = distances.get(keyOf(distances.variables.map((v) => way.state[v] ?? 0)));
      if (cost === undefined) return null;
      total += cost;
    }
    for (const [at, circuit] of this.#circuits.entries()) {
      const least = circuit.least(/** @type {Reached} */ (way.circuits[at]));
      if (least === null) return null;
      total += least;
    }
    return total;
  }

  /** What the list costs when it ends here; null where the car may not be left like this. @param {Way} way @returns {number | null} */
  #totalOf(way) {
    const rest = restOf(this.#task.resting, this.shared.variables, take(this.shared, way.state));
    if (rest === null) return null;
    let total = way.cost + rest;
    for (const [at, circuit] of this.#circuits.entries()) {
      const end = circuit.end(/** @type {Reached} */ (way.circuits[at]));
      if (!end) return null;
      total += end.total;
    }
    return total;
  }

  /** The moves of all parts in one list, and the state at its end. @param {Way} last */
  #trace(last) {
    const ways = backToStart(last).reverse();
    /** @type {Move[][][]} */
    const done = ways.map(() => []);
    let end = last.state;
    for (const [at, circuit] of this.#circuits.entries()) {
      const stretches = ways.map(({ circuits }) => /** @type {Reached} */ (circuits[at]));
      const reached = /** @type {Reached} */ (last.circuits[at]);
      const key = circuit.end(reached)?.key ?? "";
      end = put(circuit.part, reached.entries.get(key)?.own ?? [], end);
      traceCircuit(stretches, key).forEach((sequence, stretch) => done[stretch]?.push(sequence));
    }
    return { listed: ways.flatMap(({ move }, at) => [...(move ? [move] : []), ...merge(done[at] ?? [], this.order)]), end };
  }
}

/** @param {Way} last */
function backToStart(last) {
  /** @type {Way[]} */
  const ways = [];
  for (let way = /** @type {Way | null} */ (last); way; way = way.before) ways.push(way);
  return ways;
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
      if (mine === theirs) return true;
      for (const [key, { cost }] of theirs.entries) if ((mine.entries.get(key)?.cost ?? Infinity) > cost) return false;
      return true;
    })
  );
}
