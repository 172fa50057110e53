/**
 * An amount as people write and paste it: "18 lb-ft", "6,5 l", "5 1/2 qt". Which unit is meant is told by the names that
 * the catalog lists for it; a unit of something else is said to be one, and nothing that was written is dropped unread.
 */

/** @import { Unit } from "./types.js" */
/** @import { HasUnits, ReadNumber } from "./units.js" */

import { formatNumber, readNumber, toSI, unitOf, withSymbol } from "./units.js";

/**
 * @typedef {object} Amount
 * @property {number} value SI
 * @property {string} unit its key
 * @property {string} typed the number as it was written
 * @property {string} text what was understood
 */

/** @typedef {Amount | { either: Amount[] } | { empty: true } | { wrong: true } | { foreign: string, isUnit: boolean }} ReadAmount foreign: what stands where the unit should; isUnit: it is one, of something else */

/** Parts of an inch, a quart or a turn as people write them; "25/35" is a range, not a fraction. */
const PARTS = new Set([2, 3, 4, 8, 16, 32, 64]);

/**
 * @param {HasUnits} catalog
 * @param {string} key the unit that is meant where none is written
 * @param {string} written
 * @param {string} [system] whose units the person thinks in: "qt" is another one in each, and asked about where it is not told
 * @param {string} [locale]
 * @returns {ReadAmount}
 */
export function readAmount(catalog, key, written, system = "source", locale = undefined) {
  const [typed, name] = split(written);
  const read = readFraction(typed) ?? readNumber(typed);
  if ("empty" in read) return name === "" ? read : { wrong: true };
  if ("wrong" in read) return read;
  const units = name === "" ? [key] : findUnits(catalog, key, name, system);
  if (!units.length) return { foreign: name, isUnit: Object.keys(catalog.units).some((one) => isCalled(catalog, one, name)) };
  const say = /** @param {string} unit @param {number} number @returns {Amount} */ (unit, number) => ({
    value: toSI(unitOf(catalog, unit), number),
    unit,
    typed,
    text: withSymbol(formatNumber(number, 6, locale), unitOf(catalog, unit).symbol),
  });
  const meant = units.flatMap((unit) => ("either" in read ? read.either : [read.number]).map((number) => say(unit, number)));
  return meant.length === 1 && meant[0] ? meant[0] : { either: meant };
}

/** The number and the name after it; what stands in brackets at the end is the same again in another unit. @param {string} written @returns {[string, string]} */
function split(written) {
  const plain = written.replace(/[¼-¾⅐-⅞]/g, (sign) => ` ${sign.normalize("NFKC").replace("⁄", "/")}`);
  const [, number = "", name = ""] = /^([-+−–]?(?:[\d.,'’\s/-]*[\d.,])?)\s*(.*?)\s*(?:\([^)]*\))?$/su.exec(plain.trim()) ?? ["", "", plain];
  return [number, name];
}

/** @param {string} text @returns {ReadNumber | null} null where it is no fraction */
function readFraction(text) {
  const [, sign = "", whole = "0", above = "", below = ""] = /^([-+−–]?)(?:(\d+)(?:\s+|-))?(\d+)\s*\/\s*(\d+)$/.exec(text) ?? [];
  if (!PARTS.has(Number(below)) || Number(above) >= Number(below)) return null;
  const number = Number(whole) + Number(above) / Number(below);
  return { number: /[-−–]/.test(sign) ? -number : number };
}

/** The units of this kind that are called so; more than one where nobody has said whose quarts are meant. @param {HasUnits} catalog @param {string} key @param {string} name @param {string} system */
function findUnits(catalog, key, name, system) {
  const { measure, systems = [] } = unitOf(catalog, key);
  const found = Object.keys(catalog.units).filter((one) => unitOf(catalog, one).measure === measure && isCalled(catalog, one, name));
  const isOf = /** @param {string[]} wanted */ (wanted) => found.find((one) => unitOf(catalog, one).systems?.some((each) => wanted.includes(each)));
  const own = isOf([system]) ?? found.find((one) => one === key) ?? isOf(systems);
  return own ? [own] : found;
}

/** @param {HasUnits} catalog @param {string} key @param {string} name */
function isCalled(catalog, key, name) {
  const { symbol, spoken, also = [] } = /** @type {Unit} */ (catalog.units[key]);
  const wanted = fold(name);
  return wanted !== "" && [key, symbol, spoken, ...also].some((one) => fold(one) === wanted);
}

/** "N·m", "Nm" and "n m" are one; so are "lbs-ft" and "lb ft". @param {string} name */
function fold(name) {
  const words = name.normalize("NFKC").toLowerCase().split(/[\s.·⋅•*^_‐‑–-]+/u);
  return words.map((word) => (word.length > 2 ? word.replace(/s$/, "") : word)).join("");
}
