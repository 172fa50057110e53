/** Times, days, lists and what specs write, as a person reads them; amounts are unit-amount.js. */

/** @import { Catalog } from "../../core/types.js" */

import { formatNumber } from "../../core/units.js";

/** @param {number} seconds 400 s -> "6:40"; from an hour on "1:05:00" */
export function clockText(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
  const two = /** @param {number} number */ (number) => String(number).padStart(2, "0");
  return hours ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
}

const times = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit" });
const days = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "long", year: "numeric" });

/** @param {string | number} wall the time of day, such as 10:42 */
export function timeText(wall) {
  return times.format(new Date(wall));
}

/** @param {string | number} wall */
export function dayText(wall) {
  return days.format(new Date(wall));
}

/** @param {string[]} names "front left and rear right" */
export function listText(names) {
  return new Intl.ListFormat(document.documentElement.lang || "en", { type: "conjunction" }).format(names);
}

/**
 * A quantity as it was written in a spec or a manual ("25 N*m"), with the unit's own sign ("25 N·m").
 *
 * @param {Catalog} catalog
 * @param {string | number} shown
 */
export function shownText(catalog, shown) {
  const [, number = "", key = ""] = /^(\S+)(?: (.+))?$/.exec(String(shown)) ?? [];
  const amount = Number(number);
  if (!Number.isFinite(amount) || (key && !catalog.units[key])) return String(shown);
  const symbol = key ? (catalog.units[key]?.symbol ?? key) : "";
  const plural = amount === 1 ? symbol.replace(/(month|year)s$/, "$1") : symbol;
  return [formatNumber(amount, 4), plural].filter(Boolean).join("\u00a0");
}
