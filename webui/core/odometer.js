/**
 * How far a car goes in a day: the median of all slopes between two days, which one wrong reading hardly moves.
 *
 * `server/fillfirst/formulas/odometer.py` is the same in the other language and says why; the vectors in
 * `tests/agreement/functions.json` drive both.
 */

/** @import { FunctionAnswer } from "./functions.js" */

import { median } from "./median.js";

const NORMAL = 1.959963984540054;

/**
 * The rate with its interval at 95 percent; nothing where no day differs or the car goes back, and no interval for two.
 *
 * @param {{ days: number[], distances: number[] }} given
 * @returns {FunctionAnswer}
 */
export function findRate({ days, distances }) {
  if (days.length !== distances.length) return { impossible: "as many odometer readings as days are needed" };
  const readings = days
    .map((day, at) => /** @type {const} */ ([day, distances[at] ?? 0]))
    .sort((one, other) => one[0] - other[0] || one[1] - other[1]);
  const slopes = readings
    .flatMap(([day, distance], at) =>
      readings.slice(at + 1).flatMap(([later, further]) => (later > day ? [(further - distance) / (later - day)] : [])),
    )
    .sort((one, other) => one - other);
  const rate = slopes.length > 0 ? median(slopes) : 0;
  if (rate <= 0) return tell(null, null, null);
  if (new Set(days).size < 3) return tell(rate, null, null);
  const width = NORMAL * Math.sqrt(kendallVariance(days));
  const low = Math.max(Math.floor((slopes.length - width) / 2 + 0.5) - 1, 0);
  const high = Math.min(Math.floor((slopes.length + width) / 2 + 0.5), slopes.length - 1);
  return tell(rate, Math.max(slopes[low] ?? 0, 0), slopes[high] ?? null);
}

/** @param {number | null} rate @param {number | null} least @param {number | null} most @returns {FunctionAnswer} */
function tell(rate, least, most) {
  return { value: { rate, rate_from: least, rate_to: most } };
}

/** Of Kendall's score, with days that were read more than once. @param {number[]} days */
function kendallVariance(days) {
  const repeats = [...new Set(days)].map((day) => days.filter((other) => other === day).length);
  return (countTerm(days.length) - repeats.reduce((sum, each) => sum + countTerm(each), 0)) / 18;
}

/** @param {number} count */
function countTerm(count) {
  return count * (count - 1) * (2 * count + 5);
}
