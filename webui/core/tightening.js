/**
 * The order in which screws round a cover are tightened, from where they sit.
 *
 * `server/fillfirst/formulas/tightening.py` is the same in the other language and says why; the vectors in
 * `tests/agreement/functions.json` drive both.
 */

/** @import { FunctionAnswer } from "./functions.js" */

/** @typedef {readonly [number, number]} Spot */

/** Distances are alike when they differ by less than this share: no pan is drilled or measured closer. */
const ALIKE = 0.12;
/** Room is alike within this: places are given to a millimetre or so. */
const LIKE_ROOM = 0.01;
/** A screw that is not beside the last one is preferred unless it is more crowded than this. */
const NEARLY = 0.25;

/**
 * Number the screws in the order of tightening; every pass takes the same order.
 *
 * A turn takes, of the screws nearest the middle, the one with most room to those already tight, not beside the last
 * one if another is nearly as good; then the one that lies across from it.
 *
 * @param {{ x: number[], y: number[] }} given
 * @returns {FunctionAnswer}
 */
export function orderScrews({ x, y }) {
  if (x.length !== y.length) return { impossible: "every screw needs both its places" };
  if (x.length === 0) return { impossible: "there is no screw" };
  const middle = [sum(x) / x.length, sum(y) / y.length];
  const spots = x.map((across, at) => /** @type {Spot} */ ([across - (middle[0] ?? 0), (y[at] ?? 0) - (middle[1] ?? 0)]));
  /** @type {number[]} */
  const order = [];
  const left = spots.map((_, at) => at);
  const take = /** @param {number} at */ (at) => order.push(...left.splice(left.indexOf(at), 1));
  while (left.length > 0) {
    const first = chooseFirst(spots, order, left);
    take(first);
    const partner = choosePartner(spots, first, left);
    if (partner !== null) take(partner);
  }
  return { value: { order: order.map((at) => at + 1) } };
}

/**
 * Nearest the middle, then not beside the last, then with most room, then the lowest number.
 *
 * @param {Spot[]} spots
 * @param {number[]} order
 * @param {number[]} left
 */
function chooseFirst(spots, order, left) {
  const far = left.map((at) => distance(spotOf(spots, at), [0, 0]));
  const edge = Math.min(...far) * (1 + ALIKE);
  const ring = left.filter((_, place) => (far[place] ?? 0) <= edge);
  const crowd = /** @param {number} at */ (at) => sum(order.map((tight) => press(spotOf(spots, at), spotOf(spots, tight))));
  const last = order.at(-1);
  if (last === undefined) return least(ring, crowd)[0] ?? 0;
  const from = spotOf(spots, last);
  const beside = Math.min(...spots.filter((_, at) => at !== last).map((spot) => distance(from, spot))) * (1 + ALIKE);
  const room = Math.min(...ring.map(crowd)) * (1 + NEARLY);
  const apart = ring.filter((at) => crowd(at) <= room && distance(from, spotOf(spots, at)) > beside);
  return least(apart.length > 0 ? apart : ring, crowd)[0] ?? 0;
}

/**
 * The screw nearest to the first one's image through the middle, if any lies on that side.
 *
 * @param {Spot[]} spots
 * @param {number} first
 * @param {number[]} left
 */
function choosePartner(spots, first, left) {
  const [x, y] = spotOf(spots, first);
  const across = left.filter((at) => spotOf(spots, at)[0] * x + spotOf(spots, at)[1] * y < 0);
  return across.length > 0 ? (least(across, (at) => distance(spotOf(spots, at), [-x, -y]))[0] ?? null) : null;
}

/** Those with the least measure, or one that is as good as that. @param {number[]} among @param {(at: number) => number} measure */
function least(among, measure) {
  const measures = among.map(measure);
  const edge = Math.min(...measures) * (1 + LIKE_ROOM);
  return among.filter((_, place) => (measures[place] ?? 0) <= edge);
}

/** How much a tight screw crowds a place: less with the square of the distance. @param {Spot} spot @param {Spot} tight */
function press(spot, tight) {
  const apart = square(spot, tight);
  return apart > 0 ? 1 / apart : Infinity;
}

/** @param {Spot} one @param {Spot} other */
function distance(one, other) {
  return Math.sqrt(square(one, other));
}

/** @param {Spot} one @param {Spot} other */
function square(one, other) {
  return (one[0] - other[0]) * (one[0] - other[0]) + (one[1] - other[1]) * (one[1] - other[1]);
}

/** @param {Spot[]} spots @param {number} at @returns {Spot} */
function spotOf(spots, at) {
  return spots[at] ?? [0, 0];
}

/** @param {number[]} values */
function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}
