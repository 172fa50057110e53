/** Which bottles to buy for an amount, exactly; with prices the cheapest, without them the least that is left over. */

/** @import { Catalog, Fixed } from "../core/types.js" */
/** @import { Given, WorkedFunction } from "./worked.js" */

import { words } from "../app/words.js";
import { shownText } from "./reading-words.js";
import { amountText } from "./unit-amount.js";
import { fixedGiven, typedGiven, workOutFunction } from "./worked.js";

const FUNCTION = "cheapest-packs";
/** Less than this stays in the bottle's neck. In m³. */
const A_DROP = 1e-5;

/**
 * @typedef {object} Packs
 * @property {string} text "1 × 5 l + 2 × 1 l", the largest first
 * @property {number[]} counts in the order of the packs
 * @property {number} volume m³
 * @property {number} leftOver m³
 * @property {string} leftText "0.8 l"; "" where next to nothing is left
 * @property {number | null} price where every pack has one
 * @property {WorkedFunction} worked what stands behind it, for openFunctionSheet
 */

/**
 * @param {Catalog} catalog
 * @param {Given} need in m³
 * @param {Fixed[]} packs
 * @param {(number | null)[]} [prices] of each pack; used only where none is missing
 * @returns {Packs | null} null where the need is not known or there are no packs
 */
export function choosePacks(catalog, need, packs, prices = []) {
  const isPriced = prices.length === packs.length && prices.every((price) => price !== null);
  const given = { need, sizes: fixedGiven(packs.map(({ value }) => Number(value)), words.numbers.fixed) };
  const worked = packs.length ? workOutFunction(catalog, FUNCTION, isPriced ? { ...given, prices: { ...typedGiven(null), value: /** @type {number[]} */ (prices) } } : given) : null;
  if (!worked?.parts) return null;
  const counts = /** @type {number[]} */ (worked.parts["counts"]);
  const bought = packs.map((pack, at) => ({ pack, count: counts[at] ?? 0 })).filter(({ count }) => count > 0);
  const leftOver = Number(worked.parts["left_over"]);
  return {
    text: bought.sort((a, b) => Number(b.pack.value) - Number(a.pack.value)).map(({ pack, count }) => `${count} × ${shownText(catalog, pack.shown)}`).join(" + "),
    counts,
    volume: Number(worked.parts["volume"]),
    leftOver,
    leftText: leftOver > A_DROP ? amountText(catalog, "l", leftOver).text : "",
    price: isPriced ? Number(worked.parts["price"]) : null,
    worked,
  };
}
