/**
 * When each service of a car is due, as a range of days, by every authority that was entered; offline, from what the
 * phone has. Pure: the day is given, and what the car's entries tell stands in a DueCar.
 *
 * `server/fillfirst/records/due.py` is the same in the other language; the vectors in `tests/agreement/due.json` drive
 * both.
 */

/** @import { Amount, Catalog, Value } from "./types.js" */
/** @import { CarHistory, MeterReading, Recheck, ServiceDone } from "./history.js" */
/** @import { DayRange, Meter, Rate } from "./meter.js" */

import { compose, stepOf } from "./compose.js";
import { addDays, addTime, readDays } from "./due.js";
import { findDoubtful, readMeter } from "./meter.js";

/** @typedef {"maker" | "component" | "severe" | "fluid" | "own" | "practice"} Authority */
/** @typedef {"distance" | "time" | "hours"} Limit */
/** @typedef {"unknown" | "due" | "maybe" | "soon" | "later"} DueState */
/** @typedef {CarHistory & { id: string, title: string, plate: string, facts: Record<string, Value>, rechecks: Recheck[] }} DueCar */
/** @typedef {{ date: string | null, date_from: string | null, date_to: string | null }} Days a day, and the first and last that it may be; date_to null where no last day can be told */
/** @typedef {Days & { by: Authority, limit: Limit, value: number, fact: string | null, counts: boolean, at: number | null }} LimitDue counts: whether the owner's policy goes by it; at: what the meter then shows */
/** @typedef {Omit<ServiceDone, "job">} Done */
/** @typedef {Days & { job: string, title: string, policy: string, state: DueState, by: Authority | null, limit: Limit | null, last: Done | null, history: Done[], limits: LimitDue[] }} ServiceDue */
/** @typedef {Days & { id: string, title: string, visit: string, state: DueState, at: number | null }} RecheckDue */
/** @typedef {{ jobs: string[], date: string, saves_s: number }} Together services that fall close together: as one visit they take so many seconds less */

/**
 * @typedef {object} CarDue
 * @property {string} car
 * @property {string} title
 * @property {string} plate
 * @property {{ date: string, value: number } | null} odometer the newest reading that can be true
 * @property {Rate | null} rate
 * @property {MeterReading[]} doubtful readings that run backwards
 * @property {ServiceDue[]} services
 * @property {RecheckDue[]} rechecks
 * @property {Together[]} together
 */

/** Services due within so many days of each other are proposed as one visit. */
const TOGETHER_DAYS = 60;
/** What may be due within so many days is "soon"; nothing further off than the horizon is proposed. */
const SOON_DAYS = 60;
const HORIZON_DAYS = 400;

/** Whose word goes first under each policy; the first who says anything is followed alone. @type {Record<string, Authority[]>} */
const FOLLOWS = {
  maker: ["maker", "component", "practice"],
  severe: ["severe", "maker", "component", "practice"],
  own: ["own"],
};

/**
 * @param {Catalog} catalog
 * @param {DueCar} car
 * @param {string} today such as "2026-05-04"
 * @returns {CarDue}
 */
export function listDue(catalog, car, today) {
  const doubtful = findDoubtful(car.odometers);
  const wrongHours = findDoubtful(car.hours);
  const odometer = readMeter(car.odometers.filter((each) => !isAmong(each, doubtful)));
  const hours = readMeter(car.hours.filter((each) => !isAmong(each, wrongHours)));
  const all = Object.keys(catalog.jobs).filter((id) => !catalog.jobs[id]?.shared);
  const order = /** @param {string} id */ (id) => catalog.jobs[id]?.order ?? 0;
  const jobs = compose(catalog, all, car.facts).jobs.sort((a, b) => order(a) - order(b) || (a < b ? -1 : 1));
  const services = jobs.map((job) => dueService(catalog, car, job, { distance: odometer, hours }, doubtful, today));
  return {
    car: car.id,
    title: car.title,
    plate: car.plate,
    odometer: odometer.last && { date: odometer.last.date, value: odometer.last.value },
    rate: odometer.rate,
    doubtful,
    services,
    rechecks: findOpen(car.rechecks).map((each) => dueRecheck(catalog, each, odometer, today)),
    together: propose(catalog, car, services, today),
  };
}

/** @param {MeterReading} reading @param {MeterReading[]} readings */
function isAmong(reading, readings) {
  return readings.some(({ date, value, visit }) => date === reading.date && value === reading.value && visit === reading.visit);
}

/**
 * @param {Catalog} catalog
 * @param {DueCar} car
 * @param {string} job
 * @param {{ distance: Meter, hours: Meter }} meters
 * @param {MeterReading[]} doubtful
 * @param {string} today
 * @returns {ServiceDue}
 */
function dueService(catalog, car, job, meters, doubtful, today) {
  const policy = car.policies[job] ?? car.policies[""] ?? "strictest";
  const history = car.services
    .filter((each) => each.job === job && readDays(each.date) !== null)
    .sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0))
    .map(({ job: _, ...done }) => done);
  const last = history.at(-1) ?? null;
  const isWrong = last !== null && doubtful.some(({ date, value, visit }) => visit === last.visit && (visit !== null || (date === last.date && value === last.odometer_m)));
  const said = findLimits(catalog, car, job);
  const followed = follow(policy, new Set(said.map(({ by }) => by)));
  const limits = said.map((each) => ({ ...dueLimit(each, last, meters, isWrong), counts: followed.has(each.by) }));
  const dated = limits.filter(({ counts, date }) => counts && date !== null);
  const first = earliest(dated);
  const days = join(dated);
  return {
    job,
    title: catalog.jobs[job]?.title ?? job,
    policy,
    state: findState(days.date, days.date_from, today),
    by: first?.by ?? null,
    limit: first?.limit ?? null,
    last,
    history,
    limits,
    ...days,
  };
}

/** @typedef {{ by: Authority, limit: Limit, value: number, fact: string | null }} Said */

/** Every limit that anyone set: the facts of the car, and what is common practice. @param {Catalog} catalog @param {DueCar} car @param {string} job @returns {Said[]} */
function findLimits(catalog, car, job) {
  const ofFacts = Object.entries(catalog.facts).flatMap(([fact, { interval }]) => {
    const value = car.facts[fact];
    return interval?.job === job && typeof value === "number" && value > 0 ? [{ by: interval.by, limit: interval.limit, value, fact }] : [];
  });
  const practice = (catalog.jobs[job]?.intervals ?? []).flatMap(({ distance, time }) =>
    /** @type {[Limit, Amount | null][]} */ ([["distance", distance], ["time", time]]).flatMap(([limit, amount]) => {
      const value = amount && ("name" in amount ? car.facts[amount.name] : amount.value);
      return typeof value === "number" ? [{ by: /** @type {Authority} */ ("practice"), limit, value, fact: null }] : [];
    }),
  );
  return [...ofFacts, ...practice];
}

/** Whose limits count: the first of a policy that said anything, or all that were entered. @param {string} policy @param {Set<Authority>} present */
function follow(policy, present) {
  const first = (FOLLOWS[policy] ?? []).find((each) => present.has(each));
  if (first) return new Set([first]);
  const entered = new Set([...present].filter((each) => each !== "practice"));
  return entered.size ? entered : present;
}

/** @param {Said} said @param {Done | null} last @param {{ distance: Meter, hours: Meter }} meters @param {boolean} isOdometerWrong @returns {Omit<LimitDue, "counts">} */
function dueLimit(said, last, meters, isOdometerWrong) {
  /** @type {DayRange} */
  let days = [null, null, null];
  let at = null;
  if (last && said.limit === "time") {
    const date = addTime(last.date, said.value);
    days = [date, date, date];
  } else if (last && said.limit !== "time") {
    const meter = meters[said.limit];
    const shown = said.limit === "distance" ? last.odometer_m : last.hours_s;
    const then = shown === null || isOdometerWrong ? meter.at(last.date) : shown;
    at = then === null ? null : then + said.value;
    if (at !== null) days = meter.reaches(at);
  }
  const [date, date_from, date_to] = days;
  return { ...said, at, date, date_from, date_to };
}

/** @template {Days} T @param {T[]} dated @returns {T | null} */
function earliest(dated) {
  return dated.reduce((/** @type {T | null} */ best, one) => (best === null || (one.date ?? "") < (best.date ?? "") ? one : best), null);
}

/** Whichever comes first: of the days, of the first days, and of the last ones. @param {Days[]} dated @returns {Days} */
function join(dated) {
  const least = /** @param {(string | null)[]} dates */ (dates) => dates.filter((each) => each !== null).sort()[0] ?? null;
  return {
    date: least(dated.map(({ date }) => date)),
    date_from: least(dated.map(({ date, date_from }) => date_from ?? date)),
    date_to: least(dated.map(({ date_to }) => date_to)),
  };
}

/** @param {string | null} date @param {string | null} from @param {string} today @returns {DueState} */
function findState(date, from, today) {
  if (date === null || from === null) return "unknown";
  if (date <= today) return "due";
  if (from <= today) return "maybe";
  return from <= addDays(today, SOON_DAYS) ? "soon" : "later";
}

/**
 * Until somebody has looked, or said why nobody will; only those of the newest visit that has them, since what an older
 * one asked for was looked at there.
 *
 * @param {Recheck[]} rechecks
 */
function findOpen(rechecks) {
  const ordered = [...rechecks].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
  const byId = new Map(ordered.map((each) => [each.id, each]));
  const left = [...byId.values()].filter(({ is_done }) => !is_done);
  return left.sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : a.id < b.id ? -1 : 1));
}

/** @param {Catalog} catalog @param {Recheck} open @param {Meter} odometer @param {string} today @returns {RecheckDue} */
function dueRecheck(catalog, open, odometer, today) {
  const [job = "", id] = open.id.split("/");
  const title = catalog.jobs[job]?.rechecks?.find((each) => each.id === id)?.title ?? open.id;
  let at = null;
  /** @type {DayRange[]} */
  const days = [];
  if (open.time !== null) {
    const day = addTime(open.date, open.time);
    days.push([day, day, day]);
  }
  if (open.distance !== null && open.odometer_m !== null) {
    at = open.odometer_m + open.distance;
    days.push(odometer.reaches(at));
  }
  const told = days.filter(([day]) => day !== null);
  const [date, first, last] = told.reduce((best, one) => ((one[0] ?? "") < (best[0] ?? "") ? one : best), told[0] ?? /** @type {DayRange} */ ([null, null, null]));
  // One that goes by distance alone, where nothing tells how far the car goes, is due from the start.
  const state = date === null ? "maybe" : findState(date, first ?? date, today);
  return { id: open.id, title, visit: open.visit, state, at, date, date_from: first ?? date, date_to: last };
}

/** @param {Catalog} catalog @param {DueCar} car @param {ServiceDue[]} services @param {string} today @returns {Together[]} */
function propose(catalog, car, services, today) {
  const end = addDays(today, HORIZON_DAYS);
  const dated = services
    .flatMap(({ date, job }) => (date === null ? [] : [{ date: date > today ? date : today, job }]))
    .filter(({ date }) => date <= end)
    .sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : a.job < b.job ? -1 : 1));
  /** @type {{ date: string, jobs: string[] }[]} */
  const groups = [];
  for (const { date, job } of dated) {
    const group = groups.at(-1);
    if (group && date <= addDays(group.date, TOGETHER_DAYS)) group.jobs.push(job);
    else groups.push({ date, jobs: [job] });
  }
  return groups.filter(({ jobs }) => jobs.length > 1).map(({ date, jobs }) => ({ jobs, date, saves_s: findSaving(catalog, jobs, car.facts) }));
}

/** How many seconds of work and waiting one visit for all of these takes less than one for each. @param {Catalog} catalog @param {string[]} jobs @param {Record<string, Value>} facts */
function findSaving(catalog, jobs, facts) {
  return jobs.reduce((sum, job) => sum + spend(catalog, [job], facts), 0) - spend(catalog, jobs, facts);
}

/** @param {Catalog} catalog @param {string[]} jobs @param {Record<string, Value>} facts */
function spend(catalog, jobs, facts) {
  return compose(catalog, jobs, facts).steps.reduce((sum, instance) => {
    const { work_s, wait_s } = stepOf(catalog, instance);
    return sum + work_s + wait_s;
  }, 0);
}
