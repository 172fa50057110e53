/**
 * When a fluid that warms or cools will enter its window, and when it will leave it again.
 *
 * `server/fillfirst/formulas/warming.py` is the same in the other language and says why; the vectors in
 * `tests/agreement/functions.json` drive both.
 */

/** @import { FunctionAnswer, PartValue } from "./functions.js" */

/** Rates of nearing the end that are tried, per span of the readings, from a straight line upwards. */
const RATES = [0, ...Array.from({ length: 23 }, (_, step) => 0.02 * 1000 ** (step / 22))];
/** How far past the last reading anything is told, in spans of the readings. */
const HORIZON = 6;
/** The thermometer's known error counts as much as this many readings about their curve. */
const KNOWN_READINGS = 8;
const NORMAL = 1.959963984540054;
const TURNS = 40;
const NOTHING = [null, null, null];

/** @typedef {[heights: number[], slopes: number[]]} Curve what a curve gives at each reading, and how fast that changes with the rate */
/** @typedef {(rate: number) => Curve} Shape */
/** @typedef {{ rate: number, size: number, left: number }} Fit the best rate for a shape, the size of the shape, and the sum of squares left */
/** @typedef {{ times: number[], temperatures: number[], end: number | null }} Readings the first at 0 and the last at 1; `end` if it is known */

/**
 * The moments on the clock of `times`; nothing where they cannot be told.
 *
 * @param {object} given
 * @param {number[]} given.times
 * @param {number[]} given.temperatures
 * @param {number} given.window_from
 * @param {number} given.window_to
 * @param {number} given.reading_error
 * @param {number} [given.settles_at] the last temperature where it is known
 * @returns {FunctionAnswer}
 */
export function predictCrossing({ times, temperatures, window_from, window_to, reading_error, settles_at }) {
  if (times.length !== temperatures.length) return { impossible: "as many times as temperatures are needed" };
  const readings = times
    .map((time, at) => /** @type {const} */ ([time, temperatures[at] ?? 0]))
    .sort((one, other) => one[0] - other[0] || one[1] - other[1]);
  const free = settles_at === undefined ? 3 : 2;
  if (new Set(times).size < free) return tell("cannot-tell");
  const [start, end, last] = [readings[0]?.[0] ?? 0, readings.at(-1)?.[0] ?? 0, readings.at(-1)?.[1] ?? 0];
  const span = end - start;
  const record = { times: readings.map(([time]) => (time - start) / span), temperatures: readings.map(([, value]) => value), end: settles_at ?? null };
  const best = fit(record);
  const slack = findSlack(best.left, readings.length - free, reading_error);
  const isRising = record.end === null ? best.size > 0 : best.size < 0;
  const [entry, exit] = isRising ? [window_from, window_to] : [window_to, window_from];
  const isInside = window_from <= last && last <= window_to;
  const isPast = !isInside && last > window_to === isRising;
  if (isStill(record, best, slack)) return tell(isInside ? "inside" : "cannot-tell");
  const place = /** @param {PartValue[] | null} crossing */ (crossing) => (crossing ?? NOTHING).map((each) => (typeof each === "number" ? start + span * each : null));
  const isBefore = !isInside && !isPast;
  const enters = isBefore ? findCrossing(record, best, slack, entry) : findPassed(record, best, entry);
  const settles = findEnd(record, best, slack);
  if (isBefore && enters === null) return tell(misses(record, best, slack, entry) ? "will-not-enter" : "cannot-tell", NOTHING, NOTHING, settles);
  const leaves = isPast ? null : findCrossing(record, best, slack, exit);
  return tell(isInside ? "inside" : isPast ? "past" : "will-enter", place(enters), place(leaves), settles);
}

/**
 * @param {string} outlook
 * @param {PartValue[]} [enters]
 * @param {PartValue[]} [leaves]
 * @param {PartValue[]} [settles]
 * @returns {FunctionAnswer}
 */
function tell(outlook, enters = NOTHING, leaves = NOTHING, settles = NOTHING) {
  /** @type {Record<string, PartValue>} */
  const value = { outlook };
  for (const [name, moments] of Object.entries({ enters, leaves, settles })) {
    [value[`${name}_at`], value[`${name}_from`], value[`${name}_to`]] = [moments[0] ?? null, moments[1] ?? null, moments[2] ?? null];
  }
  return { value };
}

/** The curve that leaves least: its end free, or held where it is known. @param {Readings} record @returns {Fit} */
function fit(record) {
  const { times, end } = record;
  if (end !== null) return minimise((rate) => decay(times, rate, 0, 1), above(record, end), null);
  return minimise((rate) => /** @type {Curve} */ (rise(times, rate).map(around)), around(record.temperatures), null);
}

/**
 * By how much a curve may leave more than the best one and still be believed, at 95 percent.
 *
 * @param {number} left
 * @param {number} spare
 * @param {number} readingError
 */
function findSlack(left, spare, readingError) {
  const count = KNOWN_READINGS + spare;
  return ((KNOWN_READINGS * readingError ** 2 + left) / count) * student(count) ** 2;
}

/** The 97.5 percent point of Student's t (Abramowitz and Stegun, 26.7.5). @param {number} count */
function student(count) {
  const z = NORMAL;
  const first = (z ** 3 + z) / 4;
  const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96;
  const third = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384;
  return z + first / count + second / count ** 2 + third / count ** 3;
}

/** Whether a temperature that does not change explains the readings as well. @param {Readings} record @param {Fit} best @param {number} slack */
function isStill(record, best, slack) {
  return sum(around(above(record, record.end ?? 0)).map((value) => value * value)) - best.left <= slack;
}

/**
 * When the curve reaches a level, at the earliest and at the latest; null if there is no latest.
 *
 * @param {Readings} record
 * @param {Fit} best
 * @param {number} slack
 * @param {number} level
 * @returns {PartValue[] | null}
 */
function findCrossing(record, best, slack, level) {
  const excess = /** @param {number} at */ (at) => fitThrough(record, at, level).left - best.left - slack;
  const reached = reach(record, best, level);
  if (reached === null || reached > HORIZON || excess(HORIZON) <= 0) return null;
  const at = Math.max(reached, 1);
  return [at, excess(1) <= 0 ? 1 : findRoot(excess, at, 1), findRoot(excess, at, HORIZON)];
}

/**
 * A crossing that lies between the readings; for the drawing, since it can no longer be watched for.
 *
 * @param {Readings} record
 * @param {Fit} best
 * @param {number} level
 */
function findPassed(record, best, level) {
  const at = reach(record, best, level);
  return at !== null && at >= 0 && at <= 1 ? [at, null, null] : null;
}

/**
 * Whether no believed curve reaches the level: even one that nears it for ever leaves too much.
 *
 * @param {Readings} record
 * @param {Fit} best
 * @param {number} slack
 * @param {number} level
 */
function misses(record, best, slack, level) {
  if (reach(record, best, level) !== null) return false;
  return record.end !== null || fitEnd(record, level).left - best.left > slack;
}

/**
 * Where the curve ends, with the least and the most; nothing where the record does not say.
 *
 * @param {Readings} record
 * @param {Fit} best
 * @param {number} slack
 * @returns {PartValue[]}
 */
function findEnd(record, best, slack) {
  if (record.end !== null) return [record.end, null, null];
  if (best.rate <= (RATES[1] ?? 0)) return NOTHING;
  const [heights] = rise(record.times, best.rate);
  const end = mean(record.temperatures) + best.size * (1 / best.rate - mean(heights));
  const last = record.temperatures.at(-1) ?? 0;
  const span = end - last;
  const excess = /** @param {number} at */ (at) => fitEnd(record, last + at * span).left - best.left - slack;
  if (span === 0 || excess(HORIZON) <= 0) return NOTHING;
  const nearest = excess(0) <= 0 ? 0 : findRoot(excess, 1, 0);
  const edges = [last + nearest * span, last + findRoot(excess, 1, HORIZON) * span];
  return [end, Math.min(...edges), Math.max(...edges)];
}

/**
 * When the best curve reaches a level, in spans of the readings.
 *
 * @param {Readings} record
 * @param {Fit} best
 * @param {number} level
 * @returns {number | null}
 */
function reach(record, best, level) {
  if (record.end !== null) {
    const share = (level - record.end) / best.size;
    return share > 0 && best.rate > 0 ? -Math.log(share) / best.rate : null;
  }
  const [heights] = rise(record.times, best.rate);
  const risen = (level - mean(record.temperatures) + best.size * mean(heights)) / best.size;
  if (best.rate === 0) return risen;
  return best.rate * risen < 1 ? -Math.log1p(-best.rate * risen) / best.rate : null;
}

/** The best curve of those that reach the level at one moment. @param {Readings} record @param {number} at @param {number} level */
function fitThrough(record, at, level) {
  const { times, end } = record;
  if (end !== null) return minimise((rate) => decay(times, rate, at, level - end), above(record, end), 1);
  const shape = /** @type {Shape} */ (rate) => /** @type {Curve} */ (rise([...times, at], rate).map((each) => each.slice(0, -1).map((value) => value - (each.at(-1) ?? 0))));
  return minimise(shape, above(record, level), null);
}

/** The best curve of those that end at one temperature. @param {Readings} record @param {number} end */
function fitEnd(record, end) {
  return minimise((rate) => decay(record.times, rate, 0, 1), above(record, end), null);
}

/**
 * The rate that leaves least; for each rate the size follows by itself unless it is given.
 *
 * @param {Shape} shape
 * @param {number[]} wanted
 * @param {number | null} size
 * @returns {Fit}
 */
function minimise(shape, wanted, size) {
  const evaluate = /** @param {number} rate */ (rate) => {
    const [heights, slopes] = shape(rate);
    const square = sum(heights.map((height) => height * height));
    const matched = sum(heights.map((height, at) => height * (wanted[at] ?? 0)));
    const factor = size ?? (square > 0 ? matched / square : 0);
    const left = heights.map((height, at) => (wanted[at] ?? 0) - factor * height);
    return { rate, size: factor, left: sum(left.map((rest) => rest * rest)), descent: -factor * sum(left.map((rest, at) => rest * (slopes[at] ?? 0))) };
  };
  const tried = RATES.map((rate) => evaluate(rate).left);
  const least = tried.indexOf(Math.min(...tried));
  const [low, high] = [RATES[Math.max(least - 1, 0)] ?? 0, RATES[Math.min(least + 1, RATES.length - 1)] ?? 0];
  if (evaluate(low).descent >= 0) return evaluate(low);
  if (evaluate(high).descent <= 0) return evaluate(high);
  return evaluate(findRoot((rate) => evaluate(rate).descent, low, high));
}

/**
 * Where a function passes nought between two places of unlike sign.
 * Source: C. Ridders, IEEE Transactions on Circuits and Systems 26 (1979), 979.
 *
 * @param {(at: number) => number} evaluate
 * @param {number} low
 * @param {number} high
 */
function findRoot(evaluate, low, high) {
  let [atLow, atHigh, found] = [evaluate(low), evaluate(high), Infinity];
  for (let turn = 0; turn < TURNS; turn += 1) {
    const middle = (low + high) / 2;
    const atMiddle = evaluate(middle);
    const square = atMiddle * atMiddle - atLow * atHigh;
    if (square <= 0) return middle;
    const step = ((middle - low) * atMiddle) / Math.sqrt(square);
    const tried = middle + (atLow > atHigh ? step : -step);
    if (Math.abs(tried - found) <= 1e-14 * Math.abs(tried)) return tried;
    found = tried;
    const atFound = evaluate(tried);
    if (atFound === 0) return found;
    if (atMiddle > 0 !== atFound > 0) [low, atLow, high, atHigh] = [middle, atMiddle, found, atFound];
    else if (atLow > 0 !== atFound > 0) [high, atHigh] = [found, atFound];
    else [low, atLow] = [found, atFound];
  }
  return found;
}

/**
 * (1 - e^(-rate t)) / rate, which is t where the rate is nothing, and its slope with the rate.
 *
 * @param {number[]} times
 * @param {number} rate
 * @returns {Curve}
 */
function rise(times, rate) {
  const pairs = times.map((time) => {
    const way = rate * time;
    return way < 1e-3
      ? [time * (1 - way / 2 + (way * way) / 6 - way ** 3 / 24), time * time * (-1 / 2 + way / 3 - (way * way) / 8 + way ** 3 / 30)]
      : [-Math.expm1(-way) / rate, (Math.exp(-way) * (1 + way) - 1) / (rate * rate)];
  });
  return [pairs.map(([height]) => height ?? 0), pairs.map(([, slope]) => slope ?? 0)];
}

/**
 * What is left of a height above the end that it has at one moment, and its slope with the rate.
 *
 * @param {number[]} times
 * @param {number} rate
 * @param {number} at
 * @param {number} height
 * @returns {Curve}
 */
function decay(times, rate, at, height) {
  const heights = times.map((time) => height * Math.exp(rate * (at - time)));
  return [heights, heights.map((each, place) => (at - (times[place] ?? 0)) * each)];
}

/** @param {Readings} record @param {number} level */
function above(record, level) {
  return record.temperatures.map((value) => value - level);
}

/** @param {number[]} values */
function around(values) {
  const middle = mean(values);
  return values.map((value) => value - middle);
}

/** @param {number[]} values */
function mean(values) {
  return sum(values) / values.length;
}

/** @param {number[]} values */
function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}
