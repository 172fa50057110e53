/**
 * Which numbers of a car something needs: a step, a job, a whole visit. A number that is missing never keeps a visit from
 * being planned; the step that needs it asks for it. server/fillfirst/specs/linking/needs.py says the same of demo cars.
 */

/** @import { Amount, Catalog, Composition, Fact, Instance, Step, Tree, Values } from "./types.js" */

import { namesIn, resolve, stepOf } from "./compose.js";
import { evaluate } from "./evaluate.js";

/**
 * The facts that a step asks for: what it shows, works with and judges by, through figures to what they rest on.
 *
 * @param {Catalog} catalog @param {Step} step @returns {string[]}
 */
export function namesNeeded(catalog, step) {
  const texts = [step.title, step.says, step.does, step.why, step.photo ?? "", ...step.findings.map(({ says }) => says)];
  const amounts = [step.hold?.least, step.hold?.most, step.window?.from, step.window?.to];
  const direct = [step.each, step.torque, step.positions, ...step.shows, ...step.judges, ...named(amounts), ...texts.flatMap(placesIn)];
  return factsBehind(catalog, direct);
}

/** The facts that a job's shopping and tools ask for. @param {Catalog} catalog @param {string} job @param {Values} facts resolved @returns {string[]} */
function namesOfJob(catalog, job, facts) {
  const { supplies, tools } = catalog.jobs[job] ?? { supplies: [], tools: [] };
  const bought = supplies.filter(({ when }) => holds(catalog, when, facts)).flatMap((supply) => [supply.approval, supply.grade, ...named([supply.quantity, supply.count]), ...placesIn(supply.title)]);
  const sizes = tools.filter(({ when }) => holds(catalog, when, facts)).map(({ size }) => (size && "name" in size ? size.name : null));
  return factsBehind(catalog, [...bought, ...sizes]);
}

/**
 * What a step of this visit needs and nobody has said: to be asked for before the step is shown, each with its source.
 *
 * @param {Catalog} catalog @param {Composition} composition @param {Instance} instance @returns {string[]}
 */
export function missingFor(catalog, composition, instance) {
  return missingOf(catalog, namesNeeded(catalog, stepOf(catalog, instance)), composition.facts);
}

/**
 * What each chosen job lacks, with the steps that will ask for it; none for what only the shopping list would show.
 *
 * @param {Catalog} catalog @param {Composition} composition
 * @returns {Record<string, { name: string, steps: string[] }[]>} by job, the shared ones among them
 */
export function missingByJob(catalog, composition) {
  /** @type {Record<string, Map<string, string[]>>} */
  const found = {};
  for (const job of composition.jobs) {
    for (const name of missingOf(catalog, namesOfJob(catalog, job, composition.facts), composition.facts)) (found[job] ??= new Map()).set(name, []);
  }
  for (const id of new Set(composition.steps.map(({ step }) => step))) {
    const step = stepOf(catalog, /** @type {Instance} */ ({ step: id }));
    for (const name of missingOf(catalog, namesNeeded(catalog, step), composition.facts)) {
      const job = (found[step.job] ??= new Map());
      job.set(name, [...(job.get(name) ?? []), id]);
    }
  }
  return Object.fromEntries(Object.entries(found).map(([job, names]) => [job, [...names].map(([name, steps]) => ({ name, steps }))]));
}

/**
 * The facts that decide which steps there are, as far as they apply to this car: what a form asks first. One whose own
 * condition waits for another answer is left out until then.
 *
 * @param {Catalog} catalog @param {Values} facts what is known of the car @returns {string[]} in the order of the groups
 */
export function questionsFor(catalog, facts) {
  const conditions = [
    ...Object.values(catalog.facts).map(({ when }) => when),
    ...Object.values(catalog.variables).map(({ when }) => when),
    ...catalog.rules.map(({ when }) => when),
    ...Object.values(catalog.jobs).flatMap(({ when, uses }) => [when, ...Object.values(uses)]),
    ...catalog.steps.map(({ when }) => when),
  ];
  const asked = new Set(conditions.flatMap(namesIn));
  return inForm(catalog, (name) => asked.has(name), facts);
}

/**
 * The facts that these jobs need on this car beyond the questions, known or not: what a form asks next. A list that steps
 * go through comes among them, and once it is known whatever these steps need.
 *
 * @param {Catalog} catalog @param {Composition} composition of these jobs @returns {string[]} in the order of the groups
 */
export function numbersFor(catalog, composition) {
  const questions = new Set(questionsFor(catalog, composition.facts));
  const needed = new Set([
    ...composition.missing,
    ...composition.jobs.flatMap((job) => namesOfJob(catalog, job, composition.facts)),
    ...composition.steps.flatMap((instance) => namesNeeded(catalog, stepOf(catalog, instance))),
    ...Object.values(composition.variables).flatMap((base) => catalog.variables[base]?.torque ?? []),
  ]);
  return inForm(catalog, (name) => needed.has(name) && !questions.has(name), composition.facts);
}

/**
 * What nothing waits for and something may be worked out from: the other facts of the same groups, and intervals of the
 * chosen jobs.
 *
 * @param {Catalog} catalog @param {Values} facts what is known of the car @param {string[]} asked @param {string[]} jobs chosen
 * @returns {string[]} in the order of the groups
 */
export function worthKnowing(catalog, facts, asked, jobs) {
  const groups = new Set(asked.map((name) => catalog.facts[name]?.group));
  const isNear = /** @param {Fact | undefined} fact */ (fact) => (fact?.interval ? jobs.includes(fact.interval.job) : groups.has(fact?.group));
  return inForm(catalog, (name) => !asked.includes(name) && isNear(catalog.facts[name]), facts);
}

/** @param {Catalog} catalog @param {(name: string) => boolean} isWanted @param {Values} facts */
function inForm(catalog, isWanted, facts) {
  const { values } = resolve(catalog, facts);
  const groups = catalog.fact_groups.map(({ id }) => id);
  const order = new Map(catalog.fact_groups.flatMap(({ facts: names = [] }) => names).map((name, at) => [name, at]));
  const place = /** @param {string} name */ (name) => order.get(name) ?? Infinity;
  return Object.entries(catalog.facts)
    .filter(([name, { of, when }]) => of === "car" && isWanted(name) && holds(catalog, when, values))
    .sort(([a, one], [b, other]) => groups.indexOf(one.group) - groups.indexOf(other.group) || (place(a) < place(b) ? -1 : place(a) > place(b) ? 1 : 0))
    .map(([name]) => name);
}

/** @param {Catalog} catalog @param {string[]} names @param {Values} facts resolved @returns {string[]} */
function missingOf(catalog, names, facts) {
  return names.filter((name) => (facts[name] ?? null) === null && holds(catalog, catalog.facts[name]?.when ?? null, facts));
}

/** @param {Catalog} catalog @param {Tree | null} when @param {Values} facts */
function holds(catalog, when, facts) {
  return when === null || evaluate(when, facts, catalog.tables).value === true;
}

/** A figure stands for what its formula cannot do without. @param {Catalog} catalog @param {(string | null | undefined)[]} names @returns {string[]} each once */
function factsBehind(catalog, names) {
  /** @type {Set<string>} */
  const found = new Set();
  const seen = new Set();
  /** @param {string | null | undefined} name */
  function add(name) {
    if (!name || seen.has(name)) return;
    seen.add(name);
    const figure = Object.hasOwn(catalog.figures, name) ? catalog.figures[name] : undefined;
    if (Object.hasOwn(catalog.facts, name)) found.add(name);
    if (!figure) return;
    const inputs = catalog.formulas[figure.formula]?.inputs ?? {};
    for (const [input, amount] of Object.entries(figure.with)) if (!inputs[input]?.optional) named([amount]).forEach(add);
  }
  names.forEach(add);
  return [...found];
}

/** @param {(Amount | null | undefined)[]} amounts */
function named(amounts) {
  return amounts.flatMap((amount) => (amount && "name" in amount ? [amount.name] : []));
}

/** The names in the places of a text, "{wheel_torque}"; {item} is no fact and falls out later. @param {string} text */
function placesIn(text) {
  return [...text.matchAll(/\{(\w+)\}/g)].map((place) => place[1]);
}
