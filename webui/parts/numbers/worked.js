/**
 * Numbers that no job has a figure for: a formula or function of the catalog, worked out from what a screen knows or a
 * person types. Each keeps what went into it, so that it opens like any other number.
 */

/** @import { Catalog, Formula, FunctionFormula, Outcome, Value } from "../../core/types.js" */
/** @import { FunctionOutcome, PartValue } from "../../core/functions.js" */
/** @import { Knowledge } from "../texts/known.js" */

import { evaluateFormula } from "../../core/figures.js";
import { evaluateFunction } from "../../core/functions.js";
import { words } from "../../app/words.js";
import { absenceText, lookUp } from "../texts/known.js";
import { listText } from "../texts/reading-words.js";
import { amountText } from "../texts/unit-amount.js";

/**
 * @typedef {object} Given what goes into one input
 * @property {Value | number[] | null} value SI; null where it is not known
 * @property {string} from where it comes from, in a few words
 * @property {string} [unit] the one it was written in
 * @property {string} [text] as it is shown, where that is not the number with its unit
 * @property {string} [absence] why it is not known
 * @property {(() => void) | null} [open] what stands behind it
 */

/**
 * @typedef {object} Worked
 * @property {Catalog} catalog
 * @property {Formula} formula
 * @property {Record<string, Given>} given by input
 * @property {Outcome} outcome
 * @property {number | null} value SI; null for a judgement or where there is none
 * @property {boolean | null} holds of a judgement
 * @property {string} label
 * @property {string} text "" where there is no value
 * @property {string} number
 * @property {string} symbol
 * @property {string} other the same in the other unit
 * @property {string} absence why there is no value, in a sentence
 */

/**
 * @typedef {object} WorkedFunction
 * @property {Catalog} catalog
 * @property {FunctionFormula} formula
 * @property {Record<string, Given>} given
 * @property {Record<string, PartValue> | null} parts null where there is no answer
 * @property {string} absence
 */

/** Something that was typed on this screen. @param {Value | null} value @param {string} [unit] @returns {Given} */
export function typedGiven(value, unit) {
  return { value, unit, from: words.numbers.typedHere };
}

/** Fixed by this tool, with where it takes it from. @param {Value | number[]} value @param {string} from @returns {Given} */
export function fixedGiven(value, from) {
  return { value, from };
}

/** A fact, setting, reading or figure. @param {Knowledge} knowledge @param {string} name @returns {Given} */
export function givenOf(knowledge, name) {
  const known = lookUp(knowledge, name);
  const { value } = known.outcome;
  return {
    value: value ?? null,
    text: known.text,
    from: known.from,
    absence: known.absence,
    open: async () => (await import("./number-sheet.js")).openNumberSheet(knowledge, name),
  };
}

/** What another formula gave. @param {Worked | null} worked @returns {Given} */
export function givenBy(worked) {
  if (!worked) return { value: null, from: "" };
  return {
    value: worked.outcome.value ?? null,
    text: worked.text,
    from: words.numbers.computed,
    absence: worked.absence,
    open: async () => (await import("./number-sheet.js")).openWorkedSheet(worked),
  };
}

/**
 * @param {Catalog} catalog
 * @param {string} id of the formula
 * @param {Record<string, Given>} given
 * @returns {Worked | null} null where this catalog has no such formula
 */
export function workOut(catalog, id, given) {
  const formula = catalog.formulas[id];
  if (!formula) return null;
  const outcome = evaluateFormula(formula, plainValues(given), catalog.tables);
  const { value } = outcome;
  const { result } = formula;
  /** @type {Worked} */
  const worked = { catalog, formula, given, outcome, value: null, holds: null, label: result.label, text: "", number: "", symbol: "", other: "", absence: "" };
  if (value === undefined) return { ...worked, absence: whyNot(catalog, formula, given, outcome) };
  if (result.kind === "judgement") {
    const says = (value ? result.yes : result.no) ?? words.yesNo(Boolean(value));
    return { ...worked, holds: Boolean(value), text: says, number: says };
  }
  if (typeof value !== "number") return { ...worked, text: String(value), number: String(value) };
  return { ...worked, value, ...amountText(catalog, result.unit ?? "1", value, result.round_to) };
}

/**
 * @param {Catalog} catalog
 * @param {string} id of the function
 * @param {Record<string, Given>} given
 * @returns {WorkedFunction | null} null where this catalog has no such function
 */
export function workOutFunction(catalog, id, given) {
  const formula = catalog.functions?.[id];
  if (!formula) return null;
  /** @type {FunctionOutcome} */
  const outcome = evaluateFunction(formula, /** @type {any} */ (plainValues(given)));
  if ("value" in outcome && outcome.value) return { catalog, formula, given, parts: outcome.value, absence: "" };
  return { catalog, formula, given, parts: null, absence: whyNot(catalog, formula, given, /** @type {Outcome} */ (outcome)) };
}

/** @param {Record<string, Given>} given @returns {Record<string, any>} */
function plainValues(given) {
  return Object.fromEntries(Object.entries(given).flatMap(([name, { value }]) => (value === null ? [] : [[name, value]])));
}

/**
 * Why there is no number: what an input itself lacks comes first, since that is where a person can act.
 *
 * @param {Catalog} catalog
 * @param {Formula | FunctionFormula} formula
 * @param {Record<string, Given>} given
 * @param {Outcome} outcome
 */
function whyNot(catalog, formula, given, outcome) {
  const behind = (outcome.missing ?? []).flatMap((name) => given[name]?.absence || []);
  return behind[0] ?? absenceText(catalog, outcome, formula.inputs);
}

/** @param {Catalog} catalog @param {Formula | FunctionFormula} formula @param {string} name @param {Given | undefined} given */
export function givenText(catalog, formula, name, given) {
  const unit = given?.unit ?? formula.inputs[name]?.unit ?? "1";
  return given?.text || valueText(catalog, given?.value ?? null, unit);
}

/** @param {Catalog} catalog @param {FunctionFormula} formula @param {string} name @param {PartValue | undefined} value */
export function partText(catalog, formula, name, value) {
  const part = formula.parts[name];
  return valueText(catalog, value ?? null, part?.unit ?? "1", part?.round_to);
}

/** @param {Catalog} catalog @param {Value | number[] | null} value @param {string} unit @param {number | null} [roundTo] @returns {string} */
function valueText(catalog, value, unit, roundTo) {
  if (value === null) return "";
  if (typeof value === "number") return amountText(catalog, unit, value, roundTo).text;
  if (typeof value === "boolean") return words.yesNo(value);
  if (typeof value === "string") return value;
  return listText(value.map((one) => valueText(catalog, one, unit, roundTo)));
}
