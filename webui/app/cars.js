/** The cars on this phone: the owner's own, and those the catalog brings, each with where its visits stand. */

/** @import { Catalog } from "../core/types.js" */
/** @import { Car, OwnCar, Summary } from "./types.js" */

/** @param {Catalog} catalog @param {Summary[]} visits newest first @param {OwnCar[]} [own] @returns {Car[]} */
export function listCars(catalog, visits, own = []) {
  return [...own.map((car) => showOwn(catalog, car, visits)), ...listDemos(catalog, visits)];
}

/** @param {Catalog} catalog @param {OwnCar} car @param {Summary[]} visits @returns {Car} */
function showOwn(catalog, { id, fold, facts }, visits) {
  const had = visits.filter((visit) => visit.car.id === id);
  // It only ever goes up, so the furthest is the newest, whether it was read for a visit or by itself.
  const value = Math.max(0, fold.odometer?.value ?? 0, ...had.map((visit) => visit.odometer_m));
  return {
    id,
    title: fold.title,
    plate: fold.plate,
    note: fold.note,
    owner: "",
    odometer: { value, shown: value > 0 ? odometerText(catalog, value, fold.odometer?.unit ?? "km") : "" },
    facts,
    own: fold,
    ...standings(had),
  };
}

/** In the unit of the car's own display. @param {Catalog} catalog @param {number} value @param {string} unit */
function odometerText(catalog, value, unit) {
  const factor = catalog.units[unit]?.factor;
  return factor ? `${Math.round(value / factor)} ${unit}` : `${Math.round(value / 1000)} km`;
}

/** @param {Summary[]} had newest first */
function standings(had) {
  return {
    openVisit: had.find((visit) => visit.closedAt === null) ?? null,
    lastVisit: had.find((visit) => visit.closedAt !== null) ?? null,
  };
}

/** @param {Catalog} catalog @param {Summary[]} visits @returns {Car[]} */
function listDemos(catalog, visits) {
  return Object.entries(catalog.vehicles).map(([id, { title, plate, note, owner, odometer, facts }]) => {
    return {
      id,
      title,
      plate,
      note,
      owner,
      odometer: { value: Number(odometer.value), shown: odometer.shown },
      facts,
      own: null,
      ...standings(visits.filter((visit) => visit.car.id === id)),
    };
  });
}
