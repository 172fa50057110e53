/**
 * What is not an entry yet and must outlive a reload: digits half typed, and a clock that was set and not yet asked
 * about. It is kept on this phone only, and forgotten as soon as it has become an entry.
 */

const KEY = "unfinished";

/** @typedef {{ typed?: Record<string, string>, clocks?: Record<string, number> }} Unfinished typed: by visit, step and reading; clocks: milliseconds, by the entry that began the wait */

/** @returns {Unfinished} */
function read() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return kept && typeof kept === "object" ? kept : {};
  } catch {
    return {};
  }
}

/** @param {"typed" | "clocks"} what @param {string} key @param {string | number | null} value null: no longer */
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

/** The reading that was being typed at a step. @param {string} visit @param {string} step @param {string[]} readings */
export function readingBegun(visit, step, readings) {
  return readings.find((reading) => lastTyped(visit, step, reading)) ?? null;
}

/** @param {string} visit @param {string} step @param {string} reading @param {string} typed */
export function keepTyped(visit, step, reading, typed) {
  keep("typed", `${visit} ${step} ${reading}`, typed || null);
}
