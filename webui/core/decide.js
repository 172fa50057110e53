/**
 * Whether a service is one for home: what it needs that is not there, what it costs here against an offer, and what the
 * hazards keep for trained people. Pure; the words are the screen's.
 *
 * A verdict never hides a reason: all that speak for it and against it are given, the deciding one first. A service is
 * priced beside the others chosen for its day: packs they share by their litres, the work around all of them in equal
 * shares; where it is the only one, it bears the whole.
 */

/** @import { Catalog, Composition, Job, Values } from "./types.js" */
/** @import { Need } from "./outfit.js" */
/** @import { FluidLine, Planned } from "./shopping.js" */

import { evaluate } from "./evaluate.js";
import { priceOf } from "./inventory.js";
import { listNeeds, missingOf } from "./outfit.js";
import { HOUR, quotePrice, wastePrice } from "./prices.js";
import { jobsOf, listShopping } from "./shopping.js";

/** @typedef {"home" | "home-once" | "hand-over"} Verdict home-once: at home, once what is missing is there */

/**
 * @typedef {object} Cost in the house's currency; a part is null while it cannot be told
 * @property {number | null} fluids in whole packs; of a pack that others pour from too, its share
 * @property {number | null} parts
 * @property {number | null} tools the share of what must be bought for it
 * @property {number} buying what is missing, bought whole, as far as its price is known
 * @property {number | null} waste
 * @property {number | null} time own hours, where an hour has a price
 * @property {number | null} visit its share of the hours that raise the car, look it over and close it up
 * @property {number} sharers over how many services that is shared, this one among them
 * @property {number} known the sum of what is known
 * @property {string[]} unknown what of it has no price: "fluids", "parts", "tools", "waste"
 */

/** @typedef {{ code: "reserved", hazard: string } | { code: "better-handed-over" } | { code: "missing", need: Need } | { code: "cheaper", by: number } | { code: "dearer", by: number } | { code: "tools-first", by: number } | { code: "no-offer" } | { code: "no-price", of: string[] } | { code: "numbers", names: string[] } | { code: "all-there" }} Reason */

/** @typedef {{ job: string, verdict: Verdict, reasons: Reason[], needs: Need[], missing: Need[], cost: Cost, quote: number | null, work_s: number, wait_s: number, people: number }} Judged */

/** Over how many services a tool that is bought for one is shared out: common practice for a tool that lasts. */
export const SERVICES_PER_TOOL = 10;

/** The services that hazards keep for trained people on this car, whatever anyone has in the garage. @param {Catalog} catalog @param {Values} values @returns {string[]} */
export function reservedServices(catalog, values) {
  return Object.keys(catalog.jobs).filter((id) => reservedBy(catalog, values, id).length > 0);
}

/** The hazards that reserve a service on this car. @param {Catalog} catalog @param {Values} values @param {string} job @returns {string[]} */
function reservedBy(catalog, values, job) {
  return Object.entries(catalog.jobs[job]?.reserved ?? {}).flatMap(([hazard, when]) => (evaluate(when, values, catalog.tables).value === true ? [hazard] : []));
}

/**
 * @param {Planned} planned
 * @param {string} job
 * @param {Composition | null} composition of this job alone; null where this car keeps it for trained people
 * @param {{ work_s: number, wait_s: number, people: number, numbers: string[], around_s?: number, others?: string[] }} told its own time, how many people it takes, what is not known about the car; the work around it that others of its day share, and which these are
 * @returns {Judged}
 */
export function decide(planned, job, composition, { work_s, wait_s, people, numbers, around_s = 0, others = [] }) {
  const needs = composition ? listNeeds(planned, jobsOf(composition)) : [];
  const missing = missingOf(needs);
  const cost = costOf(planned, job, missing, { work_s, around_s, others });
  const quote = priceOf(planned.inventory, quotePrice(planned.car, job))?.value ?? null;
  const { verdict, reasons } = judge(planned, job, missing, cost, quote);
  if (numbers.length) reasons.push({ code: "numbers", names: numbers });
  return { job, verdict, reasons, needs, missing, cost, quote, work_s, wait_s, people };
}

/**
 * @param {Planned} planned @param {string} id @param {Need[]} missing @param {Cost} cost @param {number | null} quote
 * @returns {{ verdict: Verdict, reasons: Reason[] }}
 */
function judge(planned, id, missing, cost, quote) {
  const job = /** @type {Job} */ (planned.catalog.jobs[id]);
  const reserved = reservedBy(planned.catalog, planned.values, id);
  /** @type {Reason[]} */
  const lacks = missing.map((need) => ({ code: "missing", need }));
  /** @type {Reason[]} */
  const money = moneyReasons(cost, quote);
  if (reserved.length) return { verdict: "hand-over", reasons: reserved.map((hazard) => ({ code: "reserved", hazard })) };
  if (job.home === "hand-over") return { verdict: "hand-over", reasons: [{ code: "better-handed-over" }, ...lacks, ...money] };
  const dearer = money.find(({ code }) => code === "dearer");
  if (dearer) return { verdict: "hand-over", reasons: [dearer, ...lacks, ...money.filter((reason) => reason !== dearer)] };
  if (missing.length) return { verdict: "home-once", reasons: [...lacks, ...money] };
  return { verdict: "home", reasons: [{ code: "all-there" }, ...money] };
}

/** @param {Cost} cost @param {number | null} quote @returns {Reason[]} */
function moneyReasons(cost, quote) {
  /** @type {Reason[]} */
  const reasons = cost.unknown.length ? [{ code: "no-price", of: cost.unknown }] : [];
  if (quote === null) return [...reasons, { code: "no-offer" }];
  const by = quote - cost.known;
  // Dearer stays dearer whatever the prices that are missing; cheaper is only said where none is.
  if (by < 0) return [{ code: "dearer", by: -by }, ...reasons];
  const whole = cost.known - (cost.tools ?? 0) + cost.buying;
  if (cost.unknown.length) return reasons;
  return [{ code: "cheaper", by }, ...(whole > quote ? /** @type {Reason[]} */ ([{ code: "tools-first", by: whole - quote }]) : [])];
}

/** @param {Planned} planned @param {string} job @param {Need[]} missing @param {{ work_s: number, around_s: number, others: string[] }} day @returns {Cost} */
function costOf(planned, job, missing, { work_s, around_s, others }) {
  const { fluids } = listShopping(planned, [job, ...others.filter((other) => other !== job)]);
  const { parts, consumables } = listShopping(planned, [job]);
  const { inventory, catalog } = planned;
  const hour = priceOf(inventory, HOUR)?.value ?? null;
  const stream = catalog.jobs[job]?.stream ?? "";
  const buying = missing.map(({ price, count, has }) => (price === null ? null : price * (count - (has ?? 0))));
  const told = {
    fluids: sum(fluids.flatMap((line) => shareOfPacks(line, job))),
    parts: sum([...parts, ...consumables].map(({ price }) => price)),
    tools: shareOf(sum(buying)),
    waste: stream ? (priceOf(inventory, wastePrice(stream))?.value ?? null) : 0,
  };
  const sharers = new Set([job, ...others]).size;
  const [time, visit] = hour === null ? [null, null] : [(hour * work_s) / 3600, (hour * around_s) / 3600 / sharers];
  return {
    ...told,
    buying: buying.reduce((/** @type {number} */ total, price) => total + (price ?? 0), 0),
    time,
    visit,
    sharers,
    known: Object.values(told).reduce((/** @type {number} */ total, price) => total + (price ?? 0), (time ?? 0) + (visit ?? 0)),
    unknown: Object.entries(told).flatMap(([name, price]) => (price === null ? [name] : [])),
  };
}

/** What a service bears of a line's packs: by its litres. @param {FluidLine} line @param {string} job @returns {(number | null)[]} none where it takes none of this fluid */
function shareOfPacks({ sources, need, price }, job) {
  const own = sources.filter((source) => source.job === job);
  if (own.length === 0) return [];
  if (own.length === sources.length || price === null || !need) return [price];
  return [(price * own.reduce((total, source) => total + Number(source.need), 0)) / need];
}

/** @param {number | null} price */
function shareOf(price) {
  return price === null ? null : price / SERVICES_PER_TOOL;
}

/** @param {(number | null)[]} prices @returns {number | null} null while one is missing */
function sum(prices) {
  return prices.some((price) => price === null) ? null : prices.reduce((/** @type {number} */ total, price) => total + Number(price), 0);
}
