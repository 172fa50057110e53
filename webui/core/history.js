/**
 * What entries tell of a car over the years: services, meters, policies; and what follows a closed visit.
 *
 * A visit that renewed a fluid says so itself; what was done elsewhere is an entry of the car. Both are read here, beside
 * the folds of visit and car, which pass these entries over. The same vectors (tests/agreement/due.json) drive this file
 * and server/fillfirst/records/history.py.
 */

/** @import { Mark } from "./entries.js" */
/** @import { Amount, Catalog, Composition, Event, Visit } from "./types.js" */

import { valueOf } from "./figures.js";
import { markOf, standing } from "./entries.js";
import { inOrder } from "./events.js";
import { personOf } from "./people.js";

export const POLICIES = /** @type {const} */ (["strictest", "maker", "severe", "own"]);

/** @typedef {{ date: string, value: number, visit: string | null }} MeterReading what a meter showed on a day: metres, or seconds */
/** @typedef {{ job: string, date: string, odometer_m: number | null, hours_s: number | null, visit: string | null, reference: string }} ServiceDone reference: what shows it, where no visit does */
/** @typedef {{ id: string, visit: string, date: string, odometer_m: number | null, distance: number | null, time: number | null, is_done: boolean }} Recheck id: "job/recheck" */
/** @typedef {{ services: ServiceDone[], odometers: MeterReading[], hours: MeterReading[], policies: Record<string, string> }} CarHistory policies by job; under "" the one for all */

/**
 * @typedef {object} Afterwards what was added to a visit beside its steps; `by` is who made the entry, named there or not
 * @property {({ value: number, typed: string, unit: string, because: string } & Mark)[]} corrections of the odometer
 * @property {Record<string, { product: string | null, batch: string | null, label: string | null } & Mark>} fluids by circuit
 * @property {({ stream: string, value: number | null, typed: string | null, unit: string | null, place: string, receipt: string | null } & Mark)[]} used_fluids
 * @property {Record<string, { finding: string | null, note: string | null } & Mark>} rechecks by "job/recheck"
 * @property {({ what: string, amount: number, unit: string, price: number, currency: string } & Mark)[]} charges
 * @property {({ name: string, note: string | null, signature: string | null } & Mark)[]} acknowledged signature: path data, as it was drawn
 */

/**
 * What the entries of one car say of its past.
 *
 * @param {Iterable<Event>} events
 * @returns {CarHistory}
 * @throws {import("./events.js").EventError}
 */
export function foldHistory(events) {
  /** @type {CarHistory} */
  const history = { services: [], odometers: [], hours: [], policies: {} };
  for (const { kind, payload, wall } of standing(events)) {
    const date = wall.slice(0, 10);
    if (kind === "odometer-read") history.odometers.push({ date, value: payload.value, visit: null });
    else if (kind === "hours-read") history.hours.push({ date, value: payload.value, visit: null });
    else if (kind === "policy-chosen" && POLICIES.includes(payload.policy)) history.policies[payload.job || ""] = payload.policy;
    else if (kind === "service-noted") noteService(history, payload);
  }
  return history;
}

/** @param {CarHistory} history @param {Record<string, any>} payload */
function noteService(history, { job, date, odometer_m = null, hours_s = null, source }) {
  history.services.push({ job, date, odometer_m, hours_s, visit: null, reference: source.reference });
  if (odometer_m !== null) history.odometers.push({ date, value: odometer_m, visit: null });
  if (hours_s !== null) history.hours.push({ date, value: hours_s, visit: null });
}

const LISTED = /** @type {const} */ ({
  "odometer-corrected": ["corrections", ["value", "typed", "unit", "because"]],
  "used-fluid-taken": ["used_fluids", ["stream", "value", "typed", "unit", "place", "receipt"]],
  "charge-noted": ["charges", ["what", "amount", "unit", "price", "currency"]],
  acknowledged: ["acknowledged", ["name", "note", "signature"]],
});

/**
 * What the entries of one visit say beside its steps.
 *
 * @param {Event[]} events
 * @returns {Afterwards}
 * @throws {import("./events.js").EventError}
 */
export function foldAfterwards(events) {
  /** @type {any} */
  const after = { corrections: [], fluids: {}, used_fluids: [], rechecks: {}, charges: [], acknowledged: [] };
  const stands = standing(events);
  const log = inOrder(events);
  for (const event of stands) {
    const { kind, payload } = event;
    const mark = { ...markOf(event), by: personOf(log, { device: event.device, by: payload.by }) };
    if (Object.hasOwn(LISTED, kind)) {
      const [key, names] = LISTED[/** @type {keyof typeof LISTED} */ (kind)];
      after[key].push({ ...pick(event, names), ...mark });
    } else if (kind === "fluid-noted") {
      // What one entry leaves out, an earlier one may have said.
      const told = pick(event, ["product", "batch", "label"]);
      const before = after.fluids[payload.circuit] ?? {};
      const whole = Object.fromEntries(Object.entries(told).map(([key, value]) => [key, value || (before[key] ?? null)]));
      after.fluids[payload.circuit] = { ...whole, ...mark };
    } else if (kind === "recheck-done") {
      after.rechecks[payload.recheck] = { ...pick(event, ["finding", "note"]), ...mark };
    }
  }
  return after;
}

/**
 * What one visit tells of its car: only a closed one tells of services, any of the odometer.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Visit} visit
 * @param {Afterwards} after
 * @returns {{ services: ServiceDone[], odometers: MeterReading[], rechecks: Recheck[] }}
 */
export function readVisit(catalog, composition, visit, after) {
  const { opened, closed } = visit;
  if (!opened) return { services: [], odometers: [], rechecks: [] };
  const id = opened.subject;
  const odometer_m = after.corrections.at(-1)?.value ?? opened.payload.odometer_m;
  const odometers = [{ date: opened.wall.slice(0, 10), value: odometer_m, visit: id }];
  if (!closed) return { services: [], odometers, rechecks: [] };
  const services = composition.jobs
    .filter((job) => isRenewed(catalog, composition, visit, job))
    .map((job) => ({ job, date: lastDay(composition, visit, `${job}/`) ?? closed.wall.slice(0, 10), odometer_m, hours_s: null, visit: id, reference: "" }));
  return { services, odometers, rechecks: findRechecks(catalog, composition, visit, after, odometer_m) };
}

/**
 * Whether every circuit that the job renews, and this car has, ended with new fluid.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Visit} visit
 * @param {string} job
 */
function isRenewed(catalog, composition, visit, job) {
  const circuits = (catalog.jobs[job]?.renews ?? []).filter((circuit) => Object.hasOwn(composition.variables, circuit));
  return circuits.length > 0 && circuits.every((circuit) => visit.variables[`${circuit}.fluid`] === "new");
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Visit} visit
 * @param {Afterwards} after
 * @param {number} odometer_m
 * @returns {Recheck[]}
 */
function findRechecks(catalog, composition, visit, after, odometer_m) {
  return Object.entries(catalog.jobs).flatMap(([job, { rechecks = [] }]) =>
    rechecks.flatMap((each) => {
      const date = lastDay(composition, visit, each.step);
      const id = `${job}/${each.id}`;
      if (date === null || !visit.opened) return [];
      const [distance, time] = [amountOf(catalog, visit, each.distance), amountOf(catalog, visit, each.time)];
      return [{ id, visit: visit.opened.subject, date, odometer_m, distance, time, is_done: Object.hasOwn(after.rechecks, id) }];
    }),
  );
}

/** The last day on which this step was done, or where it ends in a slash, any step of the job. @param {Composition} composition @param {Visit} visit @param {string} step */
function lastDay(composition, visit, step) {
  const isOf = /** @param {string} other */ (other) => other === step || (step.endsWith("/") && other.startsWith(step));
  const days = composition.steps.flatMap((instance) => {
    const status = visit.steps[instance.id];
    return isOf(instance.step) && status?.status === "done" ? [status.at.slice(0, 10)] : [];
  });
  return days.sort().at(-1) ?? null;
}

/** @param {Catalog} catalog @param {Visit} visit @param {Amount | null} amount */
function amountOf(catalog, visit, amount) {
  const value = valueOf(catalog, amount, visit.values);
  return typeof value === "number" ? value : null;
}

/** Whether any interval that is known of a car goes by hours. @param {Catalog} catalog @param {Record<string, unknown>} facts by name */
export function countsHours(catalog, facts) {
  return Object.entries(catalog.facts).some(([name, { interval }]) => interval?.limit === "hours" && facts[name] !== undefined);
}

/** @param {Event} event @param {readonly string[]} names */
function pick({ payload }, names) {
  return Object.fromEntries(names.map((name) => [name, payload[name] ?? null]));
}
