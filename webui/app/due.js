/** What the due list of a car is worked out from, gathered on this phone: its entries, and every visit it holds of it. */

/** @import { App, Car } from "./types.js" */
/** @import { CarDue, DueCar } from "../core/due-list.js" */

import { listDue } from "../core/due-list.js";
import { foldAfterwards, readVisit } from "../core/history.js";

/** @param {App} app @param {Car} car own or demo @returns {Promise<DueCar>} */
export async function gatherCar(app, car) {
  const garage = await app.loadGarage();
  const history = await garage.readHistory(car.id);
  const facts = Object.fromEntries(Object.entries(car.facts).map(([name, { value }]) => [name, value]));
  /** @type {DueCar} */
  const gathered = { id: car.id, title: car.title, plate: car.plate, facts, ...history, rechecks: [] };
  // Oldest first: of two visits on one day the later one asks for what is to be looked at again.
  for (const { id } of app.visits().filter((visit) => visit.car.id === car.id).reverse()) {
    const open = app.visit(id) ?? (await app.loadVisit(id));
    if (!open) continue;
    const told = readVisit(open.catalog, open.composition, open.visit, foldAfterwards(open.events));
    gathered.services.push(...told.services);
    gathered.odometers.push(...told.odometers);
    gathered.rechecks.push(...told.rechecks);
  }
  return gathered;
}

/** The due lists of all cars of this phone, own ones first. @param {App} app @param {string} today @returns {Promise<CarDue[]>} */
export async function listAllDue(app, today) {
  const { catalog } = app;
  if (!catalog) return [];
  await app.loadGarage();
  const lists = [];
  for (const car of app.cars()) lists.push(listDue(catalog, await gatherCar(app, car), today));
  return lists;
}

/** The day it is here, such as "2026-05-04". */
export function findToday() {
  const now = new Date();
  return [String(now.getFullYear()).padStart(4, "0"), String(now.getMonth() + 1).padStart(2, "0"), String(now.getDate()).padStart(2, "0")].join("-");
}
