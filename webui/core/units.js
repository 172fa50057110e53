/**
 * Numbers as people write and read them: SI in, a unit's own number out, and back from what was typed.
 *
 * The catalog carries the only table of units there is (factor and offset); numbers are written by the
 * custom of the phone's language, and the unit's sign is ours, because browsers know few units.
 */

/** @import { Unit } from "./types.js" */

/** @typedef {{ units: Record<string, Unit> }} HasUnits */
/** @typedef {{ number: string, symbol: string, text: string, spoken: string }} QuantityText in parts, so that the number can be drawn large */
/** @typedef {{ number: number } | { either: [number, number] } | { empty: true } | { wrong: true }} ReadNumber */

/** Kept of a number in SI, so that 86 °F and 30 °C are one number; the server does the same. */
const SI_DIGITS = 12;

/** Kept of a number on its way back, so that what was typed is what is shown again. */
const SHOWN_DIGITS = 10;

/** @type {Map<string, Intl.NumberFormat>} */
const formats = new Map();

/**
 * A number in a unit, in SI base units.
 *
 * @param {Unit} unit
 * @param {number} shown
 */
export function toSI(unit, shown) {
  return keepDigits(shown * unit.factor + unit.offset, SI_DIGITS);
}

/**
 * A number in SI base units, in a unit.
 *
 * @param {Unit} unit
 * @param {number} si
 */
export function fromSI(unit, si) {
  return keepDigits((si - unit.offset) / unit.factor, SHOWN_DIGITS);
}

/** @param {number} value @param {number} digits */
function keepDigits(value, digits) {
  return Number(value.toPrecision(digits));
}

/**
 * The unit of the catalog, or a stand-in that shows the key itself.
 *
 * @param {HasUnits} catalog
 * @param {string} key
 * @returns {Unit}
 */
export function unitOf(catalog, key) {
  return catalog.units[key] ?? { symbol: key, spoken: key, measure: "", decimals: 2, factor: 1, offset: 0 };
}

/** Below this a torque in pounds is told in inches: few wrenches for feet reach down to it. In N·m; common practice. */
const SMALL_TORQUE = 15;

/**
 * The unit that stands for this one where a person wants another system: the nearest in size that the catalog lists for
 * it, or the unit itself where it is one of that system's already, or nothing else is.
 *
 * @param {HasUnits} catalog
 * @param {string} key of the unit
 * @param {string} system "metric", "us", "imperial", "mixed"; any other leaves the unit as it is
 * @param {number} [si] the amount, where it is known
 * @returns {string}
 */
export function unitIn(catalog, key, system, si = Infinity) {
  const unit = unitOf(catalog, key);
  const isOf = /** @param {Unit} one */ (one) => one.measure === unit.measure && Boolean(one.systems?.includes(system));
  if (isOf(unit)) return key;
  const size = /** @param {Unit} one */ (one) => Math.abs(Math.log(one.factor / unit.factor));
  const likes = Object.entries(catalog.units).filter(([, one]) => isOf(one));
  if (unit.measure === "torque" && si < SMALL_TORQUE && likes.some(([one]) => one === "lbf*in")) return "lbf*in";
  return likes.sort(([, a], [, b]) => size(a) - size(b))[0]?.[0] ?? key;
}

/**
 * A number by the custom of a language, with a real minus sign and thousands grouped from five digits on.
 *
 * @param {number} number
 * @param {number} decimals the most that are shown
 * @param {string} [locale] the phone's own when left out
 * @param {number} [least] decimals that are shown even when they are noughts
 */
export function formatNumber(number, decimals, locale, least = 0) {
  const key = `${locale} ${least} ${decimals}`;
  let format = formats.get(key);
  if (!format) {
    const digits = { minimumFractionDigits: least, maximumFractionDigits: decimals };
    formats.set(key, (format = new Intl.NumberFormat(locale, { ...digits, useGrouping: "min2" })));
  }
  const text = format.format(number);
  // A small negative number rounds to "-0", which nobody reads off an instrument.
  return (/[1-9]/.test(text) ? text : text.replace(/^[-−]/, "")).replace("-", "−");
}

/**
 * A number with its unit: "36.5 N·m".
 *
 * @param {HasUnits} catalog
 * @param {string} key of the unit
 * @param {number} si
 * @param {number | null} [roundTo] SI; only what is shown is rounded, never the calculation
 * @param {string} [locale]
 * @returns {QuantityText}
 */
export function quantityText(catalog, key, si, roundTo = null, locale = undefined) {
  const unit = unitOf(catalog, key);
  const step = roundTo ? keepDigits(Math.abs(roundTo / unit.factor), SHOWN_DIGITS) : 0;
  const exact = fromSI(unit, si);
  const decimals = step ? decimalsOf(step) : unit.decimals;
  const rounded = step ? keepDigits(Math.round(exact / step) * step, SHOWN_DIGITS) : exact;
  const number = formatNumber(rounded, decimals, locale);
  return { number, symbol: unit.symbol, text: withSymbol(number, unit.symbol), spoken: `${number} ${unit.spoken}`.trim() };
}

/**
 * A number and a sign that no line break parts; a degree of angle stands close, as it is written everywhere.
 *
 * @param {string} number
 * @param {string} symbol
 */
export function withSymbol(number, symbol) {
  if (symbol === "") return number;
  return symbol === "°" ? `${number}°` : `${number}\u00a0${symbol}`;
}

/**
 * How many decimals a step of rounding needs: 0.25 needs two, 0.5 one, 5 none.
 *
 * @param {number} step
 */
function decimalsOf(step) {
  for (let decimals = 0; decimals < 6; decimals += 1) {
    const scaled = step * 10 ** decimals;
    if (Math.abs(scaled - Math.round(scaled)) < 1e-6 * scaled) return decimals;
  }
  return 6;
}

/**
 * What a typed number means. A comma and a point are both decimal; where one could part thousands as well
 * ("1.234"), both readings come back and the person is asked.
 *
 * @param {string} typed
 * @returns {ReadNumber}
 */
export function readNumber(typed) {
  const trimmed = typed.trim().replace(/[−–]/g, "-");
  if (/^[-+]?$/.test(trimmed)) return { empty: true };
  const plain = withoutGaps(trimmed);
  if (plain === null) return { wrong: true };
  if (/^[-+]?[1-9]\d{0,2}[.,]\d{3}$/.test(plain) && plain === trimmed) {
    return { either: [Number(plain.replace(",", ".")), Number(plain.replace(/[.,]/, ""))] };
  }
  if (/^[-+]?(\d+[.,]?\d*|[.,]\d+)$/.test(plain)) return { number: Number(plain.replace(",", ".")) };
  return readGrouped(plain);
}

/**
 * The text without the gaps that part thousands ("1 234.5", "12'000"), or null where a gap is a slip.
 *
 * @param {string} text
 */
function withoutGaps(text) {
  const gap = /[\s\u00a0\u202f'’]/g;
  if (!gap.test(text)) return text;
  const grouped = /^[-+]?\d{1,3}([\s\u00a0\u202f'’]\d{3})+([.,]\d*)?$/;
  return grouped.test(text) ? text.replace(gap, "") : null;
}

/**
 * Several separators: only "1.234,5", "1,234.5", "1,234,567" and their like are numbers.
 *
 * @param {string} plain
 * @returns {ReadNumber}
 */
function readGrouped(plain) {
  const mixed = /^([-+]?\d{1,3}(?:,\d{3})+)\.(\d+)$/.exec(plain) ?? /^([-+]?\d{1,3}(?:\.\d{3})+),(\d+)$/.exec(plain);
  if (mixed) return { number: Number(`${(mixed[1] ?? "").replace(/[.,]/g, "")}.${mixed[2]}`) };
  if (/^[-+]?\d{1,3}(,\d{3}){2,}$|^[-+]?\d{1,3}(\.\d{3}){2,}$/.test(plain)) {
    return { number: Number(plain.replace(/[.,]/g, "")) };
  }
  return { wrong: true };
}
