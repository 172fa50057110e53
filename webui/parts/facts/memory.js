/**
 * What a person said last, so that the second number out of one manual takes a page and nothing else. It is kept on this
 * phone only: a convenience, never a fact.
 */

/** @import { Value } from "../../core/types.js" */

/** @typedef {{ kind: string, document: string, page: string }} LastSource */
/** @typedef {{ value: Value, at: number }} Said at: when, ms */
/** @typedef {{ settings: Record<string, Said>, odometer_m?: Said }} Draft what was typed for the next visit of a car */
/** @typedef {{ source?: LastSource, by?: string, units?: Record<string, string>, jobs?: Record<string, string[]>, drafts?: Record<string, Draft> }} Kept */

const KEY = "last-said";

/** @returns {Kept} */
function read() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return kept && typeof kept === "object" ? kept : {};
  } catch {
    return {};
  }
}

/** @param {Kept} more */
function keep(more) {
  try {
    localStorage.setItem(KEY, JSON.stringify({ ...read(), ...more }));
  } catch {
    // Full storage: then the next number asks for its source again, and nothing is lost.
  }
}

/** @returns {LastSource | null} */
export function lastSource() {
  const { kind, document, page } = read().source ?? {};
  return typeof kind === "string" && typeof document === "string" ? { kind, document, page: String(page ?? "") } : null;
}

/** @param {LastSource} source */
export function keepSource(source) {
  keep({ source });
}

/** The name that stands beside what is typed in; "" while nobody has said one. */
export function lastName() {
  return String(read().by ?? "");
}

/** @param {string} by */
export function keepName(by) {
  if (by) keep({ by });
}

/** The unit in which somebody last typed what this measures. @param {string} measure @returns {string | undefined} */
export function lastUnit(measure) {
  return read().units?.[measure];
}

/** @param {string} measure @param {string} unit */
export function keepUnit(measure, unit) {
  keep({ units: { ...read().units, [measure]: unit } });
}

/** The services for which numbers of a car are wanted. @param {string} car @returns {string[]} */
export function lastJobs(car) {
  const jobs = read().jobs?.[car];
  return Array.isArray(jobs) ? jobs : [];
}

/** @param {string} car @param {string[]} jobs */
export function keepJobs(car, jobs) {
  keep({ jobs: { ...read().jobs, [car]: jobs } });
}

/** What was typed for the next visit of a car; what is older than its last one is done with. @param {string} car @param {number} since ms @returns {Draft} */
export function lastDraft(car, since) {
  const { settings = {}, odometer_m } = read().drafts?.[car] ?? {};
  const isNew = /** @param {Said | undefined} said */ (said) => typeof said?.at === "number" && said.at > since;
  return { settings: Object.fromEntries(Object.entries(settings).filter(([, said]) => isNew(said))), ...(isNew(odometer_m) ? { odometer_m } : {}) };
}

/** @param {string} car @param {Partial<Draft>} more */
export function keepDraft(car, more) {
  const { drafts } = read();
  keep({ drafts: { ...drafts, [car]: { settings: {}, ...drafts?.[car], ...more } } });
}
