/** What stands behind a due day, the distance of a day, and the check digit of a VIN: the functions of the specs, opened. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { ServiceDue } from "../../core/due-list.js" */
/** @import { MeterReading } from "../../core/history.js" */

import { words } from "../../app/words.js";
import { numbers } from "../../app/words/numbers.js";
import { findDoubtful, span } from "../../core/meter.js";
import { openFunctionSheet } from "../numbers/number-sheet.js";
import { Button } from "../controls/press.js";
import { fixedGiven, workOutFunction } from "../numbers/worked.js";

const DAY = 86_400;

/**
 * Why a service is due on its day; nothing where no day can be told.
 *
 * @param {Catalog} catalog
 * @param {ServiceDue} service
 * @param {{ rate: number } | null} rate m/s
 */
export function WhyThen(catalog, { last, limits }, rate) {
  const counting = /** @param {string} kind */ (kind) => limits.filter(({ counts, limit }) => counts && limit === kind).map(({ value }) => value);
  const [times, distances] = [counting("time"), counting("distance")];
  if (!last || times.length + distances.length === 0) return null;
  const least = /** @param {number[]} values */ (values) => ({ value: values.length ? Math.min(...values) : null, from: numbers.due.counting });
  const worked = workOutFunction(catalog, "next-due", {
    last_date: fixedGiven(last.date, last.reference),
    time: least(times),
    distance: least(distances),
    rate: { value: rate?.rate ?? null, from: numbers.due.readings },
  });
  return worked && Button({ class: "plain" }, () => openFunctionSheet(worked), numbers.due.whyThen);
}

/**
 * How far the car goes in a day, from the readings that can be true.
 *
 * @param {Catalog} catalog
 * @param {MeterReading[]} readings
 */
export function openRate(catalog, readings) {
  const doubtful = findDoubtful(readings);
  const sound = readings.filter((reading) => !doubtful.includes(reading)).sort((a, b) => (a.date < b.date ? -1 : 1));
  const days = sound.map(({ date }) => span(sound[0]?.date ?? date, date) * DAY);
  const worked = workOutFunction(catalog, "odometer-rate", { days: fixedGiven(days, words.numbers.read), distances: fixedGiven(sound.map(({ value }) => value), words.numbers.read) });
  if (worked) openFunctionSheet(worked);
}

/** @param {Catalog} catalog @param {string} vin */
export function openVinCheck(catalog, vin) {
  const worked = workOutFunction(catalog, "vin-check", { vin: fixedGiven(vin, words.numbers.typedHere) });
  if (worked) openFunctionSheet(worked);
}
