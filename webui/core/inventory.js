/**
 * What a house has at hand, what things cost there, and what is planned for a car: folded from entries, like all else.
 *
 * Entries with the subject "garage" tell of things and prices; those with the subject of a car tell what its owner
 * decided for each service, and which lines of the lists are ticked. Where two phones differ the later entry stands:
 * before the day nothing is at risk, and every rating is read again before the car goes up.
 */

/** @import { Catalog, Event } from "./types.js" */
/** @import { Mark as Said } from "./entries.js" */

import { markOf, standing } from "./entries.js";

/** The subject of entries that belong to the house. */
export const GARAGE = "garage";

/** @typedef {{ value: number, typed: string, unit: string }} Marked value in SI */
/** @typedef {{ id: string, of: string, title: string, count: number, marks: Record<string, Marked> } & Said} Thing of: a kind of specs/equipment.toml */
/** @typedef {{ value: number, currency: string } & Said} Price in the currency's own unit */
/** @typedef {{ value: number | null, currency: string } & Said} PriceSaid null: from here on it has none */
/** @typedef {{ things: Record<string, Thing>, gone: (Thing & { because: string | null })[], prices: Record<string, PriceSaid[]>, currency: string }} Inventory prices: every one that was written, the one that stands last */

/** @typedef {"home" | "hand-over" | "leave"} Choice */
/** @typedef {{ job: string, choice: Choice, verdict: string | null, because: string | null } & Said} Decision verdict: what the plan said when it was decided */
/** @typedef {{ decisions: Record<string, Decision>, decided: Decision[], ticks: Record<string, Said> }} CarPlan decisions: those since the car's last visit began; decided: all of them */

/**
 * @param {Iterable<Event>} events of the subject "garage"
 * @returns {Inventory}
 * @throws {import("./events.js").EventError}
 */
export function foldInventory(events) {
  /** @type {Inventory} */
  const inventory = { things: {}, gone: [], prices: {}, currency: "" };
  for (const event of standing(events)) {
    const { payload } = event;
    if (event.kind === "thing-kept") {
      const { thing: id, of, title, count, marks } = payload;
      inventory.things[id] = { id, of, title: title ?? "", count: count ?? 1, marks: marks ?? {}, ...markOf(event) };
    } else if (event.kind === "thing-gone") {
      const thing = inventory.things[payload.thing];
      if (thing) inventory.gone.push({ ...thing, because: payload.because ?? null, ...markOf(event) });
      delete inventory.things[payload.thing];
    } else if (event.kind === "price-written") {
      const currency = payload.currency || inventory.currency;
      (inventory.prices[payload.of] ??= []).push({ value: payload.value, currency, ...markOf(event) });
      inventory.currency = currency;
    } else if (event.kind === "price-withdrawn") {
      (inventory.prices[payload.of] ??= []).push({ value: null, currency: inventory.currency, ...markOf(event) });
    }
  }
  return inventory;
}

/**
 * What its owner decided and ticked for the visit that is being planned.
 *
 * @param {Iterable<Event>} events of a car
 * @param {string | null} since wall time at which the car's last visit began: what was planned until then is done with
 * @returns {CarPlan}
 */
export function foldPlan(events, since) {
  const from_ms = since === null ? -Infinity : Date.parse(since);
  /** @type {CarPlan} */
  const plan = { decisions: {}, decided: [], ticks: {} };
  for (const event of standing(events)) {
    const isNow = Date.parse(event.wall) > from_ms;
    if (event.kind === "service-decided") {
      const { job, choice, verdict = null, because = null } = event.payload;
      const decision = { job, choice, verdict, because, ...markOf(event) };
      plan.decided.push(decision);
      if (isNow) plan.decisions[job] = decision;
    } else if (event.kind === "line-ticked" && isNow) {
      const { line, done } = event.payload;
      if (done) plan.ticks[line] = markOf(event);
      else delete plan.ticks[line];
    }
  }
  return plan;
}

/** The price that stands, or null where none was typed, or it was taken back. @param {Inventory} inventory @param {string} of @returns {Price | null} */
export function priceOf(inventory, of) {
  const last = inventory.prices[of]?.at(-1);
  return last && last.value !== null ? { ...last, value: last.value } : null;
}

/** The things of a kind. @param {Inventory} inventory @param {string} kind @returns {Thing[]} */
export function thingsOf(inventory, kind) {
  return Object.values(inventory.things).filter(({ of }) => of === kind);
}

/** Things of any of these kinds, counted. @param {Inventory} inventory @param {string[]} kinds */
export function countOf(inventory, kinds) {
  return Math.max(0, ...kinds.map((kind) => thingsOf(inventory, kind).reduce((sum, { count }) => sum + count, 0)));
}

/** @typedef {{ id: string, of: string, title: string, marks: Record<string, Marked> }} Wrench */

/** The largest torque a wrench can be trusted with, over the least. Source: iso-6789, as in specs/formulas/wrench-suits-torque.toml. */
export const TRUSTED_SPAN = 5;

/**
 * The torques that a wrench can be trusted with: from a fifth of its largest value up, for below that its error is no
 * longer the one on its sheet, and no further down than its scale goes.
 *
 * @param {Thing} wrench
 * @returns {{ least: number, most: number } | null} N·m; null where nobody told how far its scale goes
 */
export function trustedRange({ marks }) {
  const most = marks.most?.value;
  return most === undefined ? null : { least: Math.max(marks.least?.value ?? 0, most / TRUSTED_SPAN), most };
}

/**
 * The torque wrenches that can be trusted with this torque, the one that sits best in the middle of its scale first.
 *
 * @param {Inventory} inventory @param {number} torque N·m
 * @returns {Thing[]}
 */
export function wrenchesFor(inventory, torque) {
  const reach = thingsOf(inventory, "torque-wrench").flatMap((thing) => {
    const range = trustedRange(thing);
    if (!range) return [];
    const { least, most } = range;
    return torque >= least * (1 - 1e-9) && torque <= most * (1 + 1e-9) ? [{ thing, off: Math.abs(torque / most - 0.6) }] : [];
  });
  return reach.sort((a, b) => a.off - b.off).map(({ thing }) => thing);
}

/**
 * The number that all things of a kind share in the unlucky case: the weakest jack, the weakest stand.
 *
 * @param {Inventory} inventory @param {string} kind @param {string} mark @returns {number | null} SI
 */
export function leastMark(inventory, kind, mark) {
  const values = thingsOf(inventory, kind).flatMap(({ marks }) => marks[mark]?.value ?? []);
  return values.length ? Math.min(...values) : null;
}

/** What may be kept, in the order of the screen. @param {Catalog} catalog @returns {{ group: string, kinds: string[] }[]} */
export function groupsOf(catalog) {
  const kinds = Object.entries(catalog.equipment ?? {}).sort(([, a], [, b]) => a.order - b.order);
  /** @type {Map<string, string[]>} */
  const groups = new Map();
  for (const [id, { group }] of kinds) groups.set(group, [...(groups.get(group) ?? []), id]);
  return [...groups].map(([group, ids]) => ({ group, kinds: ids }));
}
