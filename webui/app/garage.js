/**
 * The owner's own cars: folded from their entries like visits, typed in and corrected here, with or without a network.
 * Loaded when a screen first speaks of cars, since a phone in the middle of a visit needs none of it.
 */

/** @import { CarFold } from "../core/car.js" */
/** @import { Catalog, Event, Vehicle, VehicleFact } from "../core/types.js" */
/** @import { Store } from "../storage/store.js" */
/** @import { FactDraft, Garage, ImportChoice, Open, Written } from "./types.js" */

import { foldCar } from "../core/car.js";
import { foldHistory } from "../core/history.js";
import { judgeFact } from "../core/judgement.js";
import { entriesOf, judgeSheet, readSheet, sheetOf, writeQuantity, writeSheet } from "../core/sheet.js";
import { GARAGE } from "../core/inventory.js";
import { createInventory } from "./inventory.js";
import { words } from "./words.js";

/**
 * @param {object} needs
 * @param {Store} needs.store
 * @param {() => Catalog | null} needs.catalog
 * @param {(id: string) => Open | null} needs.visit a loaded visit
 * @param {(carId: string, kind: string, payload: Record<string, any>) => Promise<Event>} needs.record an entry about a car
 * @param {(visitId: string, kind: string, payload: Record<string, any>) => Promise<Event>} needs.recordInVisit
 * @returns {Garage}
 */
export function createGarage({ store, catalog, visit, record, recordInVisit }) {
  /** @type {Map<string, { fold: CarFold, events: Event[] }>} */
  const cars = new Map();
  const inventory = createInventory({ store, record });

  /** @param {string} id */
  async function read(id) {
    const events = await store.readVisit(id);
    const fold = foldCar(events);
    if (fold.added) cars.set(id, { fold, events });
    else cars.delete(id);
  }

  async function load() {
    await inventory.load();
    for (const id of await store.readCarIds()) await read(id);
  }

  /** Read again what other tabs or phones may have changed. @param {string[] | undefined} ids */
  async function reload(ids) {
    await inventory.reload(ids);
    const known = await store.readCarIds();
    for (const id of known) if (!cars.has(id) || !ids || ids.includes(id)) await read(id);
  }

  /** Show an entry that was just made. @param {Event} event */
  function add(event) {
    inventory.add(event);
    if (event.subject === GARAGE) return;
    const events = [...(cars.get(event.subject)?.events ?? []), event];
    const fold = foldCar(events);
    if (fold.added) cars.set(event.subject, { fold, events });
    else cars.delete(event.subject);
  }

  function needCatalog() {
    const here = catalog();
    if (!here) throw new Error(words.errors.noCatalog);
    return here;
  }

  /** @param {string} id */
  function needCar(id) {
    const car = cars.get(id);
    if (!car) throw new Error(words.plan.noCar);
    return car.fold;
  }

  /** @param {CarFold} fold */
  function valuesOf(fold) {
    return Object.fromEntries(Object.entries(fold.facts).map(([name, { value }]) => [name, value]));
  }

  /**
   * Judge first: what is refused is not recorded, and what is odd is recorded only with the answer to that.
   *
   * @param {string} id @param {FactDraft} draft @returns {Promise<Written>}
   */
  async function writeFact(id, draft) {
    const fold = needCar(id);
    const judgement = judgeFact(needCatalog(), valuesOf(fold), draft.fact, draft.value, draft.source);
    const isTaken = judgement.verdict === "fine" || (judgement.verdict === "odd" && Boolean(draft.doubt?.trim()));
    return { judgement, event: isTaken ? await record(id, "fact-written", { ...draft }) : null };
  }

  /**
   * A number that was missing, at the step that needs it: for this visit, and for the car if it is one's own.
   *
   * @param {string} visitId @param {FactDraft & { step?: string }} draft @returns {Promise<Written>}
   */
  async function giveFact(visitId, { step, because, ...draft }) {
    const open = visit(visitId);
    if (!open) throw new Error(words.errors.noCatalog);
    const judgement = judgeFact(open.catalog, open.facts, draft.fact, draft.value, draft.source);
    const isTaken = judgement.verdict === "fine" || (judgement.verdict === "odd" && Boolean(draft.doubt?.trim()));
    if (!isTaken) return { judgement, event: null };
    // The car first: should the phone die between the two, the step only asks again.
    const isOfCar = open.catalog.facts[draft.fact]?.of === "car";
    if (isOfCar && cars.has(open.car.id)) await record(open.car.id, "fact-written", { ...draft, ...(because ? { because } : {}) });
    return { judgement, event: await recordInVisit(visitId, "fact-given", { ...draft, ...(step ? { step } : {}) }) };
  }

  /** @param {string} id @returns {File} */
  function exportSheet(id) {
    const here = needCatalog();
    const demo = here.vehicles[id];
    const sheet = demo && !cars.has(id) ? sheetOfDemo(demo) : sheetOf(here, id, needCar(id));
    const name = (sheet.plate || sheet.title).toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
    return new File([writeSheet(sheet)], `${name || "car"}.toml`, { type: "application/toml" });
  }

  /** @param {string} text @param {ImportChoice} [choice] */
  async function importSheet(text, { asNew = false, isOwn = false, by = "" } = {}) {
    const here = needCatalog();
    const { sheet, errors } = readSheet(text);
    if (!sheet) return { id: null, errors, judgement: null };
    const judgement = judgeSheet(here, sheet);
    if (judgement.verdict === "refused") return { id: null, errors: [], judgement };
    const isId = /^[A-Za-z0-9._:-]{1,64}$/.test(sheet.id ?? "");
    const id = isId && !asNew ? String(sheet.id) : crypto.randomUUID();
    for (const { kind, payload } of entriesOf(here, sheet, cars.get(id)?.fold ?? null, { isOwn, by })) await record(id, kind, payload);
    return { id, errors: [], judgement };
  }

  return {
    inventory,
    load,
    reload,
    add,
    has: (id) => cars.has(id),
    list: () => [...cars].map(([id, { fold }]) => ({ id, fold, facts: vehicleFacts(catalog(), fold) })),
    async addCar(told) {
      const id = crypto.randomUUID();
      await record(id, "car-added", { ...told });
      return id;
    },
    readHistory: async (id) => foldHistory(await store.readVisit(id)),
    note: record,
    describeCar: (id, told) => record(id, "car-described", { ...told }),
    writeFact,
    giveFact,
    withdrawFact: (id, fact, because, by = "") => record(id, "fact-withdrawn", { fact, because, by }),
    confirmFact: (id, fact, event, by = "") => record(id, "fact-confirmed", { fact, event, by }),
    readOdometer: (id, reading) => record(id, "odometer-read", { ...reading }),
    undoInCar: (id, event) => record(id, "undone", { event }),
    judge: (id, draft) => judgeFact(needCatalog(), valuesOf(needCar(id)), draft.fact, draft.value, draft.source),
    exportSheet,
    importSheet,
  };
}

/** The facts of a car as a visit takes them with it. @param {Catalog | null} catalog @param {CarFold} fold @returns {Record<string, VehicleFact>} */
function vehicleFacts(catalog, fold) {
  return Object.fromEntries(
    Object.entries(fold.facts).map(([name, { value, unit, source, confirmed }]) => {
      const key = unit ?? catalog?.facts[name]?.unit ?? null;
      const shown = typeof value === "number" && key !== null && catalog ? writeQuantity(catalog, key, value) : null;
      return [name, { value, shown, unit: shown === null ? null : key, source, ...(confirmed ? {} : { confirmed: false }) }];
    }),
  );
}

/** @param {Vehicle} vehicle @returns {import("../core/sheet.js").Sheet} */
function sheetOfDemo({ title, plate, note, owner, odometer, facts }) {
  const written = Object.entries(facts).map(([name, { value, shown, source }]) => [name, { value: shown ?? value, source }]);
  return { title, plate, note, owner, odometer: odometer.shown, facts: Object.fromEntries(written) };
}
