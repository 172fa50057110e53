/**
 * All that may be done to one circuit while the rest of the car is as it is.
 *
 * What is done to a circuit is no concern of the others, so shortest-list.js keeps for each of its states what it has
 * cost by then, and asks here what becomes of them when the shared part of the car moves on.
 * The same in Python: server/fillfirst/visits/circuit_states.py.
 */

/** @import { Part } from "./car-parts.js" */
/** @import { Cell, Law, Move, State } from "./moves.js" */
/** @import { Task } from "./task.js" */

import { put, take } from "./car-parts.js";
import { Distances, pours } from "./distances.js";
import { Heap } from "./heap.js";
import { findLeads, holdsBack } from "./interchangeable.js";
import { afterMove, holdsAll, isBroken, keyOf, touchedBy, variablesOf } from "./moves.js";
import { restOf } from "./task.js";

/** @typedef {{ own: State, cost: number, move: Move | null, from: string }} Entry a state of a circuit, its cost, and how it came about last; without a move it was there before the shared part moved on */
/**
 * @typedef {object} Reached the states of one circuit
 * @property {Map<string, Entry>} entries by their keys
 * @property {State[]} under states of the car in which nothing more comes of them
 * @property {Map<string, Reached | null>} later what becomes of them as the shared part moves on again
 * @property {number | null} least what the circuit costs to its end
 * @property {{ total: number, key: string } | null} end where that is
 */

export class Circuit {
  /** @type {Task} */ #task;
  /** @type {Distances} */ #far;
  /** @type {Map<string, import("./interchangeable.js").Lead>} */ #leads;
  /** @type {Map<Move, { around: Cell[], laws: Law[] }>} what lets a move through, as far as the car around it decides */ #stops;
  #most = 0;
  /** Whether anything was cut off for being too dear. */
  isCut = false;

  /** @param {Part} part @param {Task} task */
  constructor(part, task) {
    const around = new Set(part.around);
    this.part = part;
    this.#task = task;
    this.#far = new Distances(part.variables, task);
    this.#leads = findLeads(part.moves, task.families, part.variables);
    this.#stops = new Map(part.moves.map((move) => [move, { around: move.needs.filter(({ v }) => around.has(v)), laws: lawsOn(part, move) }]));
  }

  /** What it costs at least from where it is, once it is measured; nothing where it can never be left. */
  get far() {
    return this.#far.far;
  }

  /** Find out how far it is. Yields after every state, as all that tries states here; throws TooManyStates where the task is out of them. */
  *measure() {
    yield* this.#far.measure();
  }

  /** Its states from the start; what comes dearer than it must by more than `spare` is cut off. @param {number} spare @returns {Generator<void, Reached>} */
  *begin(spare) {
    yield* this.#far.extend(spare);
    this.#most = (this.far ?? 0) + spare;
    this.isCut = false;
    const own = take(this.part, this.#task.start);
    return yield* this.#settle(new Map([[keyOf(own), { own, cost: 0, move: null, from: "" }]]), this.#task.start, this.part.moves);
  }

  /** What is left of its states, and what can be done from there, once the shared part is on. @param {Reached} reached @param {Cell[]} asked @param {State} before @param {State} after @returns {Generator<void, Reached | null>} */
  *carry(reached, asked, before, after) {
    const { around } = this.part;
    if (!asked.length && around.every((v) => before[v] === after[v])) return reached;
    const key = `${asked.map(({ v, mask }) => `${v}:${mask}`)}|${around.map((v) => after[v])}`;
    let on = reached.later.get(key);
    if (on === undefined) reached.later.set(key, (on = yield* this.#moveOn(reached, asked, before, after)));
    return on;
  }

  /** @param {Reached} reached @param {Cell[]} asked @param {State} before @param {State} after @returns {Generator<void, Reached | null>} */
  *#moveOn(reached, asked, before, after) {
    const { entries, under } = reached;
    const laws = this.part.laws.filter((law) => isEased(law, after, before));
    // What was let through before was done already, unless what came of it was left behind.
    const fresh = this.part.moves.filter((move) => asked.length || this.#isFreed(move, under, after));
    /** @type {Map<string, Entry>} */
    const kept = new Map();
    for (const [key, { own, cost }] of entries) {
      if ((asked.length || laws.length) && !this.#stays(own, asked, after, laws)) continue;
      kept.set(key, { own, cost, move: null, from: "" });
    }
    if (!fresh.length && kept.size === entries.size) {
      under.push(after);
      return reached;
    }
    return kept.size ? yield* this.#settle(kept, after, fresh) : null;
  }

  /** @param {State} own @param {Cell[]} asked @param {State} whole @param {Law[]} laws */
  #stays(own, asked, whole, laws) {
    const state = put(this.part, own, whole);
    return holdsAll(asked, state) && !laws.some((law) => isBroken(law, state));
  }

  /** Whether a move may be let through now where it was stopped however the car stood before. @param {Move} move @param {State[]} under @param {State} after */
  #isFreed(move, under, after) {
    const { around, laws } = /** @type {{ around: Cell[], laws: Law[] }} */ (this.#stops.get(move));
    if (!holdsAll(around, after) || move.there.some((law) => isBroken(law, after))) return false;
    return under.every(
      (before) => !holdsAll(around, before) || move.there.some((law) => isBroken(law, before)) || laws.some((law) => isEased(law, before, after)),
    );
  }

  /** What it costs at least until it may be left; null where it never can be. @param {Reached} reached @returns {number | null} */
  least(reached) {
    if (reached.least === null) {
      let least = Infinity;
      for (const [key, { cost }] of reached.entries) least = Math.min(least, cost + (this.#far.get(key) ?? Infinity));
      reached.least = least;
    }
    return reached.least === Infinity ? null : reached.least;
  }

  /** The cheapest state in which it may be left; of equal ones the first. @param {Reached} reached @returns {{ total: number, key: string } | null} */
  end(reached) {
    if (reached.end) return reached.end;
    for (const [key, { own, cost }] of reached.entries) {
      const rest = restOf(this.#task.resting, this.part.variables, own);
      if (rest !== null && cost + rest < (reached.end?.total ?? Infinity)) reached.end = { total: cost + rest, key };
    }
    return reached.end;
  }

  /** Add all its states that can be come to while the shared part stays as it is; from those that are there only the fresh moves are tried. @param {Map<string, Entry>} entries @param {State} shared @param {Move[]} fresh @returns {Generator<void, Reached>} */
  *#settle(entries, shared, fresh) {
    const { costs, spend } = this.#task;
    /** @type {Heap<string>} */
    const waiting = new Heap();
    if (fresh.length) for (const [key, { cost }] of entries) waiting.push([cost], key);
    for (let next = waiting.pop(); next; next = waiting.pop()) {
      const [[cost = 0], key] = next;
      const entry = /** @type {Entry} */ (entries.get(key));
      if (cost > entry.cost) continue;
      yield spend();
      const before = put(this.part, entry.own, shared);
      for (const move of entry.move ? this.part.moves : fresh) {
        const after = this.#after(move, before);
        if (!after) continue;
        const there = take(this.part, after);
        const thereKey = keyOf(there);
        const total = cost + (costs.get(move.id) ?? 0);
        const known = entries.get(thereKey);
        if ((known && known.cost <= total) || !this.#isOfUse(thereKey, total)) continue;
        if (known) Object.assign(known, { cost: total, move, from: key });
        else entries.set(thereKey, { own: there, cost: total, move, from: key });
        waiting.push([total], thereKey);
      }
    }
    return { entries, under: [shared], later: new Map(), least: null, end: null };
  }

  /** @param {string} key @param {number} cost */
  #isOfUse(key, cost) {
    const ahead = this.#far.get(key);
    if (ahead !== undefined && cost + ahead <= this.#most) return true;
    this.isCut ||= ahead !== undefined || !this.#far.isWhole;
    return false;
  }

  /** @param {Move} move @param {State} before @returns {State | null} */
  #after(move, before) {
    const lead = this.#leads.get(move.id);
    if (lead && holdsBack(lead, before)) return null;
    const after = afterMove(move, before);
    if (!after || pours(this.#task.levels, before, after)) return null;
    return this.part.laws.some((law) => isBroken(law, after)) ? null : after;
  }
}

/** The laws that speak of what a move writes. @param {Part} part @param {Move} move */
function lawsOn({ laws }, move) {
  const touched = [...touchedBy(move)];
  return laws.filter((law) => touched.some((v) => variablesOf(law).has(v)));
}

/** Whether a law may be broken in the one state of the car and no longer in the other. @param {Law} law @param {State} before @param {State} after */
function isEased({ whiles, musts }, before, after) {
  /** @param {Cell} cell @param {State} state */
  const holds = ({ v, mask }, state) => Boolean(mask & (1 << (state[v] ?? 0)));
  return musts.some((cell) => !holds(cell, before) && holds(cell, after)) || whiles.flat().some((cell) => holds(cell, before) && !holds(cell, after));
}

/** What was done to a circuit, for each stretch between two moves of the shared part. @param {Reached[]} stretches @param {string} key of the state it came to @returns {Move[][]} */
export function traceCircuit(stretches, key) {
  /** @type {Move[][]} */
  const done = stretches.map(() => []);
  for (let here = stretches.length - 1; here >= 0; here -= 1) {
    const reached = /** @type {Reached} */ (stretches[here]);
    if (reached === stretches[here - 1]) continue;
    for (let entry = reached.entries.get(key); entry?.move; entry = reached.entries.get(key)) {
      done[here]?.unshift(entry.move);
      key = entry.from;
    }
  }
  return done;
}
