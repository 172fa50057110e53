/**
 * The cheapest packs that cover a need, in whole millilitres.
 *
 * `server/fillfirst/formulas/packs.py` is the same in the other language and says why; the vectors in
 * `tests/agreement/functions.json` drive both.
 */

/** @import { FunctionAnswer } from "./functions.js" */

const ML = 1e6;
/** What a conversion of units may have added to a whole millilitre. */
const NOISE = 1e-6;

/** @typedef {[cost: number, volume: number, count: number]} Bill what is as small as can be, in this order */

/**
 * Counts stand in the order of `sizes`: for the least money, then the least volume, then the fewest packs.
 *
 * @param {{ need: number, sizes: number[], prices?: number[] }} given
 * @returns {FunctionAnswer}
 */
export function choosePacks({ need, sizes, prices }) {
  if (prices && prices.length !== sizes.length) return { impossible: "as many prices as sizes are needed" };
  const wanted = Math.ceil(need * ML - NOISE);
  const packs = sizes.map((size) => Math.floor(size * ML + NOISE));
  if (packs.length === 0 || Math.min(...packs) <= 0) return { impossible: "a pack that holds nothing" };
  const costs = prices ? prices.map((price) => Math.floor(price * 100 + 0.5)) : packs.map(() => 0);
  const counts = cover(wanted, packs, costs);
  const total = /** @param {number[]} each */ (each) => counts.reduce((sum, count, at) => sum + count * (each[at] ?? 0), 0);
  return {
    value: { counts, volume: total(packs) / ML, left_over: (total(packs) - wanted) / ML, price: prices ? total(costs) / 100 : null },
  };
}

/**
 * The best counts, worked up from nothing in steps that every pack is a multiple of.
 *
 * @param {number} wanted
 * @param {number[]} packs
 * @param {number[]} costs
 */
function cover(wanted, packs, costs) {
  const step = packs.reduce(divisor);
  const order = packs.map((_, at) => at).sort((one, other) => (packs[other] ?? 0) - (packs[one] ?? 0));
  const back = packs.map((pack) => pack / step);
  /** @type {Bill[]} */
  const best = [[0, 0, 0]];
  const last = [-1];
  for (let amount = 1; amount <= Math.ceil(wanted / step); amount += 1) {
    /** @type {Bill | null} */
    let found = null;
    let chosen = -1;
    for (const at of order) {
      const [cost, volume, count] = best[Math.max(0, amount - (back[at] ?? 0))] ?? [0, 0, 0];
      /** @type {Bill} */
      const tried = [cost + (costs[at] ?? 0), volume + (packs[at] ?? 0), count + 1];
      if (found === null || isLess(tried, found)) [found, chosen] = [tried, at];
    }
    best.push(found ?? [0, 0, 0]);
    last.push(chosen);
  }
  const counts = packs.map(() => 0);
  for (let amount = best.length - 1; amount > 0; ) {
    const at = last[amount] ?? 0;
    counts[at] = (counts[at] ?? 0) + 1;
    amount = Math.max(0, amount - (back[at] ?? 1));
  }
  return counts;
}

/** @param {Bill} one @param {Bill} other */
function isLess(one, other) {
  const at = one.findIndex((each, place) => each !== other[place]);
  return at >= 0 && (one[at] ?? 0) < (other[at] ?? 0);
}

/** @param {number} one @param {number} other @returns {number} */
function divisor(one, other) {
  return other === 0 ? one : divisor(other, one % other);
}
