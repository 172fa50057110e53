/**
 * What the entries about a car say: its names, its facts with their sources, and how each came to be.
 *
 * Nothing is forgotten: a number that was corrected stays in `history` with who changed it, when and why. Two phones
 * that wrote one fact unseen by each other, and differ, are both kept, and the fact has no value until somebody
 * confirms one. The same vectors (tests/agreement) drive this file and server/fillfirst/cars/fold.py.
 */

/** @import { DisputedFact, Event, Value } from "./types.js" */
/** @import { Write } from "./fold.js" */
/** @import { Mark } from "./entries.js" */

import { inOrder, isKnown, READ_APART, readEvent } from "./events.js";
import { findUndone, isSameValue, write } from "./fold.js";
import { markOf } from "./entries.js";

/** @typedef {{ kind: string, reference: string }} FactSource */

/**
 * @typedef {object} FactWords
 * @property {string | null} typed
 * @property {string | null} unit
 * @property {string | null} because why it was changed
 * @property {string | null} doubt what was answered when it was asked about
 */

/** @typedef {FactWords & Mark & { value: Value, source: FactSource, confirmed: Mark | null }} KnownFact a fact as it stands; `confirmed` is null while nobody here has looked it up themselves */
/** @typedef {FactWords & Mark & { kind: "written" | "withdrawn" | "confirmed", value: Value | null, source: FactSource | null, of: string | null }} FactChange one entry about a fact; `of` is the entry that a confirmation speaks of */
/** @typedef {{ title: string | null, plate: string | null, note: string | null, vin: string | null, market: string | null, because: string | null } & Mark} Description */
/** @typedef {{ value: number, typed: string, unit: string } & Mark} OdometerReading */

/**
 * @typedef {object} CarFold what the entries of a car say
 * @property {string} title
 * @property {string} plate
 * @property {string} note
 * @property {string} vin
 * @property {string} market
 * @property {Mark | null} added null while its beginning has not come, or was taken back
 * @property {Description[]} described
 * @property {Record<string, KnownFact>} facts
 * @property {Record<string, FactChange[]>} history
 * @property {DisputedFact[]} disputed_facts
 * @property {OdometerReading | null} odometer
 * @property {OdometerReading[]} odometers
 * @property {string[]} undone
 * @property {number} unknown
 */

const NAMES = /** @type {const} */ (["title", "plate", "note", "vin", "market"]);

/**
 * @param {Iterable<Event>} events of one car
 * @returns {CarFold}
 * @throws {import("./events.js").EventError}
 */
export function foldCar(events) {
  const log = inOrder([...events].map(readEvent));
  const known = log.filter(isKnown);
  const undone = findUndone(known);
  const entries = new Map(known.filter((event) => !undone.has(event.id)).map((event) => [event.id, event]));
  /** @type {Record<string, Write<KnownFact | null>[]>} */
  const frontiers = {};
  /** @type {CarFold} */
  const car = {
    title: "",
    plate: "",
    note: "",
    vin: "",
    market: "",
    added: null,
    described: [],
    facts: {},
    history: {},
    disputed_facts: [],
    odometer: null,
    odometers: [],
    undone: log.filter((event) => undone.has(event.id)).map((event) => event.id),
    unknown: log.length - known.length,
  };

  /** @param {Event} event */
  function describe(event) {
    const { title = null, plate = null, note = null, vin = null, market = null, because = null } = event.payload;
    const told = { title, plate, note, vin, market, because, ...markOf(event) };
    car.described.push(told);
    for (const name of NAMES) car[name] = told[name] ?? car[name];
  }

  /** @param {Event} event @param {FactChange["kind"]} kind @param {KnownFact | null} fact @param {string | null} of */
  function change(event, kind, fact, of) {
    const { fact: name, because = null, doubt = null } = event.payload;
    write(frontiers, name, fact, event);
    const { value = null, typed = null, unit = null, source = null } = fact ?? {};
    (car.history[name] ??= []).push({ kind, value, typed, unit, source, because, doubt, of, ...markOf(event) });
  }

  /** @type {Record<string, (event: Event) => void>} */
  const take = {
    "car-added": (event) => {
      car.added ??= markOf(event);
      describe(event);
    },
    "car-described": describe,
    "fact-written": (event) => change(event, "written", knownFact(event, event.payload.confirmed === false ? null : markOf(event)), null),
    "fact-withdrawn": (event) => change(event, "withdrawn", null, null),
    "fact-confirmed": (event) => {
      const target = entries.get(event.payload.event);
      if (target?.kind === "fact-written" && target.payload.fact === event.payload.fact) {
        change(event, "confirmed", knownFact(target, markOf(event)), target.id);
      } else car.unknown += 1;
    },
    "odometer-read": (event) => {
      const { value, typed, unit } = event.payload;
      car.odometer = { value, typed, unit, ...markOf(event) };
      car.odometers.push(car.odometer);
    },
    undone: () => {},
  };

  for (const event of entries.values()) {
    if (Object.hasOwn(take, event.kind)) take[event.kind]?.(event);
    else if (!READ_APART.has(event.kind)) car.unknown += 1;
  }
  for (const [fact, frontier] of Object.entries(frontiers)) {
    const facts = frontier.map(({ value }) => value);
    if (!facts.every((one) => isSameValue(one?.value ?? null, facts[0]?.value ?? null))) {
      car.disputed_facts.push({ fact, events: frontier.map(({ event }) => event.id) });
      continue;
    }
    const standing = facts.filter((one) => one !== null);
    const stands = standing.findLast((one) => one.confirmed !== null) ?? standing.at(-1);
    if (stands) car.facts[fact] = stands;
  }
  return car;
}

/** @param {Event} event @param {Mark | null} confirmed @returns {KnownFact} */
function knownFact(event, confirmed) {
  const { value, typed = null, unit = null, source, because = null, doubt = null } = event.payload;
  return { value, typed, unit, source, because, doubt, ...markOf(event), confirmed };
}
