/**
 * What is not an entry yet and must outlive a reload: digits and reasons half written, a finding chosen and not yet
 * put on record, a clock that was set and not yet asked about, and the step one works at while another waits. It is
 * kept on this phone only, and forgotten as soon as it has become an entry.
 */

const KEY = "unfinished";
/** They stand where a reading's name does; names have no space. */
const FINDING = "a finding";
const REASON = "a reason";
/** It stands where a step's id does. */
const LAST_CARD = "the last card";

/** @typedef {{ typed?: Record<string, string>, clocks?: Record<string, number>, places?: Record<string, string> }} Unfinished typed: by visit, step and reading; clocks: milliseconds, by the entry that began the wait; places: a step, by visit */

/** @returns {Unfinished} */
function read() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return kept && typeof kept === "object" ? kept : {};
  } catch {
    return {};
  }
}

/** @param {"typed" | "clocks" | "places"} what @param {string} key @param {string | number | null} value null: no longer */
function keep(what, key, value) {
  const all = read();
  const { [key]: _, ...others } = /** @type {Record<string, string | number>} */ (all[what] ?? {});
  try {
    localStorage.setItem(KEY, JSON.stringify({ ...all, [what]: value === null ? others : { ...others, [key]: value } }));
  } catch {
    // Full storage: then a reload asks for the digits again, and no entry is lost.
  }
}

/** @param {string} event @returns {number} milliseconds */
export function lastClockSet(event) {
  const set_ms = read().clocks?.[event];
  return typeof set_ms === "number" ? set_ms : 0;
}

/** @param {string} event @param {number} set_ms */
export function keepClockSet(event, set_ms) {
  keep("clocks", event, set_ms);
}

/** @param {string} event */
export function forgetClockSet(event) {
  keep("clocks", event, null);
}

/** What somebody was typing at a step when the page went. @param {string} visit @param {string} step @param {string} reading */
export function lastTyped(visit, step, reading) {
  const typed = read().typed?.[`${visit} ${step} ${reading}`];
  return typeof typed === "string" ? typed : "";
}

/** The finding that was looked at and is not on record yet. @param {string} visit @param {string} step */
export function lastFinding(visit, step) {
  return lastTyped(visit, step, FINDING);
}

/** @param {string} visit @param {string} step @param {string} finding empty: none any more */
export function keepFinding(visit, step, finding) {
  keepTyped(visit, step, FINDING, finding);
}

/** The reason somebody was writing at a step when the page went. @param {string} visit @param {string} step */
export function unfinishedReason(visit, step) {
  return unfinishedText(visit, step, REASON);
}

/** What somebody was writing on the card that closes a visit. @param {string} visit @param {"name" | "hours"} name */
export function unfinishedClosing(visit, name) {
  return unfinishedText(visit, LAST_CARD, name);
}

/**
 * What somebody was typing at a step when the page went.
 *
 * @param {string} visit
 * @param {string} step
 * @param {string} name of a fact or a reading
 * @returns {{ text: string, keep: (text: string) => void }} keep: what stands there now
 */
export function unfinishedText(visit, step, name) {
  return { text: lastTyped(visit, step, name), keep: (text) => keepTyped(visit, step, name, text) };
}

/** The reading that was being typed at a step. @param {string} visit @param {string} step @param {string[]} readings */
export function readingBegun(visit, step, readings) {
  return readings.find((reading) => lastTyped(visit, step, reading)) ?? null;
}

/** @param {string} visit @param {string} step @param {string} reading @param {string} typed */
export function keepTyped(visit, step, reading, typed) {
  keep("typed", `${visit} ${step} ${reading}`, typed || null);
}

/** The step out of its turn at which somebody was when the page went. @param {string} visit @returns {string | null} */
export function lastPlace(visit) {
  const step = read().places?.[visit];
  return typeof step === "string" ? step : null;
}

/** @param {string} visit @param {string | null} step null: at the next of the day */
export function keepPlace(visit, step) {
  if (lastPlace(visit) !== step) keep("places", visit, step);
}
