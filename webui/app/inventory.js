/**
 * What the house has and what is planned for its cars, with the actions that change it; part of the garage.
 *
 * What it records is durable when the promise resolves, with or without a network.
 */

/** @import { CarPlan, Choice, Inventory, Marked } from "../core/inventory.js" */
/** @import { Event } from "../core/types.js" */
/** @import { Store } from "../storage/store.js" */

import { foldInventory, foldPlan, GARAGE } from "../core/inventory.js";

/** @typedef {ReturnType<typeof createInventory>} InventoryActions */

/**
 * @param {object} needs
 * @param {Store} needs.store
 * @param {(subject: string, kind: string, payload: Record<string, any>) => Promise<Event>} needs.record
 */
export function createInventory({ store, record }) {
  /** @type {Event[]} */
  let events = [];
  let inventory = foldInventory([]);
  /** @type {Map<string, Event[]>} */
  const plans = new Map();

  async function load() {
    events = await store.readVisit(GARAGE);
    inventory = foldInventory(events);
  }

  /** @param {string} carId */
  async function loadPlan(carId) {
    plans.set(carId, await store.readVisit(carId));
  }

  return {
    load,
    loadPlan,
    /** @param {string[] | undefined} subjects */
    async reload(subjects) {
      if (!subjects || subjects.includes(GARAGE)) await load();
      for (const carId of plans.keys()) if (!subjects || subjects.includes(carId)) await loadPlan(carId);
    },
    /** Show an entry that was just made. @param {Event} event */
    add(event) {
      if (event.subject === GARAGE) {
        events = [...events, event];
        inventory = foldInventory(events);
      }
      const plan = plans.get(event.subject);
      if (plan) plans.set(event.subject, [...plan, event]);
    },
    /** @returns {Inventory} */
    get: () => inventory,
    /** What was decided and ticked for a car since its last visit began; empty before loadPlan. @param {string} carId @param {string | null} since @returns {CarPlan} */
    plan: (carId, since) => foldPlan(plans.get(carId) ?? [], since),
    /** @param {{ thing?: string, of: string, title?: string, count?: number, marks?: Record<string, Marked>, by?: string }} thing thing: the id of one that is changed @returns {Promise<string>} its id */
    async keepThing({ thing = crypto.randomUUID(), ...said }) {
      await record(GARAGE, "thing-kept", { thing, ...said });
      return thing;
    },
    /** @param {string} thing @param {string} [because] @param {string} [by] */
    dropThing: (thing, because = "", by = "") => record(GARAGE, "thing-gone", { thing, because, by }),
    /** @param {string} of @param {number | null} value null takes it back @param {string} currency @param {string} [by] */
    writePrice: (of, value, currency, by = "") => (value === null ? record(GARAGE, "price-withdrawn", { of, by }) : record(GARAGE, "price-written", { of, value, currency, by })),
    /** @param {string} carId @param {string} job @param {Choice} choice @param {{ verdict?: string, because?: string, by?: string }} [why] */
    decide: (carId, job, choice, why = {}) => record(carId, "service-decided", { job, choice, ...why }),
    /** @param {string} carId @param {string} line @param {boolean} done @param {string} [by] */
    tick: (carId, line, done, by = "") => record(carId, "line-ticked", { line, done, by }),
    /** Take back an entry about the house. @param {string} event */
    undo: (event) => record(GARAGE, "undone", { event }),
  };
}
