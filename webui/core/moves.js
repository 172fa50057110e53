/**
 * One visit in numbers: what every step does to the car, and when it may be done. It exists so that make-safe.js can
 * try thousands of states; the meaning is that of `effects` and `stops`. The same vectors (tests/agreement) drive
 * this file and server/fillfirst/visits/moves.py.
 */

/** @import { Catalog, Composition, Instance, Rule, Variable } from "./types.js" */

import { members, partsOf, stepOf, targets } from "./compose.js";
import { rulesInForce, speaksOfPlace } from "./gate.js";

/** @typedef {number[]} State the value of every variable of the visit, by its place in `values` */
/** @typedef {{ v: number, mask: number }} Cell a variable and some of its values, one bit each */
/** @typedef {{ whiles: Cell[][], musts: Cell[] }} Law a rule: broken where every group of whiles has one cell that holds and one of musts does not */

/**
 * @typedef {object} Move one step that changes something
 * @property {string} id
 * @property {number} seconds
 * @property {Cell[]} needs
 * @property {[number, number][]} writes
 * @property {[number, number[]][]} opens closures it takes from closed, with the parts that are then used up
 * @property {[number, number, number[]][]} tightens closures it tightens, with the parts that must not be used
 * @property {Law[]} there the laws of its place
 */

/**
 * @typedef {object} Moves
 * @property {string[]} ids
 * @property {Variable[]} variables
 * @property {Law[]} laws
 * @property {Move[]} all
 * @property {Move[]} day what the visit goes through
 * @property {Move[]} course all of them, with those on standby where they belong
 * @property {number[][]} parts the one-time parts of each variable
 */

/** Places in the values of closures and of parts. */
export const CLOSED = 0;
export const OPEN = 3;
export const USED = 2;

/** A state as the key of a map: one character a value is made fastest. @param {State} state */
export function keyOf(state) {
  return String.fromCharCode(...state);
}

/** @param {Cell[]} cells @param {State} state */
export function holdsAll(cells, state) {
  for (const { v, mask } of cells) if (!(mask & (1 << (state[v] ?? 0)))) return false;
  return true;
}

/** @param {Law} law @param {State} state */
export function isBroken({ whiles, musts }, state) {
  for (const group of whiles) if (!group.some(({ v, mask }) => mask & (1 << (state[v] ?? 0)))) return false;
  return !holdsAll(musts, state);
}

/** @param {Law} law */
export function variablesOf({ whiles, musts }) {
  return new Set([...whiles.flat(), ...musts].map(({ v }) => v));
}

/** All that a move may write. @param {Move} move */
export function touchedBy({ writes, opens }) {
  return new Set([...writes.map(([v]) => v), ...opens.flatMap(([, parts]) => parts)]);
}

/**
 * The state a move leaves, or null where the gate would not let it; laws of no place are not asked.
 *
 * @param {Move} move
 * @param {State} state
 * @returns {State | null}
 */
export function afterMove(move, state) {
  if (!holdsAll(move.needs, state)) return null;
  for (const law of move.there) if (isBroken(law, state)) return null;
  const left = [...state];
  for (const [closure, parts] of move.opens) if (state[closure] === CLOSED) for (const part of parts) left[part] = USED;
  for (const [v, value] of move.writes) left[v] = value;
  for (const [closure, value, parts] of move.tightens) {
    if (state[closure] !== value && parts.some((part) => left[part] === USED)) return null;
  }
  for (const law of move.there) if (isBroken(law, left)) return null;
  return left;
}

/**
 * All moves of a visit, the laws that count in it, and its variables as numbers.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @returns {Moves}
 */
export function readMoves(catalog, composition) {
  const ids = Object.keys(composition.variables);
  const place = new Map(ids.map((id, at) => [id, at]));
  const variables = Object.values(composition.variables).map((base) => /** @type {Variable} */ (catalog.variables[base]));
  /** @param {string} id */
  const at = (id) => /** @type {number} */ (place.get(id));
  const parts = variables.map((variable, v) => (variable.one_time.length ? partsOf(catalog, composition, ids[v] ?? "").map(at) : []));

  /** @param {string} base @param {string[]} values */
  function maskOf(base, values) {
    const known = catalog.variables[base]?.values ?? [];
    return values.reduce((mask, value) => mask | (1 << known.indexOf(value)), 0);
  }

  /** A rule names a family, or one variable of its own. @param {[string, string[]][]} named @returns {Cell[][]} */
  function cellsOf(named) {
    return named
      .filter(([base]) => base !== "place")
      .map(([base, values]) => members(catalog, composition, base).map((id) => ({ v: at(id), mask: maskOf(base, values) })));
  }

  /** A rule as it counts for somebody at a place; one that speaks of another place is never broken. @param {Rule} rule @param {string} [where] @returns {Law} */
  function lawOf(rule, where) {
    const away = rule.while.place && !rule.while.place.includes(where ?? "");
    const astray = where !== undefined && rule.must.place && !rule.must.place.includes(where);
    const whiles = cellsOf(Object.entries(rule.while));
    const musts = cellsOf(Object.entries(rule.must)).flat();
    if (astray) musts.push({ v: whiles.flat()[0]?.v ?? 0, mask: 0 });
    return { whiles: away ? [[]] : whiles, musts };
  }

  /** @param {Instance} instance @param {Law[]} there @returns {Move} */
  function moveOf(instance, there) {
    const step = stepOf(catalog, instance);
    const writes = Object.entries(step.makes).flatMap(([base, value]) =>
      targets(catalog, composition, instance, base).map((id) => /** @type {[number, number]} */ ([at(id), catalog.variables[base]?.values.indexOf(value) ?? 0])),
    );
    const written = new Set(writes.map(([v]) => v));
    const closures = writes.filter(([v]) => variables[v]?.kind === "closure" && parts[v]?.length);
    return {
      id: instance.id,
      seconds: Math.round(step.work_s + step.wait_s),
      needs: Object.entries(step.needs).flatMap(([base, values]) =>
        targets(catalog, composition, instance, base).map((id) => ({ v: at(id), mask: maskOf(base, values) })),
      ),
      writes,
      opens: closures
        .filter(([, value]) => value !== CLOSED)
        .map(([v]) => /** @type {[number, number[]]} */ ([v, (parts[v] ?? []).filter((part) => !written.has(part))]))
        .filter(([, used]) => used.length),
      tightens: closures.filter(([, value]) => value <= 1).map(([v, value]) => [v, value, parts[v] ?? []]),
      there,
    };
  }

  const rules = rulesInForce(catalog, composition);
  const placed = rules.filter(speaksOfPlace);
  const there = new Map(["under", "beside", "bonnet", "cabin"].map((where) => [where, placed.map((rule) => lawOf(rule, where))]));
  const order = new Map(catalog.steps.map(({ id }, step) => [id, step]));
  const moves = [...composition.steps, ...composition.standby]
    .map((instance) => ({ step: stepOf(catalog, instance), instance }))
    .filter(({ step }) => Object.keys(step.makes).length)
    .map(({ step, instance }) => ({ step, move: moveOf(instance, there.get(step.where ?? "") ?? []) }));
  const course = [...moves].sort((one, other) => (order.get(one.step.id) ?? 0) - (order.get(other.step.id) ?? 0));
  return {
    ids,
    variables,
    parts,
    laws: rules.filter((rule) => !speaksOfPlace(rule)).map((rule) => lawOf(rule)),
    all: moves.map(({ move }) => move),
    day: moves.filter(({ step }) => !step.standby).map(({ move }) => move),
    course: course.map(({ move }) => move),
  };
}
