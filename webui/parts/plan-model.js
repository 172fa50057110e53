/**
 * What a plan comes to: which services this car can have, how long they take, what to buy, which tools, how the day
 * goes. Pure, read off the same composition that the visit will follow.
 */

/** @import { Amount, Catalog, Composition, Equipment, Supply, Tool, Tree, Value, Values } from "../core/types.js" */
/** @import { Car } from "../app/types.js" */
/** @import { Knowledge } from "./known.js" */

import { compose, namesIn, stepOf } from "../core/compose.js";
import { evaluate } from "../core/evaluate.js";
import { words } from "../app/words.js";
import { amountValue, formulaOf, lookUp } from "./known.js";
import { choosePacks } from "./packs-to-buy.js";
import { givenOf } from "./worked.js";

/** @typedef {{ work_s: number, wait_s: number, count: number }} Spent */

/** @param {Record<string, import("../core/types.js").VehicleFact>} facts @returns {Record<string, Value>} */
function plainValues(facts) {
  return Object.fromEntries(Object.entries(facts).map(([name, { value }]) => [name, value]));
}

/**
 * Composed afresh at every choice; a few milliseconds.
 *
 * @param {Catalog} catalog
 * @param {Car} car
 * @param {string[]} jobs chosen
 * @param {Record<string, Value>} settings
 */
export function planVisit(catalog, car, jobs, settings) {
  const facts = { ...plainValues(car.facts), ...settings };
  const composition = compose(catalog, jobs, facts);
  /** @type {Knowledge} */
  const knowledge = { catalog, carFacts: car.facts, values: { ...composition.facts } };
  return {
    composition,
    knowledge,
    total: spentBy(catalog, composition, () => true),
    phases: catalog.phases
      .map((phase) => ({ ...phase, ...spentBy(catalog, composition, (step) => step.phase === phase.id) }))
      .filter(({ count }) => count > 0),
    shared: spentBy(catalog, composition, (step) => catalog.jobs[step.job]?.shared === true),
  };
}

/**
 * The services this car can have, each with its own time.
 *
 * @param {Catalog} catalog
 * @param {Car} car
 * @param {Record<string, Value>} settings
 */
export function findServices(catalog, car, settings) {
  const all = Object.keys(catalog.jobs).filter((id) => !catalog.jobs[id]?.shared);
  const composition = compose(catalog, all, { ...plainValues(car.facts), ...settings });
  const services = composition.jobs
    .map((id) => ({ id, job: /** @type {import("../core/types.js").Job} */ (catalog.jobs[id]), ...spentBy(catalog, composition, (step) => step.job === id) }))
    .sort((a, b) => a.job.order - b.job.order);
  return { services, missing: composition.missing };
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {(step: import("../core/types.js").Step) => boolean} belongs
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

/** @param {Knowledge} knowledge @param {Tree | null} when */
export function applies({ catalog, values }, when) {
  return !when || evaluate(when, values, catalog.tables).value === true;
}

/** @typedef {{ supply: Supply, jobs: string[], approval: string, grade: string, amount: string, figure: string | null, packs: import("./packs-to-buy.js").Packs | null, count: number | null }} Line */

/**
 * What to buy: fluids with the approval they must carry, then parts.
 *
 * @param {Knowledge} knowledge
 * @param {string[]} jobs
 * @returns {{ fluids: Line[], parts: Line[] }}
 */
export function findSupplies(knowledge, jobs) {
  const { catalog } = knowledge;
  const lines = jobs.flatMap((id) => {
    const supplies = (catalog.jobs[id]?.supplies ?? []).filter(({ when }) => applies(knowledge, when));
    return supplies.map((supply) => lineOf(knowledge, supply, catalog.jobs[id]?.title ?? id));
  });
  return { fluids: lines.filter(({ supply }) => supply.quantity), parts: gather(lines.filter(({ supply }) => !supply.quantity)) };
}

/** Parts that go by one name, counted together. @param {Line[]} lines */
function gather(lines) {
  /** @type {Map<string, Line>} */
  const byTitle = new Map();
  for (const line of lines) {
    const { title } = line.supply;
    const first = byTitle.get(title);
    const count = (first?.count ?? 0) + (line.count ?? 0);
    byTitle.set(title, { ...line, count: count || null, jobs: [...(first?.jobs ?? []), ...line.jobs] });
  }
  return [...byTitle.values()];
}

/** @param {Knowledge} knowledge @param {Supply} supply @param {string} job @returns {Line} */
function lineOf(knowledge, supply, job) {
  const { quantity } = supply;
  const named = quantity && "name" in quantity ? quantity.name : null;
  const need = named ? givenOf(knowledge, named) : { value: null, from: words.numbers.fixed };
  const say = /** @param {string | null} fact */ (fact) => (fact ? lookUp(knowledge, fact).text : "");
  return {
    supply,
    jobs: [job],
    approval: say(supply.approval),
    grade: say(supply.grade),
    amount: named ? lookUp(knowledge, named).text : quantity && "shown" in quantity ? quantity.shown : "",
    figure: named,
    packs: choosePacks(knowledge.catalog, { ...need, value: shownAmount(knowledge, quantity) }, supply.packs),
    count: amountValue(knowledge, supply.count),
  };
}

/** The amount as it is shown: packs are counted for the number a person reads. @param {Knowledge} knowledge @param {Amount | null} quantity */
function shownAmount(knowledge, quantity) {
  const exact = amountValue(knowledge, quantity);
  const step = quantity && "name" in quantity ? formulaOf(knowledge.catalog, quantity.name)?.result.round_to : null;
  return exact === null || !step ? exact : Math.round(exact / step) * step;
}

/**
 * Tools with the sizes they are needed in, and equipment with why; each once.
 *
 * @param {Knowledge} knowledge
 * @param {string[]} jobs chosen and shared
 */
export function findTools(knowledge, jobs) {
  const { catalog } = knowledge;
  const all = jobs.flatMap((id) => catalog.jobs[id] ?? []);
  /** @type {Map<string, string[]>} */
  const tools = new Map();
  for (const tool of all.flatMap((job) => job.tools)) {
    if (!applies(knowledge, tool.when)) continue;
    const sizes = tools.get(tool.title) ?? [];
    const size = sizeText(knowledge, tool);
    tools.set(tool.title, size && !sizes.includes(size) ? [...sizes, size] : sizes);
  }
  /** @type {Map<string, Equipment>} */
  const equipment = new Map();
  for (const one of all.flatMap((job) => job.equipment)) if (applies(knowledge, one.when)) equipment.set(one.title, one);
  return { tools: [...tools].map(([title, sizes]) => ({ title, sizes })), equipment: [...equipment.values()] };
}

/** @param {Knowledge} knowledge @param {Tool} tool */
function sizeText(knowledge, { size }) {
  if (!size) return "";
  return "text" in size ? size.text : lookUp(knowledge, size.name).text;
}

/** Jobs of a composition, those that come with the chosen ones included. @param {Composition} composition */
export function jobsOf(composition) {
  return [...new Set([...composition.jobs, ...composition.steps.map(({ step }) => step.split("/")[0] ?? "")])];
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

/** Every name a step reads, through its figures too. @param {Catalog} catalog @param {import("../core/types.js").Step} step */
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
