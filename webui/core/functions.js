/**
 * Formulas that no expression can say: a fit, a choice, an order. Each is a function with a name, declared in the specs
 * like any other formula. They are not part of what a start needs: import this module when a screen asks for one.
 *
 * `server/fillfirst/formulas/functions.py` is the same in the other language; the vectors in
 * `tests/agreement/functions.json` drive both.
 */

/** @import { FunctionFormula, OutOfRange } from "./types.js" */

import { findDue } from "./due.js";
import { isWithin } from "./evaluate.js";
import { findRate } from "./odometer.js";
import { choosePacks } from "./packs.js";
import { orderScrews } from "./tightening.js";
import { readVin } from "./vin.js";
import { predictCrossing } from "./warming.js";

/** @typedef {number | string | boolean | number[] | null} PartValue what one part of an answer holds; null where it cannot be told */
/** @typedef {{ value: Record<string, PartValue>, impossible?: undefined } | { impossible: string, value?: undefined }} FunctionAnswer */
/** @typedef {FunctionAnswer | { missing: string[] } | { outside: OutOfRange[] }} FunctionOutcome */
/** @typedef {number | string | boolean | number[] | null | undefined} Given in SI */

/** Each takes its own names; that a formula has them was checked with the specs. @type {Record<string, (given: never) => FunctionAnswer>} */
const FUNCTIONS = {
  "predict-crossing": predictCrossing,
  "choose-packs": choosePacks,
  "order-screws": orderScrews,
  "find-rate": findRate,
  "find-due": findDue,
  "read-vin": readVin,
};

/**
 * Work out a formula that is a function; one number outside its range leaves all without a value.
 *
 * @param {FunctionFormula} formula
 * @param {Record<string, Given>} inputs
 * @returns {FunctionOutcome}
 */
export function evaluateFunction(formula, inputs) {
  /** @type {Record<string, Given>} */
  const given = {};
  /** @type {OutOfRange[]} */
  const outside = [];
  /** @type {string[]} */
  const missing = [];
  for (const [name, { from, to, optional }] of Object.entries(formula.inputs)) {
    const value = Object.hasOwn(inputs, name) ? inputs[name] : null;
    if (value === null || value === undefined) {
      if (!optional) missing.push(name);
      continue;
    }
    given[name] = value;
    for (const each of Array.isArray(value) ? value : [value]) {
      if (typeof each === "number" && !isWithin(each, from, to)) outside.push({ name, value: each, from, to });
    }
  }
  if (outside.length > 0) return { outside };
  if (missing.length > 0) return { missing };
  for (const [name, constant] of Object.entries(formula.constants)) given[name] = constant.value;
  const run = FUNCTIONS[formula.function];
  if (!run) throw new RangeError(`there is no function "${formula.function}"`);
  return run(/** @type {never} */ (given));
}
