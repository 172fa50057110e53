/**
 * The visits of this phone: short summaries of all of them, and those on screen in full. A loaded visit is always a
 * fold over its entries; nothing here is stored, so nothing here can disagree with the log.
 */

/** @import { Catalog, Event, GivenFact, VehicleFact } from "../core/types.js" */
/** @import { Store } from "../storage/store.js" */
/** @import { Open, Summary } from "./types.js" */

import { compose } from "../core/compose.js";
import { inOrder } from "../core/events.js";
import { factsInForce, fold, givenFacts } from "../core/fold.js";
import { parseCatalog } from "../storage/catalogs.js";

/** @param {Store} store */
export function createVisits(store) {
  /** @type {Map<string, Open>} */
  const loaded = new Map();
  /** @type {Map<string, Catalog>} */
  const catalogs = new Map();
  /** @type {Map<string, Summary>} */
  let summaries = new Map();

  /** @param {string} hash @returns {Promise<Catalog | null>} */
  async function catalog(hash) {
    const known = catalogs.get(hash);
    if (known) return known;
    const text = await store.readCatalogText(hash);
    if (text === null) return null;
    const read = parseCatalog(text);
    catalogs.set(hash, read);
    return read;
  }

  /** @param {string} id @returns {Promise<Open | null>} null while its beginning or its procedures are not on this phone */
  async function load(id) {
    const events = await store.readVisit(id);
    const opened = events.find((event) => event.kind === "visit-opened");
    const procedures = opened ? await catalog(String(opened.payload.catalog)) : null;
    if (!opened || !procedures) return null;
    const open = unfold(id, opened, procedures, events);
    loaded.set(id, open);
    return open;
  }

  /** Read again what other tabs or phones may have changed. @param {Iterable<string>} [ids] all that are loaded, if left out */
  async function reload(ids = loaded.keys()) {
    for (const id of [...ids]) if (loaded.has(id)) await load(id);
    await readSummaries();
  }

  /** Show an entry that was just made. @param {Event} event */
  async function add(event) {
    const open = loaded.get(event.subject);
    if (open) loaded.set(open.id, refold(open, event));
    if (["visit-opened", "visit-closed", "undone"].includes(event.kind)) await readSummaries().catch(() => {});
  }

  async function readSummaries() {
    const { opened, closed, undone } = await store.readVisits();
    const takenBack = new Set(undone.map((event) => event.payload.event));
    const closings = new Map(closed.filter((event) => !takenBack.has(event.id)).map((event) => [event.subject, event]));
    summaries = new Map(
      opened
        .filter((event) => !takenBack.has(event.id))
        .sort((a, b) => b.hlc.ms - a.hlc.ms)
        .map((event) => [event.subject, summarise(event, closings.get(event.subject))]),
    );
  }

  return {
    catalog,
    load,
    reload,
    add,
    readSummaries,
    /** @param {string} id @returns {Open | null} */
    get: (id) => loaded.get(id) ?? null,
    /** Newest first. @returns {Summary[]} */
    list: () => [...summaries.values()],
  };
}

/** @param {string} id @param {Event} opened @param {Catalog} catalog @param {Event[]} events @returns {Open} */
function unfold(id, opened, catalog, events) {
  const { car, jobs, facts: known, settings, catalog: catalogHash } = opened.payload;
  const since = givenFacts(events);
  const composition = compose(catalog, jobs, factsInForce({ facts: known, settings }, since));
  const carFacts = { ...known, ...asVehicleFacts(catalog, since.given) };
  for (const { fact } of since.disputed_facts) delete carFacts[fact];
  const visit = fold(catalog, composition, events);
  return { id, catalog, catalogHash, car, jobs, composition, carFacts, settings, facts: composition.facts, visit, events: inOrder(events) };
}

/** @param {Open} open @param {Event} event @returns {Open} */
function refold(open, event) {
  const events = [...open.events, event];
  const opened = events.find(({ kind }) => kind === "visit-opened");
  // A number that is given or taken back may change which steps there are.
  if (opened && ["fact-given", "undone"].includes(event.kind)) return unfold(open.id, opened, open.catalog, events);
  return { ...open, events: inOrder(events), visit: fold(open.catalog, open.composition, events) };
}

/** What was given during a visit, as the car's other facts are told. @param {Catalog} catalog @param {Record<string, GivenFact>} given @returns {Record<string, VehicleFact>} */
function asVehicleFacts(catalog, given) {
  return Object.fromEntries(
    Object.entries(given).map(([name, { value, unit, source }]) => {
      const listed = unit ? catalog.units[unit] : undefined;
      // As units.js does it, which the first screen does without.
      const shown = typeof value === "number" && listed ? `${Number(((value - listed.offset) / listed.factor).toPrecision(10))} ${unit}` : null;
      return [name, { value, shown, unit, source }];
    }),
  );
}

/** @param {Event} opened @param {Event | undefined} closed @returns {Summary} */
function summarise(opened, closed) {
  const { car, jobs, settings, by, odometer_m } = opened.payload;
  return { id: opened.subject, car, jobs, settings, by, odometer_m, openedAt: opened.wall, closedAt: closed?.wall ?? null };
}
