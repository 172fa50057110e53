/** Days, ranges of days and limits of a due list, as a person reads them. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { Days, LimitDue, ServiceDue } from "../../core/due-list.js" */

import { due as words } from "../../app/words/due.js";
import { span } from "../../core/meter.js";
import { fromSI, formatNumber, unitOf } from "../../core/units.js";
import { amountText } from "../texts/unit-amount.js";

const days = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "short", year: "numeric" });
const months = new Intl.DateTimeFormat(undefined, { month: "short", year: "numeric" });
/** A range wider than this is told in months: a day would claim too much. */
const WIDE_DAYS = 45;
const MONTH_S = (365.25 * 86400) / 12;

/** @param {string} date such as "2026-05-04" */
export function dateText(date) {
  return days.format(asDate(date));
}

/** @param {string} date */
function monthText(date) {
  return months.format(asDate(date));
}

/** At the place where the phone is: a bare date read by `Date` would be one of UTC. @param {string} date */
function asDate(date) {
  const [year = 1970, month = 1, day = 1] = date.split("-").map(Number);
  return new Date(year, month - 1, day);
}

/** The day in a few words, and the range in others; "" where there is none. @param {Days} when @returns {{ gist: string, range: string }} */
export function whenText({ date, date_from, date_to }) {
  if (date === null) return { gist: "", range: "" };
  if (date_from === date && date_to === date) return { gist: dateText(date), range: "" };
  if (date_to === null) return { gist: words.about(monthText(date)), range: date_from && date_from !== date ? words.noEarlier(monthText(date_from)) : words.rough };
  const isWide = span(date_from ?? date, date_to) > WIDE_DAYS;
  const say = isWide ? monthText : dateText;
  return { gist: words.about(say(date)), range: words.between(say(date_from ?? date), say(date_to)) };
}

/** "15 000 km", "12 months", "250 h". @param {Catalog} catalog @param {Pick<LimitDue, "limit" | "value">} limit */
export function limitText(catalog, { limit, value }) {
  if (limit === "distance") return distanceText(catalog, value);
  if (limit === "hours") return amountText(catalog, "h", value).text;
  return words.months(Math.round(value / MONTH_S));
}

/** @param {Catalog} catalog @param {number} metres to the whole kilometre or mile */
export function distanceText(catalog, metres) {
  return amountText(catalog, "km", metres, 1000).text.replace(/[.,]\d(?=\D*$)/, "");
}

/** How far it goes in a day, with its interval. @param {Catalog} catalog @param {{ rate: number, rate_from: number | null, rate_to: number | null }} rate m/s */
export function rateText(catalog, { rate, rate_from, rate_to }) {
  const daily = /** @param {number} each */ (each) => distanceText(catalog, Math.round((each * 86400) / 1000) * 1000);
  const bare = /** @param {number} each */ (each) => formatNumber(fromSI(unitOf(catalog, "km"), each * 86400), 0);
  const isRange = rate_from !== null && rate_to !== null && bare(rate_from) !== bare(rate_to);
  return words.rate(daily(rate), isRange ? `${bare(rate_from)}–${bare(rate_to)}` : "");
}

/** What brings it: "15 000 km, maker of the car". @param {Catalog} catalog @param {ServiceDue} service */
export function reasonText(catalog, { limits, by, limit }) {
  const first = limits.find((each) => each.counts && each.by === by && each.limit === limit);
  return first ? words.firstComes(limitText(catalog, first), words.whose(first.by)) : "";
}
