/**
 * What a meter of a car shows: which readings can be true, how fast it runs, and when it will reach a number.
 *
 * The odometer and a meter that counts hours are read alike. `server/fillfirst/records/meter.py` is the same in the
 * other language.
 */

/** @import { MeterReading } from "./history.js" */

import { addDays, readDays } from "./due.js";
import { findRate } from "./odometer.js";

const DAY = 86400;
/** No day further off than this is worked out: it is beyond the last that can be told. */
const FURTHEST_DAYS = 4e6;

/** @typedef {{ rate: number, rate_from: number | null, rate_to: number | null }} Rate in m/s or s/s; null with readings on two days only */
/** @typedef {[date: string | null, from: string | null, to: string | null]} DayRange */
/** @typedef {{ last: MeterReading | null, rate: Rate | null, at: (date: string) => number | null, reaches: (at: number) => DayRange }} Meter */

/**
 * Readings that cannot be true, because a meter never runs backwards: those outside the longest run that only rises; of
 * two equally long the one that ends later.
 *
 * @param {MeterReading[]} readings
 */
export function findDoubtful(readings) {
  const ordered = inTime(readings);
  const lengths = ordered.map(() => 1);
  const before = ordered.map(() => -1);
  ordered.forEach((reading, at) => {
    for (let earlier = 0; earlier < at; earlier += 1) {
      const length = (lengths[earlier] ?? 0) + 1;
      if ((ordered[earlier]?.value ?? 0) <= reading.value && length >= (lengths[at] ?? 0)) [lengths[at], before[at]] = [length, earlier];
    }
  });
  const kept = new Set();
  let at = lengths.lastIndexOf(Math.max(...lengths));
  while (at >= 0) {
    kept.add(at);
    at = before[at] ?? -1;
  }
  return ordered.filter((_, index) => !kept.has(index));
}

/** @param {MeterReading[]} readings */
function inTime(readings) {
  return [...readings].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : a.value - b.value));
}

/** @param {MeterReading[]} readings that can be true @returns {Meter} */
export function readMeter(readings) {
  const ordered = inTime(readings).filter(({ date }) => readDays(date) !== null);
  const last = ordered.at(-1) ?? null;
  const rate = rateOf(ordered);

  /** What it showed on a day, by the nearest reading and the rate. @param {string} date */
  function at(date) {
    if (!last || !rate) return null;
    const nearest = ordered.reduce((best, one) => (Math.abs(span(date, one.date)) < Math.abs(span(date, best.date)) ? one : best));
    return nearest.value - rate.rate * span(date, nearest.date) * DAY;
  }

  /** The day on which it shows this, the first such day, and the last. @param {number} wanted @returns {DayRange} */
  function reaches(wanted) {
    if (!last) return [null, null, null];
    const left = wanted - last.value;
    if (left <= 0) return passed(wanted);
    return [after(last.date, left, rate?.rate), after(last.date, left, rate?.rate_to), after(last.date, left, rate?.rate_from)];
  }

  /** When it showed what it has passed: between two readings, in proportion. @param {number} wanted @returns {DayRange} */
  function passed(wanted) {
    const later = /** @type {MeterReading} */ (ordered.find(({ value }) => value >= wanted));
    const earlier = ordered.findLast(({ value }) => value < wanted);
    if (!earlier) {
      const day = after(later.date, wanted - later.value, rate?.rate) ?? later.date;
      return [day, day, later.date];
    }
    const share = (wanted - earlier.value) / (later.value - earlier.value);
    return [addDays(earlier.date, Math.floor(share * span(earlier.date, later.date) + 1e-9)), earlier.date, later.date];
  }
  return { last, rate, at, reaches };
}

/** @param {MeterReading[]} readings @returns {Rate | null} */
function rateOf(readings) {
  const first = readings[0];
  if (!first) return null;
  const days = readings.map(({ date }) => span(first.date, date) * DAY);
  const { value } = findRate({ days, distances: readings.map(({ value: shown }) => shown) });
  return typeof value?.rate === "number" ? /** @type {Rate} */ (value) : null;
}

/** @param {string} date @param {number} left @param {number | null | undefined} rate */
function after(date, left, rate) {
  if (typeof rate !== "number" || rate <= 0) return null;
  return addDays(date, Math.floor(Math.min(left / rate / DAY + 1e-9, FURTHEST_DAYS)));
}

/** How many days there are from one on to another; negative where the other is earlier. @param {string} from @param {string} to */
export function span(from, to) {
  return (readDays(to) ?? 0) - (readDays(from) ?? 0);
}
