/** The cars on this phone: those the catalog brings, each with where its visits stand. */

/** @import { Catalog } from "../core/types.js" */
/** @import { Car, Summary } from "./types.js" */

/** @param {Catalog} catalog @param {Summary[]} visits newest first @returns {Car[]} */
export function listCars(catalog, visits) {
  return Object.entries(catalog.vehicles).map(([id, { title, plate, note, owner, odometer, facts }]) => {
    const own = visits.filter((visit) => visit.car.id === id);
    return {
      id,
      title,
      plate,
      note,
      owner,
      odometer: { value: Number(odometer.value), shown: odometer.shown },
      facts,
      openVisit: own.find((visit) => visit.closedAt === null) ?? null,
      lastVisit: own.find((visit) => visit.closedAt !== null) ?? null,
    };
  });
}
