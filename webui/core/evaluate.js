/**
 * Tree and values to outcome: one of the three interpreters that exist on the server as well.
 *
 * `server/fillfirst/formulas/evaluate.py` is the same in the other language, under the same names, and `figures.js`
 * stands beside it as `figures.py` does there; the vectors in `tests/agreement/evaluate.json` drive both.
 * Evaluating is total: it gives a value or says why there is none. It knows nothing of units: every number is in
 * SI base units.
 */

/** @import { Outcome, Tree, Value, Values } from "./types.js" */

/** @typedef {Record<string, { rows: [number, number][] }>} Tables */

/** A typed 140 °F must not be outside "up to 60 °C" by the last bit of the conversion. */
const EDGE = 1e-9;

const TOO_LARGE = "a number too large to hold";

/** An operation that has no number for these operands; the message is what the person reads. */
class NoNumberError extends Error {}

/**
 * Work out what a tree gives for these values.
 *
 * `and`, `or` and `if` look no further than they must: a name missing where they do not look is not missed.
 *
 * @param {Tree} tree
 * @param {Values} values
 * @param {Tables} tables
 * @returns {Outcome}
 */
export function evaluate(tree, values, tables) {
  const operator = tree[0];
  switch (operator) {
    case "number":
    case "text":
    case "yes-no":
      return { value: tree[1] };
    case "name": {
      const value = lookUp(values, tree[1]);
      return value === undefined ? { missing: [tree[1]] } : give(value);
    }
    case "known":
      return { value: lookUp(values, tree[1]) !== undefined };
    case "and":
    case "or":
      return connect(operator === "or", tree.slice(1), values, tables);
    case "not": {
      const outcome = asYesNo(evaluate(tree[1], values, tables));
      return outcome.value === undefined ? outcome : { value: !outcome.value };
    }
    case "if": {
      const condition = asYesNo(evaluate(tree[1], values, tables));
      if (condition.value === undefined) return condition;
      return evaluate(condition.value ? tree[2] : tree[3], values, tables);
    }
    case "in":
      return find(tree[1], tree[2], values, tables);
    case "==":
    case "!=":
      return equate(operator === "==", tree, values, tables);
    default:
      return compute(tree, values, tables);
  }
}

/**
 * @param {Values} values
 * @param {string} name
 * @returns {Value | undefined} undefined when it is not known
 */
export function lookUp(values, name) {
  return Object.hasOwn(values, name) ? (values[name] ?? undefined) : undefined;
}

/** @param {Value} value @returns {Outcome} */
function give(value) {
  if (typeof value === "number" && !Number.isFinite(value)) return { impossible: "a number that is not finite" };
  return { value };
}

/**
 * The one outcome that stands for several parts that were all needed, or undefined when all have values.
 *
 * Missing names come first and are told together, since a person can fill them in at once.
 *
 * @param {Outcome[]} outcomes
 * @returns {Outcome | undefined}
 */
export function firstTrouble(outcomes) {
  const missing = outcomes.flatMap((outcome) => outcome.missing ?? []);
  if (missing.length > 0) return { missing: [...new Set(missing)] };
  return outcomes.find((outcome) => outcome.value === undefined);
}

/**
 * `and` and `or`: left to right, until one part is the answer that settles it.
 *
 * @param {boolean} settles
 * @param {Tree[]} parts
 * @param {Values} values
 * @param {Tables} tables
 * @returns {Outcome}
 */
function connect(settles, parts, values, tables) {
  for (const part of parts) {
    const outcome = asYesNo(evaluate(part, values, tables));
    if (outcome.value === undefined || outcome.value === settles) return outcome;
  }
  return { value: !settles };
}

/**
 * `in`: whether the left is one of the list written out, or of the list that a name holds.
 *
 * @param {Tree} left
 * @param {Tree} right
 * @param {Values} values
 * @param {Tables} tables
 * @returns {Outcome}
 */
function find(left, right, values, tables) {
  const sought = asSingle(evaluate(left, values, tables));
  const listed =
    right[0] === "list"
      ? right.slice(1).map((element) => asSingle(evaluate(element, values, tables)))
      : [asList(evaluate(right, values, tables))];
  const trouble = firstTrouble([sought, ...listed]);
  if (trouble !== undefined) return trouble;
  return { value: listed.flatMap(({ value }) => value).some((value) => value === sought.value) };
}

/**
 * `==` and `!=`: values of two kinds are never equal, so 1 is not yes.
 *
 * @param {boolean} wanted
 * @param {Tree} tree
 * @param {Values} values
 * @param {Tables} tables
 * @returns {Outcome}
 */
function equate(wanted, tree, values, tables) {
  const left = asSingle(evaluate(tree[1], values, tables));
  const right = asSingle(evaluate(tree[2], values, tables));
  return firstTrouble([left, right]) ?? { value: (left.value === right.value) === wanted };
}

/**
 * Everything whose operands are all needed and are all numbers.
 *
 * @param {Tree} tree
 * @param {Values} values
 * @param {Tables} tables
 * @returns {Outcome}
 */
function compute(tree, values, tables) {
  const operator = tree[0];
  const operands = operator === "call" || operator === "table" ? tree.slice(2) : tree.slice(1);
  const outcomes = operands.map((operand) => asNumber(evaluate(operand, values, tables)));
  const trouble = firstTrouble(outcomes);
  if (trouble !== undefined) return trouble;
  const numbers = outcomes.map(({ value }) => /** @type {number} */ (value));
  const ordering = ORDERINGS[operator];
  if (ordering !== undefined) return { value: ordering(at(numbers, 0), at(numbers, 1)) };
  if (operator === "table") return lookUpRow(tree[1], at(numbers, 0), tables);
  const operation = operator === "call" ? FUNCTIONS[tree[1]] : ARITHMETIC[operator];
  if (operation === undefined) throw new RangeError(`"${operator}" is not an operator of the language`);
  try {
    const value = operation(at(numbers, 0), numbers[1] ?? NaN, ...numbers.slice(2));
    return Number.isFinite(value) ? { value } : { impossible: TOO_LARGE };
  } catch (error) {
    if (error instanceof NoNumberError) return { impossible: error.message };
    throw error;
  }
}

/**
 * Interpolate between the two rows around the key; outside the table there is no value.
 *
 * @param {string} id
 * @param {number} key
 * @param {Tables} tables
 * @returns {Outcome}
 */
function lookUpRow(id, key, tables) {
  const table = Object.hasOwn(tables, id) ? tables[id] : undefined;
  if (table === undefined) return { impossible: `the table "${id}" is not here` };
  const rows = [...table.rows].sort((one, other) => one[0] - other[0]);
  const from = at(rows, 0)[0];
  const to = at(rows, rows.length - 1)[0];
  if (!isWithin(key, from, to)) return { outside: [{ name: id, value: key, from, to }] };
  const found = rows.findIndex((row) => key <= row[0]);
  const above = found < 0 ? rows.length - 1 : found;
  const [high, end] = at(rows, above);
  if (above === 0 || high <= key) return { value: end };
  const [low, start] = at(rows, above - 1);
  return { value: start + (end - start) * ((key - low) / (high - low)) };
}

/**
 * Whether a number is in a range, its edges included, up to the noise of unit conversion.
 *
 * @param {number} value
 * @param {number | null} least
 * @param {number | null} most
 */
export function isWithin(value, least, most) {
  const slack = EDGE * Math.max(Math.abs(value), Math.abs(least ?? 0), Math.abs(most ?? 0));
  return (least === null || value >= least - slack) && (most === null || value <= most + slack);
}

/** @param {Outcome} outcome @returns {Outcome} */
function asNumber(outcome) {
  return outcome.value === undefined || typeof outcome.value === "number" ? outcome : mismatch("a number", outcome.value);
}

/** @param {Outcome} outcome @returns {Outcome} */
function asYesNo(outcome) {
  return outcome.value === undefined || typeof outcome.value === "boolean"
    ? outcome
    : mismatch("a yes or no", outcome.value);
}

/** @param {Outcome} outcome @returns {Outcome} */
function asSingle(outcome) {
  return Array.isArray(outcome.value) ? mismatch("a single value", outcome.value) : outcome;
}

/** @param {Outcome} outcome @returns {Outcome} */
function asList(outcome) {
  return outcome.value === undefined || Array.isArray(outcome.value) ? outcome : mismatch("a list", outcome.value);
}

/** @param {string} needed @param {Value} value @returns {Outcome} */
function mismatch(needed, value) {
  const kinds = /** @type {const} */ ({ boolean: "a yes or no", string: "a text", number: "a number" });
  const found = Array.isArray(value) ? "a list" : kinds[/** @type {keyof typeof kinds} */ (typeof value)];
  return { impossible: `${needed} was needed, ${found} was found` };
}

/**
 * An element that the language's own checks have made sure of.
 *
 * @template T
 * @param {T[]} list
 * @param {number} place
 * @returns {T}
 */
function at(list, place) {
  const element = list[place];
  if (element === undefined) throw new RangeError("a tree with too few operands");
  return element;
}

/** @param {string} why @returns {never} */
function refuse(why) {
  throw new NoNumberError(why);
}

/** @typedef {(left: number, right: number, ...more: number[]) => number} Operation of one operand, of two, of many */

/** @type {Record<string, Operation>} */
const ARITHMETIC = {
  "+": (left, right) => left + right,
  "-": (left, right) => left - right,
  "*": (left, right) => left * right,
  "/": (left, right) => (right === 0 ? refuse("division by zero") : left / right),
  "**": raise,
  neg: (value) => -value,
};

/** @param {number} base @param {number} exponent */
function raise(base, exponent) {
  if (base === 0 && exponent < 0) return refuse("division by zero");
  if (base < 0 && !Number.isInteger(exponent)) return refuse("a broken power of a negative number");
  return base ** exponent;
}

/** @type {Record<string, Operation>} */
const FUNCTIONS = {
  min: Math.min,
  max: Math.max,
  abs: Math.abs,
  sqrt: (value) => (value < 0 ? refuse("the square root of a negative number") : Math.sqrt(value)),
  exp: Math.exp,
  log: (value) => (value <= 0 ? refuse("the logarithm of a number that is not above zero") : Math.log(value)),
  sin: Math.sin,
  cos: Math.cos,
  tan: Math.tan,
  atan: Math.atan,
  asin: (value) => (Math.abs(value) > 1 ? refuse("the arcsine of a number beyond one") : Math.asin(value)),
  floor: Math.floor,
  ceil: Math.ceil,
};

/** @type {Record<string, (left: number, right: number) => boolean>} */
const ORDERINGS = {
  "<": (left, right) => left < right,
  "<=": (left, right) => left <= right,
  ">": (left, right) => left > right,
  ">=": (left, right) => left >= right,
};
