/**
 * What a plan stands on beside the car: the garage, its prices, what was decided, what is due, and how long this owner
 * takes. Fetched once the screen is there; the screen shows what it has, and more when this comes.
 */

/** @import { App, Car, Garage } from "./types.js" */
/** @import { CarDue } from "../core/due-list.js" */
/** @import { Learned } from "../core/durations.js" */
/** @import { CarPlan, Inventory } from "../core/inventory.js" */

import { foldInventory, foldPlan } from "../core/inventory.js";

/** Own visits beyond these say little about today's pace. */
const VISITS_READ = 12;

/** @param {App} app @param {Car} car */
export function createPlanGround(app, car) {
  /** @type {Garage | null} */
  let garage = null;
  /** @type {CarDue | null} */
  let due = null;
  /** @type {Promise<Learned> | null} */
  let learning = null;
  /** @type {Learned | null} */
  let learned = null;
  const none = foldInventory([]);
  const begun = app.visits().find((visit) => visit.car.id === car.id)?.openedAt ?? null;

  async function load() {
    const loaded = await app.loadGarage();
    await loaded.inventory.loadPlan(car.id);
    garage = loaded;
  }

  async function loadDue() {
    const { catalog } = app;
    if (!catalog) return;
    const [{ findToday, gatherCar }, { listDue }] = await Promise.all([import("./due.js"), import("../core/due-list.js")]);
    due = listDue(catalog, await gatherCar(app, car), findToday());
  }

  /** @returns {Promise<Learned>} */
  function learn() {
    learning ??= readPace(app).then((read) => (learned = read));
    return learning;
  }

  return {
    load,
    loadDue,
    learn,
    /** @returns {Learned | null} null until it is read */
    learned: () => learned,
    actions: () => garage?.inventory ?? null,
    /** @returns {Inventory} */
    inventory: () => garage?.inventory.get() ?? none,
    isTold: () => Object.keys(garage?.inventory.get().things ?? {}).length > 0,
    /** @returns {CarPlan} */
    plan: () => garage?.inventory.plan(car.id, begun) ?? foldPlan([], begun),
    /** @param {string} job */
    due: (job) => due?.services.find((service) => service.job === job) ?? null,
    /** By job: for how many seconds what it renewed has been in, where that is known. @returns {Record<string, number>} */
    ages: () => Object.fromEntries((due?.services ?? []).flatMap(({ job, last }) => (last ? [[job, secondsSince(last.date)]] : []))),
  };
}

/** @param {string} date such as "2026-05-04" */
function secondsSince(date) {
  return Math.max(0, (Date.now() - Date.parse(date)) / 1000);
}

/** @param {App} app @returns {Promise<Learned>} */
async function readPace(app) {
  const { learnDurations } = await import("../core/durations.js");
  const visits = [];
  for (const { id } of app.visits().filter(({ closedAt }) => closedAt !== null).slice(0, VISITS_READ)) {
    const open = app.visit(id) ?? (await app.loadVisit(id));
    if (open) visits.push(open.events);
  }
  return learnDurations(/** @type {import("../core/types.js").Catalog} */ (app.catalog), visits);
}
