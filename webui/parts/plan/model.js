/**
 * What a plan comes to: which services this car can have, how long they take, and which settings they ask for. Pure, read
 * off the same composition that the visit will follow.
 */

/** @import { Catalog, Composition, Job, Step, Value, Values } from "../../core/types.js" */
/** @import { Car } from "../../app/types.js" */
/** @import { Learned } from "../../core/durations.js" */
/** @import { Knowledge } from "../texts/known.js" */

import { compose, namesIn, stepOf } from "../../core/compose.js";
import { reservedServices } from "../../core/decide.js";
import { evaluate } from "../../core/evaluate.js";
import { spendInTurn } from "../../core/in-turn.js";
import { jobsOf } from "../../core/shopping.js";

/** @typedef {{ work_s: number, wait_s: number, count: number }} Spent */
/** @typedef {{ id: string, job: Job, isReserved: boolean, people: number } & Spent} Service isReserved: hazards keep it for trained people on this car */

/** @param {Record<string, import("../../core/types.js").VehicleFact>} facts @returns {Record<string, Value>} */
export function plainValues(facts) {
  return Object.fromEntries(Object.entries(facts).map(([name, { value }]) => [name, value]));
}

/**
 * Composed afresh at every choice; a few milliseconds.
 *
 * @param {Catalog} catalog
 * @param {Car} car
 * @param {string[]} jobs chosen
 * @param {Record<string, Value>} settings
 * @param {Learned | null} learned
 */
export function planVisit(catalog, car, jobs, settings, learned) {
  const facts = { ...plainValues(car.facts), ...settings };
  const composition = compose(catalog, jobs, facts);
  /** @type {Knowledge} */
  const knowledge = { catalog, carFacts: car.facts, settings, values: { ...composition.facts } };
  return {
    composition,
    knowledge,
    total: spendInTurn(catalog, composition, learned),
  };
}

/**
 * The services this car can have, each with its own time; and those that it has but nobody does at home.
 *
 * @param {Catalog} catalog
 * @param {Car} car
 * @param {Record<string, Value>} settings
 */
export function findServices(catalog, car, settings) {
  const all = Object.keys(catalog.jobs).filter((id) => !catalog.jobs[id]?.shared);
  const composition = compose(catalog, all, { ...plainValues(car.facts), ...settings });
  const told = /** @param {string} id @param {boolean} isReserved @returns {Service} */ (id, isReserved) => {
    const job = /** @type {Job} */ (catalog.jobs[id]);
    const people = Math.max(1, ...composition.steps.map((instance) => stepOf(catalog, instance)).map((step) => (step.job === id ? (step.people ?? 1) : 1)));
    return { id, job, isReserved, people, ...spentBy(catalog, composition, (step) => step.job === id) };
  };
  const byOrder = /** @param {Service} one @param {Service} other */ (one, other) => one.job.order - other.job.order;
  const services = composition.jobs.map((id) => told(id, false)).sort(byOrder);
  const reserved = reservedServices(catalog, composition.facts).filter((id) => !composition.jobs.includes(id)).map((id) => told(id, true));
  return { services, reserved: reserved.sort(byOrder), missing: composition.missing };
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {(step: Step) => boolean} belongs
 * @returns {Spent}
 */
function spentBy(catalog, composition, belongs) {
  const steps = composition.steps.map((instance) => stepOf(catalog, instance)).filter(belongs);
  return {
    work_s: steps.reduce((sum, step) => sum + step.work_s, 0),
    wait_s: steps.reduce((sum, step) => sum + step.wait_s, 0),
    count: steps.length,
  };
}

/**
 * The settings that the chosen work asks for: those its steps, their conditions and their figures read.
 *
 * @param {Catalog} catalog
 * @param {Values} values
 * @param {Composition} composition
 * @returns {string[]} choices first, numbers last
 */
export function findSettings(catalog, values, composition) {
  const jobs = new Set(jobsOf(composition));
  const read = new Set(catalog.steps.filter(({ job }) => jobs.has(job)).flatMap((step) => namesRead(catalog, step)));
  const isAsked = /** @param {string} name */ (name) => {
    const fact = catalog.facts[name];
    return fact?.of === "visit" && (!fact.when || evaluate(fact.when, values, catalog.tables).value === true);
  };
  const asked = [...read].filter(isAsked).sort();
  return ["choice", "list", "text", "yes-no", "quantity"].flatMap((kind) => asked.filter((name) => catalog.facts[name]?.kind === kind));
}

/** Every name a step reads, through its figures too. @param {Catalog} catalog @param {Step} step */
function namesRead(catalog, step) {
  const amounts = [step.hold?.least, step.hold?.most, step.window?.from, step.window?.to];
  const named = amounts.flatMap((amount) => (amount && "name" in amount ? [amount.name] : []));
  const places = [...step.says.matchAll(/\{(\w+)\}/g)].map((match) => match[1] ?? "");
  const when = step.when ? namesIn(step.when) : [];
  return throughFigures(catalog, [...step.shows, ...step.judges, ...(step.torque ? [step.torque] : []), ...named, ...places, ...when]);
}

/** @param {Catalog} catalog @param {string[]} names @returns {string[]} */
function throughFigures(catalog, names) {
  return names.flatMap((name) => {
    const figure = catalog.figures[name];
    if (!figure) return [name];
    return throughFigures(catalog, Object.values(figure.with).flatMap((amount) => ("name" in amount ? [amount.name] : [])));
  });
}
