/**
 * When a service is due again: by the calendar or by the odometer, whichever comes first.
 *
 * `server/fillfirst/formulas/due.py` is the same in the other language; the vectors in
 * `tests/agreement/functions.json` drive both. No clock is read.
 */

/** @import { FunctionAnswer } from "./functions.js" */

const DAY = 86400;
/** The month of the unit table: a twelfth of 365.25 days. Here it only says how many months are meant. */
const MONTH = (365.25 * DAY) / 12;
const LAST = 9999;

/** @typedef {[year: number, month: number, day: number]} Day */

/**
 * The day, and which of the two brings it; whole months end on the last day of a shorter month.
 *
 * @param {{ last_date: string, time?: number, distance?: number, rate?: number }} given
 * @returns {FunctionAnswer}
 */
export function findDue({ last_date, time, distance, rate }) {
  if (readDays(last_date) === null) return { impossible: "a date such as 2024-03-10 is needed" };
  const byTime = time === undefined ? null : addTime(last_date, time);
  const byDistance = distance === undefined || rate === undefined || rate <= 0 ? null : addDays(last_date, Math.floor(distance / rate / DAY + 1e-9));
  const isTime = byDistance === null || (byTime !== null && byTime <= byDistance);
  const date = isTime ? byTime : byDistance;
  if (date === null) return { impossible: "an interval in time, or one in distance with a rate, is needed" };
  return { value: { date, by: isTime ? "time" : "distance" } };
}

/** Days since an arbitrary one; null where the text is no date. @param {string} date */
export function readDays(date) {
  const day = readDay(date);
  return day ? toDays(day) : null;
}

/** So many days on, or back; the last day that is told is the end of 9999. @param {string} date @param {number} days */
export function addDays(date, days) {
  const since = readDays(date);
  if (since === null) throw new RangeError(`"${date}" is no date such as 2024-03-10`);
  return write(toDay(Math.min(Math.max(since + days, 0), toDays([LAST, 12, 31]))));
}

/** So many seconds on: whole months where it is one or more, else whole days. @param {string} date @param {number} time */
export function addTime(date, time) {
  const day = readDay(date);
  if (!day || time < MONTH * 0.9) return addDays(date, Math.floor(time / DAY + 0.5));
  return write(addMonths(day, Math.floor(time / MONTH + 0.5)));
}

/** @param {string} text @returns {Day | null} */
function readDay(text) {
  const [, year, month, day] = (/^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(text) ?? []).map(Number);
  if (year === undefined || month === undefined || day === undefined) return null;
  return month >= 1 && month <= 12 && day >= 1 && day <= lastDay(year, month) ? [year, month, day] : null;
}

/** @param {Day} day */
function write([year, month, day]) {
  return [String(year).padStart(4, "0"), String(month).padStart(2, "0"), String(day).padStart(2, "0")].join("-");
}

/** @param {Day} from @param {number} months @returns {Day} */
function addMonths([year, month, day], months) {
  const count = year * 12 + month - 1 + months;
  const then = Math.min(Math.floor(count / 12), LAST);
  return [then, (count % 12) + 1, Math.min(day, lastDay(then, (count % 12) + 1))];
}

/** @param {number} year @param {number} month */
function lastDay(year, month) {
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return [31, isLeap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
}

/** Days since an arbitrary one; a year begins in March here, so that the leap day is its last. @param {Day} day */
function toDays([year, month, day]) {
  const [years, months] = month > 2 ? [year, month - 3] : [year - 1, month + 9];
  const leaps = Math.floor(years / 4) - Math.floor(years / 100) + Math.floor(years / 400);
  return 365 * years + leaps + Math.floor((153 * months + 2) / 5) + day - 1;
}

/** @param {number} days @returns {Day} */
function toDay(days) {
  const guess = Math.floor((10000 * days + 14780) / 3652425);
  const year = toDays([guess, 3, 1]) > days ? guess - 1 : guess;
  const rest = days - toDays([year, 3, 1]);
  const months = Math.floor((5 * rest + 2) / 153);
  const day = rest - Math.floor((153 * months + 2) / 5) + 1;
  return [months > 9 ? year + 1 : year, ((months + 2) % 12) + 1, day];
}
