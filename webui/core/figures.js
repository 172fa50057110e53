/**
 * A formula with its inputs, and a figure: a formula as a job uses it. Ranges, constants, optional inputs, and how one
 * figure feeds another; what is missing is told in the job's words.
 *
 * `server/fillfirst/formulas/figures.py` is the same in the other language.
 */

/** @import { Tables } from "./evaluate.js" */
/** @import { Amount, Formula, Outcome, OutOfRange, Value, Values } from "./types.js" */

import { evaluate, firstTrouble, isWithin, lookUp } from "./evaluate.js";

/** @typedef {{ name?: string, value?: Value, shown?: string }} Binding */
/** @typedef {Pick<Formula, "tree" | "inputs" | "constants">} Workable */
/**
 * @typedef {object} HasFigures the part of the catalog that a figure needs
 * @property {Record<string, { formula: string, with: Record<string, Binding> }>} figures
 * @property {Record<string, Workable>} formulas
 * @property {Tables} tables
 */

/**
 * Work out a formula; an input outside its range leaves it without a value.
 *
 * Every input that is given is held to its range, whether or not this evaluation would look at it.
 *
 * @param {Workable} formula
 * @param {Values} inputs
 * @param {Tables} tables
 * @returns {Outcome}
 */
export function evaluateFormula(formula, inputs, tables) {
  /** @type {Record<string, Value>} */
  const names = {};
  /** @type {OutOfRange[]} */
  const outside = [];
  for (const [name, { from, to }] of Object.entries(formula.inputs)) {
    const value = lookUp(inputs, name);
    if (value === undefined) continue;
    names[name] = value;
    if (typeof value === "number" && !isWithin(value, from, to)) outside.push({ name, value, from, to });
  }
  if (outside.length > 0) return { outside };
  for (const [name, constant] of Object.entries(formula.constants)) names[name] = constant.value;
  return evaluate(formula.tree, names, tables);
}

/**
 * Work out a figure from facts, readings, settings and the other figures it is bound to.
 *
 * Missing names, and values outside their range, are told in the job's words, not in the formula's.
 *
 * @param {HasFigures} catalog
 * @param {string} name
 * @param {Values} values
 * @returns {Outcome}
 */
export function evaluateFigure(catalog, name, values) {
  return evaluateWithin(catalog, name, values, []);
}

/**
 * An amount in SI: as it is written, or what its name stands for; null while that is not known.
 *
 * @param {HasFigures} catalog
 * @param {Amount | null} amount
 * @param {Values} values
 * @returns {Value | null}
 */
export function valueOf(catalog, amount, values) {
  if (!amount) return null;
  if (!("name" in amount)) return amount.value;
  const value = Object.hasOwn(catalog.figures, amount.name) ? evaluateFigure(catalog, amount.name, values).value : values[amount.name];
  return value ?? null;
}

/**
 * @param {HasFigures} catalog
 * @param {string} name
 * @param {Values} values
 * @param {string[]} above the figures that this one is being worked out for
 * @returns {Outcome}
 */
function evaluateWithin(catalog, name, values, above) {
  if (above.includes(name)) return { impossible: `the figure "${name}" is needed for itself` };
  const figure = catalog.figures[name];
  if (figure === undefined) throw new RangeError(`there is no figure "${name}"`);
  const formula = catalog.formulas[figure.formula];
  if (formula === undefined) throw new RangeError(`there is no formula "${figure.formula}"`);
  /** @type {Record<string, Value>} */
  const found = {};
  /** @type {Record<string, Outcome>} */
  const troubles = {};
  for (const input of Object.keys(formula.inputs)) {
    const outcome = resolve(catalog, figure.with[input], input, values, [...above, name]);
    if (outcome.value === undefined) troubles[input] = outcome;
    else found[input] = outcome.value;
  }
  const outcome = evaluateFormula(formula, found, catalog.tables);
  if (outcome.outside !== undefined) {
    /** @param {OutOfRange} each */
    const rename = (each) =>
      Object.hasOwn(formula.inputs, each.name) ? (figure.with[each.name]?.name ?? each.name) : each.name;
    return { outside: outcome.outside.map((each) => ({ ...each, name: rename(each) })) };
  }
  if (outcome.missing === undefined) return unlessSpoilt(outcome, formula, troubles);
  return firstTrouble(outcome.missing.map((each) => troubles[each] ?? { missing: [each] })) ?? outcome;
}

/**
 * What a figure puts into one input; one that is not bound reads the name it is called by.
 *
 * @param {HasFigures} catalog
 * @param {Binding | undefined} binding
 * @param {string} input
 * @param {Values} values
 * @param {string[]} above
 * @returns {Outcome}
 */
function resolve(catalog, binding, input, values, above) {
  if (binding?.value !== undefined && binding.value !== null) return { value: binding.value };
  const name = binding?.name ?? input;
  if (Object.hasOwn(catalog.figures, name)) return evaluateWithin(catalog, name, values, above);
  const value = lookUp(values, name);
  return value === undefined ? { missing: [name] } : { value };
}

/**
 * An optional input may be unknown, but one that was measured out of range must not pass as unknown.
 *
 * @param {Outcome} outcome
 * @param {Workable} formula
 * @param {Record<string, Outcome>} troubles
 * @returns {Outcome}
 */
function unlessSpoilt(outcome, formula, troubles) {
  for (const [name, trouble] of Object.entries(troubles)) {
    if (formula.inputs[name]?.optional && trouble.missing === undefined) return trouble;
  }
  return outcome;
}
