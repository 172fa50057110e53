/**
 * What the chosen services need from a shop: fluids in packs, parts by their numbers, and what is used up beside them.
 *
 * One list for all services of a visit. Two circuits that take the same fluid under the same approval are bought for
 * together, since packs come out fewer; parts are gathered only where their numbers say that they are the same.
 */

/** @import { Amount, Catalog, Composition, Supply, Values } from "./types.js" */
/** @import { Inventory } from "./inventory.js" */

import { evaluate } from "./evaluate.js";
import { valueOf } from "./figures.js";
import { choosePacks } from "./packs.js";
import { priceOf } from "./inventory.js";
import { packPrice, partPrice } from "./prices.js";

/** @typedef {{ catalog: Catalog, car: string, values: Values, inventory: Inventory }} Planned what a plan is read off */
/** @typedef {{ size: number, shown: string, count: number, of: string, price: number | null }} Pack size in m³; of: what its price is the price of */

/**
 * @typedef {object} FluidLine
 * @property {string} id
 * @property {string} title
 * @property {string | null} fluid
 * @property {string} approval what the label must carry; "" where nothing is asked or known
 * @property {string} grade
 * @property {number | null} need m³, as it is shown; null while a number for it is missing
 * @property {{ job: string, name: string | null, need: number | null }[]} sources which jobs want how much of it, and the figure or fact that says so
 * @property {Pack[]} packs every size there is; count 0 where it is not bought
 * @property {number | null} volume bought, m³
 * @property {number | null} left_over m³
 * @property {number | null} price null while one of the packs has none
 */

/** @typedef {{ id: string, titles: string[], number: string, fact: string | null, count: number | null, jobs: string[], of: string, price: number | null }} PartLine titles: what each job calls it, where they go by one number; price: of all of them */
/** @typedef {{ fluids: FluidLine[], parts: PartLine[], consumables: PartLine[] }} Shopping */

/**
 * @param {Planned} planned
 * @param {string[]} jobs chosen and shared
 * @returns {Shopping}
 */
export function listShopping(planned, jobs) {
  const supplies = jobs.flatMap((job) => suppliesOf(planned, job).map((supply) => ({ job, supply })));
  const isFluid = /** @param {Wanted} wanted */ ({ supply }) => supply.quantity !== null;
  const isPart = /** @param {Wanted} wanted */ ({ supply }) => Boolean(supply.part ?? supply.number);
  const rest = supplies.filter((each) => !isFluid(each));
  return {
    fluids: gatherFluids(planned, supplies.filter(isFluid)),
    parts: gatherParts(planned, rest.filter(isPart)),
    consumables: gatherParts(planned, rest.filter((each) => !isPart(each))),
  };
}

/** @typedef {{ job: string, supply: Supply }} Wanted */

/** @param {Planned} planned @param {string} job */
export function suppliesOf({ catalog, values }, job) {
  return (catalog.jobs[job]?.supplies ?? []).filter(({ when }) => !when || evaluate(when, values, catalog.tables).value === true);
}

/** @param {Planned} planned @param {Wanted[]} wanted @returns {FluidLine[]} */
function gatherFluids(planned, wanted) {
  /** @type {Map<string, Wanted[]>} */
  const alike = new Map();
  for (const each of wanted) {
    const { fluid, approval, grade, title, packs } = each.supply;
    const label = [textOf(planned, approval), textOf(planned, grade)];
    // Without a word about the label two circuits may well take two different fluids.
    const isTold = fluid === null || label.some(Boolean);
    const key = JSON.stringify([fluid ?? packs.map(({ shown }) => shown), label, isTold ? fluid ?? plainName(title) : `${each.job}/${each.supply.id}`]);
    alike.set(key, [...(alike.get(key) ?? []), each]);
  }
  return [...alike.values()].map((group) => fluidLine(planned, group));
}

/** "Distilled water, main circuit" and "…, second circuit" are one thing in a shop. @param {string} title */
function plainName(title) {
  return title.split(",")[0] ?? title;
}

/** @param {Planned} planned @param {Wanted[]} group @returns {FluidLine} */
function fluidLine(planned, group) {
  const { supply } = /** @type {Wanted} */ (group[0]);
  const approval = textOf(planned, supply.approval);
  const sources = group.map(({ job, supply: { quantity } }) => ({ job, name: quantity && "name" in quantity ? quantity.name : null, need: amountShown(planned, quantity) }));
  const needs = sources.map(({ need }) => need);
  const need = needs.some((each) => each === null) ? null : needs.reduce((/** @type {number} */ sum, each) => sum + Number(each), 0);
  const sizes = packsOf(planned, group, approval);
  const bought = need === null ? null : buyPacks(need, sizes);
  return {
    id: `fluid:${supply.fluid ?? plainName(supply.title)}:${approval}:${textOf(planned, supply.grade)}${approval ? "" : `:${group[0]?.job}`}`,
    title: group.length > 1 ? (planned.catalog.fluids[supply.fluid ?? ""]?.title ?? plainName(supply.title)) : supply.title,
    fluid: supply.fluid,
    approval,
    grade: textOf(planned, supply.grade),
    need,
    sources,
    packs: sizes.map((pack, at) => ({ ...pack, count: bought?.counts[at] ?? 0 })),
    volume: bought?.volume ?? null,
    left_over: bought?.left_over ?? null,
    price: bought?.price ?? null,
  };
}

/** @param {Planned} planned @param {Wanted[]} group @param {string} approval @returns {Pack[]} */
function packsOf({ inventory }, group, approval) {
  /** @type {Map<string, Pack>} */
  const packs = new Map();
  for (const { supply } of group) {
    for (const { value, shown } of supply.packs) {
      const of = packPrice(supply, approval, shown);
      packs.set(shown, { size: Number(value), shown, count: 0, of, price: priceOf(inventory, of)?.value ?? null });
    }
  }
  return [...packs.values()].sort((one, other) => one.size - other.size);
}

/** The sizes that are chosen among: those with a price, or all where none has one. @param {Pack[]} packs */
export function offeredOf(packs) {
  const priced = packs.filter(({ price }) => price !== null);
  return priced.length ? priced : packs;
}

/**
 * @param {number} need @param {Pack[]} packs
 * @returns {{ counts: number[], volume: number, left_over: number, price: number | null } | null}
 */
function buyPacks(need, packs) {
  const offered = offeredOf(packs);
  if (offered.length === 0) return null;
  const sizes = offered.map(({ size }) => size);
  const prices = offered.flatMap(({ price }) => price ?? []);
  const given = { need, sizes, ...(prices.length ? { prices } : {}) };
  const { value } = choosePacks(given);
  if (!value) return null;
  const counts = packs.map((pack) => Number(/** @type {number[]} */ (value.counts)[offered.indexOf(pack)] ?? 0));
  return { counts, volume: Number(value.volume), left_over: Number(value.left_over), price: value.price === null ? null : Number(value.price) };
}

/** @param {Planned} planned @param {Wanted[]} wanted @returns {PartLine[]} */
function gatherParts(planned, wanted) {
  /** @type {Map<string, PartLine>} */
  const lines = new Map();
  for (const { job, supply } of wanted) {
    const number = textOf(planned, supply.number ?? null);
    const of = partPrice(number, planned.car, supply.part || supply.number ? `${job}/${supply.id}` : supply.title);
    const first = lines.get(of);
    const count = (first?.count ?? 0) + (countShown(planned, supply.count) ?? 0);
    const price = priceOf(planned.inventory, of)?.value ?? null;
    lines.set(of, {
      id: of,
      titles: [...new Set([...(first?.titles ?? []), supply.title])],
      number,
      fact: supply.number ?? null,
      count: count || null,
      jobs: [...(first?.jobs ?? []), job],
      of,
      price: price === null ? null : price * Math.max(1, count),
    });
  }
  return [...lines.values()];
}

/** @param {Planned} planned @param {string | null} fact @returns {string} its value in words, "" where it is not known */
function textOf({ catalog, values }, fact) {
  const value = fact ? values[fact] : undefined;
  return typeof value === "string" ? (catalog.facts[fact ?? ""]?.options?.[value] ?? value) : "";
}

/** As a person reads it: packs are counted for the number that is shown. @param {Planned} planned @param {Amount | null} amount @returns {number | null} */
function amountShown(planned, amount) {
  const exact = valueOf(planned.catalog, amount, planned.values);
  if (typeof exact !== "number") return null;
  const figure = amount && "name" in amount ? planned.catalog.figures[amount.name] : undefined;
  const step = planned.catalog.formulas[figure?.formula ?? ""]?.result.round_to;
  return step ? Math.round(exact / step) * step : exact;
}

/** @param {Planned} planned @param {Amount | null} count a number, or a list, one for each of its entries @returns {number | null} */
function countShown({ catalog, values }, count) {
  const value = valueOf(catalog, count, values);
  return Array.isArray(value) ? value.length : typeof value === "number" ? value : null;
}

/** Jobs of a composition, those that come with the chosen ones included. @param {Composition} composition */
export function jobsOf(composition) {
  return [...new Set([...composition.jobs, ...composition.steps.map(({ step }) => step.split("/")[0] ?? "")])];
}
