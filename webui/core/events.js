/**
 * The entries that the log of a visit or of a car may hold, and the check of each before it is believed. A kind this version does not know,
 * or a newer `v` of one it knows, is kept and counted; a known kind with a bad body is an error.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/visits/events.py, with its kinds.py and fields.py.
 */

/** @import { Event } from "./types.js" */

export class EventError extends Error {
  /**
   * @param {string} code stable, for programs
   * @param {string} message
   */
  constructor(code, message) {
    super(message);
    this.name = "EventError";
    this.code = code;
  }
}

/** What each kind carries; a question mark marks what may be left out. */
export const KINDS = /** @type {Record<string, Record<string, string>>} */ ({
  "visit-opened": {
    car: "object",
    odometer_m: "number",
    catalog: "text",
    jobs: "list of texts",
    facts: "object",
    settings: "object",
    by: "text",
  },
  "step-done": { step: "text", finding: "text?", note: "text?", by: "text?" },
  "step-skipped": { step: "text", reason: "text", by: "text?" },
  "reading-taken": { step: "text", reading: "text", value: "number", typed: "text", unit: "text", by: "text?" },
  "timer-started": { step: "text", position: "text?", started_ms: "number", least_s: "number?", most_s: "number?", corrects: "text?", by: "text?" },
  "stop-overridden": { step: "text", stops: "list of texts", reason: "text", by: "text?" },
  "photo-taken": { step: "text", sha256: "sha256", type: "text", by: "text?" },
  undone: { event: "text", by: "text?" },
  "went-back": { from: "text", to: "text", finding: "text?", by: "text?" },
  "state-confirmed": { variable: "text", value: "text", by: "text?" },
  "closing-up": { aim: "text", steps: "list of texts", by: "text?" },
  "taken-up-again": { by: "text?" },
  "fact-given": {
    fact: "text",
    value: "value",
    typed: "text?",
    unit: "text?",
    source: "source",
    doubt: "text?",
    step: "text?",
    by: "text?",
  },
  "visit-closed": { figures: "object", by: "text" },
  "car-added": { title: "text", plate: "text", note: "text?", vin: "text?", market: "text?", by: "text?" },
  "car-described": {
    title: "text?",
    plate: "text?",
    note: "text?",
    vin: "text?",
    market: "text?",
    because: "text?",
    by: "text?",
  },
  "fact-written": {
    fact: "text",
    value: "value",
    typed: "text?",
    unit: "text?",
    source: "source",
    because: "text?",
    doubt: "text?",
    confirmed: "yes-no?",
    by: "text?",
  },
  "fact-withdrawn": { fact: "text", because: "text?", by: "text?" },
  "fact-confirmed": { fact: "text", event: "text", by: "text?" },
  "odometer-read": { value: "number", typed: "text", unit: "text", by: "text?" },
  "service-decided": { job: "text", choice: "text", verdict: "text?", because: "text?", by: "text?" },
  "line-ticked": { line: "text", done: "yes-no", by: "text?" },
  "thing-kept": { thing: "text", of: "text", title: "text?", count: "number?", marks: "object?", by: "text?" },
  "thing-gone": { thing: "text", because: "text?", by: "text?" },
  "price-written": { of: "text", value: "number", currency: "text?", by: "text?" },
  "price-withdrawn": { of: "text", by: "text?" },
  "hours-read": { value: "number", typed: "text", unit: "text", by: "text?" },
  "service-noted": {
    job: "text",
    date: "text",
    odometer_m: "number?",
    hours_s: "number?",
    typed: "text?",
    unit: "text?",
    source: "source",
    by: "text?",
  },
  "policy-chosen": { policy: "text", job: "text?", because: "text?", by: "text?" },
  "odometer-corrected": { value: "number", typed: "text", unit: "text", because: "text", by: "text?" },
  "fluid-noted": { circuit: "text", product: "text?", batch: "text?", label: "sha256?", by: "text?" },
  "used-fluid-taken": { stream: "text", value: "number?", typed: "text?", unit: "text?", place: "text", receipt: "sha256?", by: "text?" },
  "recheck-done": { recheck: "text", finding: "text?", note: "text?", by: "text?" },
  "charge-noted": { what: "text", amount: "number", unit: "text", price: "number", currency: "text", by: "text?" },
  acknowledged: { name: "text", note: "text?", signature: "drawing?", by: "text?" },
});

/** What the folds of a visit and of a car pass over, because something else reads it. */
export const READ_APART = new Set([
  "hours-read",
  "service-noted",
  "policy-chosen",
  "odometer-corrected",
  "fluid-noted",
  "used-fluid-taken",
  "recheck-done",
  "charge-noted",
  "acknowledged",
  "service-decided",
  "line-ticked",
]);

/** The newest version of every kind. */
export const VERSION = 1;

/** @param {unknown} value */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
/** @param {unknown} value */
const isCount = (value) => Number.isSafeInteger(value) && Number(value) >= 0;

/** @type {Record<string, (value: any) => boolean>} */
const CHECKS = {
  object: isObject,
  number: Number.isFinite,
  count: isCount,
  clock: (value) => isObject(value) && isCount(value.ms) && isCount(value.c),
  text: (value) => typeof value === "string",
  "list of texts": (value) => Array.isArray(value) && value.every((item) => typeof item === "string"),
  "yes-no": (value) => typeof value === "boolean",
  value: (value) => ["string", "boolean"].includes(typeof value) || Number.isFinite(value) || (Array.isArray(value) && value.every((item) => typeof item === "string")),
  // A kind, and where exactly: a page, a plate, what was measured.
  source: (value) => isObject(value) && typeof value.kind === "string" && typeof value.reference === "string",
  // Strokes as SVG path data, of M and L alone: "M12 34L56 78M…", in a box of 1000 by 400.
  drawing: (value) => typeof value === "string" && value.length <= 20_000 && /^(M\d{1,4} \d{1,4}(L\d{1,4} \d{1,4})+)+$/.test(value),
  sha256: (value) => typeof value === "string" && /^[0-9a-f]{64}$/.test(value),
};

const ENVELOPE = {
  id: "text",
  device: "text",
  n: "count",
  hlc: "clock",
  seen: "count",
  wall: "text",
  kind: "text",
  v: "count",
  subject: "text",
  payload: "object",
  seq: "count?",
};

/** @param {Event} event */
export function isKnown(event) {
  return Object.hasOwn(KINDS, event.kind) && event.v <= VERSION;
}

/**
 * Check an entry before it is believed.
 *
 * @param {unknown} raw
 * @returns {Event}
 * @throws {EventError} with code "bad_event" or "bad_body"
 */
export function readEvent(raw) {
  if (!isObject(raw)) throw new EventError("bad_event", "An entry must be an object.");
  const event = /** @type {Event} */ (raw);
  checkFields("bad_event", `Entry ${event.id}`, /** @type {any} */ (event), ENVELOPE);
  if (isKnown(event)) checkFields("bad_body", `Entry ${event.id}, ${event.kind}`, event.payload, KINDS[event.kind] ?? {});
  return event;
}

/**
 * @param {string} code
 * @param {string} where
 * @param {Record<string, unknown>} body
 * @param {Record<string, string>} fields
 */
function checkFields(code, where, body, fields) {
  for (const [name, wanted] of Object.entries(fields)) {
    const value = body[name];
    const kind = wanted.replace("?", "");
    if (kind !== wanted && (value === undefined || value === null)) continue;
    if (!CHECKS[kind]?.(value)) throw new EventError(code, `${where}: "${name}" must be ${kind === "object" ? "an" : "a"} ${kind}.`);
  }
}

/**
 * Entries in clock order, each once.
 *
 * @param {Iterable<Event>} events
 * @returns {Event[]}
 * @throws {EventError} with code "same_id_other_content" when one id names two different entries
 */
export function inOrder(events) {
  /** @type {Map<string, Event>} */
  const byId = new Map();
  for (const event of events) {
    const held = byId.get(event.id);
    if (held && contentOf(held) !== contentOf(event)) {
      throw new EventError("same_id_other_content", `Two different entries are both called ${event.id}.`);
    }
    // Of two copies the one that the server has numbered says more.
    if (!held || held.seq === null || held.seq === undefined) byId.set(event.id, event);
  }
  return [...byId.values()].sort(
    (a, b) => a.hlc.ms - b.hlc.ms || a.hlc.c - b.hlc.c || compareTexts(a.device, b.device) || a.n - b.n || compareTexts(a.id, b.id),
  );
}

/** @param {string} a @param {string} b */
function compareTexts(a, b) {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** What an entry says, apart from what the server adds. @param {Event} event */
function contentOf(event) {
  const { seq, received_at, ...content } = event;
  return canonical(content);
}

/**
 * JSON with sorted keys.
 *
 * @param {unknown} value
 * @returns {string}
 */
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value) ?? "null";
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  return `{${entries.sort(([a], [b]) => compareTexts(a, b)).map(([key, item]) => `${JSON.stringify(key)}:${canonical(item)}`).join(",")}}`;
}

/**
 * Whether whoever made `later` knew of `earlier`: by the device's own count, or by the server's number it had seen.
 *
 * @param {Event} earlier
 * @param {Event} later
 */
export function isBefore(earlier, later) {
  if (earlier.device === later.device) return earlier.n < later.n;
  return earlier.seq !== null && earlier.seq !== undefined && earlier.seq <= later.seen;
}
