/** The first entry of a visit: which car, as it is known now, and by which procedures. */

/** @import { App, Order } from "./types.js" */

import { words } from "./words.js";

/** @param {App} app @param {Order} order @returns {Promise<string>} the new visit's id */
export async function beginVisit(app, { carId, jobs, settings, odometer_m, by }) {
  const demo = app.catalog?.vehicles[carId];
  const vehicle = demo ? { title: demo.title, plate: demo.plate, vin: "", facts: demo.facts } : await findOwnCar(app, carId);
  if (!vehicle || !app.catalog) throw new Error(words.errors.noCatalog);
  const id = crypto.randomUUID();
  const car = { id: carId, title: vehicle.title, plate: vehicle.plate, ...(vehicle.vin ? { vin: vehicle.vin } : {}) };
  await app.record(id, "visit-opened", { car, odometer_m, catalog: app.catalogHash, jobs, facts: vehicle.facts, settings, by });
  await app.loadVisit(id);
  return id;
}

/** @param {App} app @param {string} carId */
async function findOwnCar(app, carId) {
  const own = (await app.loadGarage()).list().find((car) => car.id === carId);
  return own && { title: own.fold.title, plate: own.fold.plate, vin: own.fold.vin, facts: own.facts };
}
