/**
 * What is open, loose, empty or running on the car right now, and since when: read off the folded state.
 * Pure, so that the pill, the drawing and the list cannot disagree.
 */

/** @import { Catalog, Event, Variable } from "../../core/types.js" */
/** @import { Open } from "../../app/types.js" */

import { effects, startingVariables, stepOf } from "../../core/compose.js";
import { words } from "../../app/words.js";
import { itemText, knowledgeOf, lookUp, stateText } from "./known.js";
import { whoMade } from "./people.js";

/** @typedef {"open" | "loose" | "empty" | "used"} Shape told apart by outline, not only by colour */

/**
 * @typedef {object} OpenThing
 * @property {string} id of the variable, or of the family
 * @property {string[]} variables
 * @property {string} title
 * @property {string} value
 * @property {string} says "hand-tight", "empty"
 * @property {Shape} shape
 * @property {string | null} since wall time
 * @property {string} by who brought it there, where more than one phone is on the car
 * @property {string} torque
 * @property {[number, number] | null} place 0..100 × 0..200
 */

/** @type {Record<string, Shape>} */
const SHAPES = { open: "open", "hand-tight": "loose", "first-pass": "loose", empty: "empty", part: "empty", filled: "empty", used: "used" };

/**
 * Every circuit, closure and part that is not as it must be when the car leaves; members of a family in the same state stand together.
 *
 * @param {Open} open
 * @param {Record<string, Event>} [since] left out where only their number is wanted
 * @returns {OpenThing[]}
 */
export function findOpenThings(open, since = findSince(open)) {
  const { catalog, composition, visit } = open;
  /** @type {Map<string, OpenThing>} */
  const things = new Map();
  for (const [id, base] of Object.entries(composition.variables)) {
    const variable = catalog.variables[base];
    const value = visit.variables[id];
    if (!variable || value === undefined || ["fluid", "condition"].includes(variable.kind)) continue;
    if (isAtRest(variable, value, id, open)) continue;
    const key = `${base}:${value}`;
    const group = things.get(key);
    if (group) group.variables.push(id);
    else things.set(key, thingFor(open, base, id, value, since[id] ?? null));
  }
  return [...things.values()].map((thing) => nameFamily(open, thing));
}

/**
 * @param {Variable} variable
 * @param {string} value
 * @param {string} id
 * @param {Open} open
 */
function isAtRest(variable, value, id, open) {
  if (variable.ends.includes(value)) return true;
  // A used seal matters while its closure is off; what touches it is told by the closure itself until it goes back.
  if (variable.kind !== "part") return false;
  return Object.entries(open.composition.variables).every(([other, base]) => {
    const closure = open.catalog.variables[base];
    return !closure?.one_time.includes(id.split("@")[0] ?? id) || open.visit.variables[other] === "open";
  });
}

/** @param {Open} open @param {string} base @param {string} id @param {string} value @param {Event | null} since @returns {OpenThing} */
function thingFor(open, base, id, value, since) {
  const variable = /** @type {Variable} */ (open.catalog.variables[base]);
  const torque = variable.torque ? lookUp(knowledgeOf(open), variable.torque).text : "";
  return {
    id: base,
    variables: [id],
    title: variable.title,
    value,
    says: stateText(open.catalog, base, value),
    shape: SHAPES[value] ?? "open",
    since: since?.wall ?? null,
    by: since ? whoMade(open, since.id) : "",
    torque: variable.kind === "closure" ? torque : "",
    place: placeOf(open.catalog, base, id),
  };
}

/** @param {Open} open @param {OpenThing} thing */
function nameFamily(open, thing) {
  const variable = open.catalog.variables[thing.id];
  if (!variable?.each) return thing;
  const items = thing.variables.map((id) => itemText(open.catalog, variable.each, id.split("@")[1] ?? ""));
  const all = Object.values(open.composition.variables).filter((base) => base === thing.id).length;
  const title = items.length === all && all > 2 ? words.open.all(variable.title, all) : `${variable.title} ${rangeText(items)}`;
  return { ...thing, title };
}

/** "6–12" where all are numbers in a row, else "front left, rear right". @param {string[]} items */
function rangeText(items) {
  const numbers = items.map(Number);
  const inRow = items.length > 2 && numbers.every((number, at) => Number.isInteger(number) && (at === 0 || number === (numbers[at - 1] ?? 0) + 1));
  return inRow ? `${items[0]}–${items.at(-1)}` : items.join(", ");
}

/** Told even when all is well: they decide what may be touched. */
const ALWAYS_TOLD = new Set(["engine", "drive-system", "support", "heat"]);

/**
 * The car and its engine in a few words each; what is not as it must be at the end is always among them.
 *
 * @param {Open} open
 * @returns {{ id: string, title: string, says: string, isSafe: boolean }[]}
 */
export function findConditions({ catalog, composition, visit }) {
  return Object.entries(composition.variables).flatMap(([id, base]) => {
    const variable = catalog.variables[base];
    const value = visit.variables[id];
    if (variable?.kind !== "condition" || value === undefined) return [];
    const isSafe = variable.ends.includes(value) || value === variable.values[0];
    if (variable.ends.includes(value) && !ALWAYS_TOLD.has(base)) return [];
    return [{ id, title: variable.title, says: stateText(catalog, base, value), isSafe }];
  });
}

/**
 * The entry by which each variable came to the value it has: the last step or confirmation that wrote it.
 *
 * @param {Open} open
 * @returns {Record<string, Event>} by variable id
 */
export function findSince({ catalog, composition, visit, events }) {
  const undone = new Set(visit.undone);
  const byId = new Map([...composition.steps, ...composition.standby].map((instance) => [instance.id, instance]));
  const before = startingVariables(catalog, composition);
  /** @type {Record<string, Event>} */
  const since = {};
  for (const event of events) {
    if (undone.has(event.id)) continue;
    for (const [id, value] of Object.entries(writesOf(event))) {
      if (before[id] !== value) since[id] = event;
      before[id] = value;
    }
  }
  return since;

  /** @param {Event} event @returns {Record<string, string>} */
  function writesOf(event) {
    if (event.kind === "state-confirmed") return { [event.payload.variable]: event.payload.value };
    const instance = event.kind === "step-done" ? byId.get(event.payload.step) : undefined;
    return instance ? effects(catalog, composition, before, instance) : {};
  }
}

/**
 * Where something is on the car from above. A wheel or a nipple stands at its corner, whatever its list calls it.
 *
 * @param {Catalog} catalog
 * @param {string} base
 * @param {string} id
 * @returns {[number, number] | null}
 */
export function placeOf(catalog, base, id) {
  const variable = catalog.variables[base];
  const item = id.split("@")[1];
  const corner = item ? cornerOf(item) : null;
  if (corner) return corner;
  if (variable?.place) return variable.place;
  return variable?.circuit ? (catalog.variables[variable.circuit]?.place ?? null) : null;
}

/** @param {string} item such as "front-left" @returns {[number, number] | null} */
export function cornerOf(item) {
  const end = /front/.test(item) ? 42 : /rear/.test(item) ? 158 : null;
  const side = /left/.test(item) ? 13 : /right/.test(item) ? 87 : null;
  return end !== null && side !== null ? [side, end] : null;
}

/**
 * The fluid at hand in a step, as the token of its colour; "none" in shared preparation.
 *
 * @param {Catalog} catalog
 * @param {string} job
 */
export function fluidColour(catalog, job) {
  for (const circuit of catalog.jobs[job]?.renews ?? []) {
    const fluid = catalog.variables[circuit]?.fluid;
    const colour = fluid ? catalog.fluids[fluid]?.colour : undefined;
    if (colour) return colour;
  }
  return "none";
}

/** How full the sight glass is, and where its lines are: one where each phase of the day ends. @param {Open} open */
export function findProgress(open) {
  const { catalog, composition, visit } = open;
  const total = composition.steps.length;
  const done = composition.steps.filter(({ id }) => visit.steps[id]).length;
  const phases = composition.steps.map((instance) => stepOf(catalog, instance).phase);
  const lines = phases.flatMap((phase, at) => (at > 0 && phase !== phases[at - 1] ? [at / total] : []));
  return { total, done, share: total ? done / total : 0, lines };
}
