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

/** @type {Intl.DateTimeFormatOptions} */
const TIME = { hour: "numeric", minute: "2-digit" };
/** @type {Intl.DateTimeFormatOptions} */
const DAY = { day: "numeric", month: "long", year: "numeric" };
/**
 * Made when they are first wanted: the first one loads the browser's calendar, which no start should wait for.
 *
 * @param {Intl.DateTimeFormatOptions} parts
 */
function formatsOf(parts) {
  /** @type {Intl.DateTimeFormat | undefined} */
  let here;
  /** @type {Intl.DateTimeFormat | undefined} */
  let asWritten;
  return {
    here: () => (here ??= new Intl.DateTimeFormat(undefined, parts)),
    asWritten: () => (asWritten ??= new Intl.DateTimeFormat(undefined, { ...parts, timeZone: "UTC" })),
  };
}
const [times, days] = [formatsOf(TIME), formatsOf(DAY)];
/** What a phone writes: the time on its wall, then how far that is from UTC. */
const WALL = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)[+-]\d\d:\d\d$/;

/**
 * A moment that an entry tells is read as it was written, wherever it is read: what was done at ten on the 4th stays so,
 * and its day is the one that what is due is counted from. Any other moment, in ms or by a server, is told by the clock here.
 *
 * @param {ReturnType<typeof formatsOf>} formats
 * @param {string | number} moment
 */
function say({ here, asWritten }, moment) {
  const local = typeof moment === "string" ? WALL.exec(moment)?.[1] : undefined;
  return local ? asWritten().format(new Date(`${local}Z`)) : here().format(new Date(moment));
}

/** @param {string | number} moment the time of day, such as 10:42; it stays on one line */
export function timeText(moment) {
  return say(times, moment).replaceAll(/\s/g, "\u00a0");
}

/** The time of day, with its day where that is not today: a car may stand open overnight. @param {string | number} moment */
export function momentText(moment) {
  const day = dayText(moment);
  return day === dayText(Date.now()) ? timeText(moment) : `${day}, ${timeText(moment)}`;
}

/** @param {string | number} moment */
export function dayText(moment) {
  return say(days, moment);
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
