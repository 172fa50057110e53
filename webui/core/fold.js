/**
 * What the entries of a visit say: the state of the car, what is done, and what was measured.
 *
 * The order of arrival does not matter and neither do copies: entries are taken in clock order. Where two phones
 * contradict each other and neither had seen the other, the less safe state stands until someone confirms.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/visits/fold.py.
 */

/** @import { Catalog, Composition, DisputedFact, Event, GivenFact, Instance, Step, StepStatus, Variable, Visit } from "./types.js" */

import { isClosing, settleClosings } from "./closings.js";
import { backTarget, effects, startingVariables, stepOf } from "./compose.js";
import { inOrder, isBefore, isKnown, READ_APART, readEvent } from "./events.js";

/**
 * @template T
 * @typedef {{ value: T, event: Event }} Write
 */

/**
 * Add a write to those that no later one has seen.
 *
 * @template T
 * @param {Record<string, Write<T>[]>} frontiers
 * @param {string} key
 * @param {T} value
 * @param {Event} event
 */
export function write(frontiers, key, value, event) {
  const frontier = frontiers[key] ?? [];
  if (frontier.some((other) => isBefore(event, other.event))) return;
  frontiers[key] = [...frontier.filter((other) => !isBefore(other.event, event)), { value, event }];
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Iterable<Event>} events of one visit
 * @returns {Visit}
 * @throws {import("./events.js").EventError}
 */
export function fold(catalog, composition, events) {
  const log = inOrder([...events].map(readEvent));
  const known = log.filter(isKnown);
  const undone = findUndone(known);
  /** @type {Map<string, { instance: Instance, step: Step, index: number }>} */
  const places = new Map([...composition.steps, ...composition.standby].map((instance, index) => [instance.id, { instance, step: stepOf(catalog, instance), index }]));

  const variables = startingVariables(catalog, composition);
  /** @type {Record<string, Write<string>[]>} */
  const states = {};
  /** @type {Record<string, Write<StepStatus | null>[]>} */
  const statuses = {};
  /** @type {Record<string, Record<string, Write<number | null>[]>>} readings by name, then by step */
  const stands = {};
  /** @type {Visit} */
  const visit = {
    variables,
    steps: {},
    readings: {},
    values: { ...composition.facts },
    timers: {},
    photos: {},
    overrides: [],
    found: {},
    contradictions: [],
    disputed_readings: [],
    ...settleGiven(known, undone),
    ...settleClosings(known, undone),
    next: null,
    opened: null,
    closed: null,
    undone: log.filter((event) => undone.has(event.id)).map((event) => event.id),
    unknown: log.length - known.length,
  };

  /** @param {Record<string, string>} writes @param {Event} event */
  function writeStates(writes, event) {
    for (const [id, value] of Object.entries(writes)) {
      write(states, id, value, event);
      variables[id] = leastSafe(catalog, composition, id, states[id] ?? []);
    }
  }

  /** @type {Record<string, (event: Event, place: { instance: Instance, step: Step, index: number }) => void>} */
  const atStep = {
    "step-done": (event, { instance, step }) => {
      const { finding = null } = event.payload;
      write(statuses, instance.id, statusOf("done", event), event);
      // A bad finding is an answer, not a success: the step made nothing true.
      if (isGood(step, finding)) writeStates(effects(catalog, composition, variables, instance), event);
    },
    "step-skipped": (event, { instance }) => write(statuses, instance.id, statusOf("skipped", event), event),
    "reading-taken": (event, { instance, step }) => {
      const { reading, value, typed, unit } = event.payload;
      if (!step.readings.includes(reading)) {
        visit.unknown += 1;
        return;
      }
      const taken = { value, typed, unit, step: instance.id, event: event.id, at: event.wall, device: event.device };
      (visit.readings[reading] ??= []).push(taken);
      write((stands[reading] ??= {}), instance.id, value, event);
    },
    "timer-started": (event, { instance }) => {
      const { started_ms, least_s = null, most_s = null, position = null } = event.payload;
      visit.timers[instance.id] = { started_ms, least_s, most_s, position, event: event.id, device: event.device };
    },
    "stop-overridden": (event, { instance }) => {
      const { stops, reason } = event.payload;
      visit.overrides.push({ step: instance.id, stops, reason, event: event.id, at: event.wall, device: event.device });
    },
    "photo-taken": (event, { instance }) => {
      const photos = (visit.photos[instance.id] ??= []);
      if (!photos.includes(event.payload.sha256)) photos.push(event.payload.sha256);
    },
    "went-back": (event, { instance, step, index }) => {
      const to = places.get(event.payload.to) ?? places.get(backTarget(catalog, composition, instance)?.id ?? "");
      for (const cleared of composition.steps.slice(to?.index ?? index, index + 1)) {
        write(statuses, cleared.id, null, event);
        delete visit.timers[cleared.id];
        for (const reading of stepOf(catalog, cleared).readings) write((stands[reading] ??= {}), cleared.id, null, event);
      }
      if (event.payload.finding) (visit.found[instance.id] ??= []).push(event.payload.finding);
      if (step.back) writeStates(effects(catalog, composition, variables, instance, step.back.makes), event);
    },
  };

  for (const event of known) {
    if (undone.has(event.id)) continue;
    const { kind, payload } = event;
    const place = places.get(payload.step ?? payload.from);
    if (kind === "visit-opened") visit.opened ??= event;
    else if (kind === "visit-closed") visit.closed = event;
    else if (kind === "state-confirmed" && canBe(catalog, composition, payload.variable, payload.value)) {
      writeStates({ [payload.variable]: payload.value }, event);
    } else if (place && atStep[kind]) atStep[kind](event, place);
    // A step this car's visit does not have, as after a correction of its facts: kept, counted, not believed.
    else if (kind !== "undone" && kind !== "fact-given" && !READ_APART.has(kind) && !isClosing(event)) visit.unknown += 1;
  }

  for (const [id, frontier] of Object.entries(statuses)) {
    const status = leastCertain(places.get(id)?.step, frontier);
    if (status) visit.steps[id] = status;
  }
  for (const [id, frontier] of Object.entries(states)) {
    if (new Set(frontier.map(({ value }) => value)).size < 2) continue;
    visit.contradictions.push({
      variable: id,
      values: frontier.map(({ value }) => value),
      events: frontier.map(({ event }) => event.id),
    });
  }
  settleReadings(catalog, composition, stands, visit);
  visit.next = composition.steps.find(({ id }) => !visit.steps[id])?.id ?? null;
  return visit;
}

/**
 * Entries taken back. Taking back a taking back puts the entry in force again.
 *
 * @param {Event[]} log in clock order
 */
export function findUndone(log) {
  /** @type {Set<string>} */
  const undone = new Set();
  const position = new Map(log.map((event, index) => [event.id, index]));
  log.toReversed().forEach((event) => {
    const target = position.get(event.payload.event);
    if (event.kind !== "undone" || undone.has(event.id) || target === undefined) return;
    if (target < /** @type {number} */ (position.get(event.id)) && log[target]?.kind !== "visit-opened") undone.add(event.payload.event);
  });
  return undone;
}

/**
 * @param {"done" | "skipped"} status
 * @param {Event} event
 * @returns {StepStatus}
 */
function statusOf(status, { id, wall, device, payload }) {
  const { by = null, finding = null, note = null, reason = null } = payload;
  return { status, event: id, at: wall, device, by, finding, note, reason };
}

/**
 * Numbers that were missing when the visit began and were given at the step that needed them. They hold for this visit:
 * it is composed anew with them. Two that phones gave unseen by each other, and that differ, are both kept and neither
 * is believed until one is given again.
 *
 * @param {Iterable<Event>} events of one visit
 * @returns {{ given: Record<string, GivenFact>, disputed_facts: DisputedFact[] }}
 */
export function givenFacts(events) {
  const known = inOrder([...events].map(readEvent)).filter(isKnown);
  return settleGiven(known, findUndone(known));
}

/** @param {Event[]} known in clock order @param {Set<string>} undone */
function settleGiven(known, undone) {
  /** @type {Record<string, Write<GivenFact>[]>} */
  const frontiers = {};
  for (const event of known) {
    if (event.kind !== "fact-given" || undone.has(event.id)) continue;
    const { id, wall, device, payload } = event;
    const { fact, value, typed = null, unit = null, source, doubt = null, step = null, by = null } = payload;
    write(frontiers, fact, { value, typed, unit, source, doubt, step, event: id, at: wall, device, by }, event);
  }
  /** @type {Record<string, GivenFact>} */
  const given = {};
  /** @type {DisputedFact[]} */
  const disputed_facts = [];
  for (const [fact, frontier] of Object.entries(frontiers)) {
    const last = /** @type {Write<GivenFact>} */ (frontier.at(-1));
    if (frontier.every(({ value }) => isSameValue(value.value, last.value.value))) given[fact] = last.value;
    else disputed_facts.push({ fact, events: frontier.map(({ event }) => event.id) });
  }
  return { given, disputed_facts };
}

/** @param {unknown} one @param {unknown} other lists are of texts */
export function isSameValue(one, other) {
  return JSON.stringify(one) === JSON.stringify(other);
}

/**
 * What a visit is composed with: the car as it was known, settings, and what was given since.
 *
 * @param {{ facts: Record<string, { value: import("./types.js").Value }>, settings: Record<string, import("./types.js").Value> }} opening
 * @param {{ given: Record<string, { value: import("./types.js").Value }>, disputed_facts: DisputedFact[] }} since
 * @returns {Record<string, import("./types.js").Value>}
 */
export function factsInForce(opening, { given, disputed_facts }) {
  /** @param {Record<string, { value: import("./types.js").Value }>} facts */
  const plain = (facts) => Object.fromEntries(Object.entries(facts).map(([name, { value }]) => [name, value]));
  const values = { ...plain(opening.facts), ...opening.settings };
  for (const { fact } of disputed_facts) delete values[fact];
  return { ...values, ...plain(given) };
}

/** @param {Step | undefined} step @param {string | null} finding */
function isGood(step, finding) {
  return step?.findings.find(({ id }) => id === finding)?.good ?? true;
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {string} id
 * @param {string} value
 */
function canBe(catalog, composition, id, value) {
  if (!Object.hasOwn(composition.variables, id)) return false;
  return catalog.variables[composition.variables[id] ?? ""]?.values.includes(value) ?? false;
}

/**
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {string} id
 * @param {Write<string>[]} frontier
 */
function leastSafe(catalog, composition, id, frontier) {
  const { values } = /** @type {Variable} */ (catalog.variables[composition.variables[id] ?? ""]);
  return frontier.map(({ value }) => value).reduce((a, b) => (values.indexOf(b) > values.indexOf(a) ? b : a));
}

/**
 * Of statuses unseen by each other the one that leaves most to do; of equal ones the latest.
 *
 * @param {Step | undefined} step
 * @param {Write<StepStatus | null>[]} frontier
 */
function leastCertain(step, frontier) {
  /** @param {StepStatus | null} status */
  const rank = (status) => (status === null ? 3 : !isGood(step, status.finding) ? 2 : status.status === "done" ? 1 : 0);
  return frontier.map(({ value }) => value).reduce((a, b) => (rank(b) >= rank(a) ? b : a));
}

/**
 * Give each reading the value that formulas use: the last of every step, then across steps. Two that are unseen by each
 * other and differ are disputed and have no value until someone measures again.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, Record<string, Write<number | null>[]>>} stands
 * @param {Visit} visit
 */
function settleReadings(catalog, composition, stands, visit) {
  for (const [name, byStep] of Object.entries(stands)) {
    /** @type {Write<number>[]} */
    const standing = [];
    let isDisputed = false;
    for (const { id } of composition.steps) {
      const frontier = byStep[id] ?? [];
      const latest = frontier.at(-1);
      if (!latest || frontier.some(({ value }) => value === null)) continue;
      if (frontier.some(({ value }) => value !== latest.value)) {
        visit.disputed_readings.push({ name, step: id, events: frontier.map(({ event }) => event.id) });
        isDisputed = true;
      }
      standing.push(/** @type {Write<number>} */ (latest));
    }
    if (!isDisputed && standing.length) visit.values[name] = across(catalog.readings[name]?.across ?? "last", standing);
  }
}

/**
 * @param {"last" | "sum" | "min" | "max"} how
 * @param {Write<number>[]} standing
 */
function across(how, standing) {
  const values = standing.map(({ value }) => value);
  if (how === "sum") return values.reduce((a, b) => a + b);
  if (how === "min") return Math.min(...values);
  if (how === "max") return Math.max(...values);
  const latest = inOrder(standing.map(({ event }) => event)).at(-1);
  return /** @type {Write<number>} */ (standing.find(({ event }) => event === latest)).value;
}
