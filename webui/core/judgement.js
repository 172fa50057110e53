/**
 * What is said of a number that somebody typed: refused, asked about, or fine.
 *
 * A number that cannot be is refused with the range. One that can be, and is strange, is asked about and the answer is
 * kept with it: the book may be right after all. Nothing without a source is taken.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/cars/judgement.py.
 */

/** @import { Catalog, Fact, Values } from "./types.js" */

import { resolve } from "./compose.js";
import { evaluate, isWithin } from "./evaluate.js";
import { evaluateFigure } from "./figures.js";

/** Where a number may be from. */
export const SOURCE_KINDS = ["makers-manual", "label", "component-maker", "measured", "common-practice", "owner"];

/**
 * @typedef {object} Remark numbers in SI
 * @property {string} code
 * @property {string} [kind]
 * @property {unknown} [found]
 * @property {number | null} [from]
 * @property {number | null} [to]
 * @property {string} [figure]
 * @property {string | null} [says]
 */

/** @typedef {{ verdict: "fine" | "odd" | "refused", remarks: Remark[] }} FactJudgement */

/**
 * Judge a value for a fact of a car of which these other facts are known; numbers in SI.
 *
 * @param {Catalog} catalog
 * @param {Values} facts
 * @param {string} name
 * @param {unknown} value
 * @param {unknown} source
 * @returns {FactJudgement}
 */
export function judgeFact(catalog, facts, name, value, source) {
  const fact = Object.hasOwn(catalog.facts, name) ? catalog.facts[name] : undefined;
  if (!fact) return { verdict: "refused", remarks: [{ code: "unknown-fact" }] };
  const refusals = [...judgeValue(catalog, name, fact, value), ...judgeSource(source)];
  if (refusals.length > 0) return { verdict: "refused", remarks: refusals };
  const doubts = [...findUnusual(fact, value), ...askFigures(catalog, facts, name, value)];
  if (isInapplicable(catalog, facts, fact)) doubts.push({ code: "does-not-apply" });
  return { verdict: doubts.length > 0 ? "odd" : "fine", remarks: doubts };
}

/** @param {Catalog} catalog @param {string} name @param {Fact} fact @param {unknown} value @returns {Remark[]} */
function judgeValue(catalog, name, fact, value) {
  if (!hasKind(fact, value)) return [{ code: "wrong-kind", kind: fact.kind }];
  if (typeof value === "number") {
    return isWithin(value, fact.from, fact.to) ? [] : [{ code: "out-of-range", from: fact.from, to: fact.to }];
  }
  /** @type {string[]} */
  const texts = Array.isArray(value) ? value : typeof value === "string" ? [value] : [];
  if (texts.some(isBlank)) return [{ code: "empty" }];
  const unknown = texts.filter((text) => fact.options && !Object.hasOwn(fact.options, text));
  if (unknown.length > 0) return [{ code: "not-an-option", found: unknown }];
  // Steps go through some lists item by item; positions of a lever may well come twice.
  const isEach = [...catalog.steps, ...Object.values(catalog.variables)].some(({ each }) => each === name);
  const twice = texts.filter((text, at) => isEach && texts.indexOf(text) < at);
  return twice.length > 0 ? [{ code: "named-twice", found: twice }] : [];
}

/** @param {Fact} fact @param {unknown} value */
function hasKind({ kind }, value) {
  if (kind === "quantity") return typeof value === "number" && Number.isFinite(value);
  if (kind === "yes-no") return typeof value === "boolean";
  if (kind === "list") return Array.isArray(value) && value.every((item) => typeof item === "string");
  return typeof value === "string";
}

/** @param {unknown} source @returns {Remark[]} */
function judgeSource(source) {
  if (typeof source !== "object" || source === null || Array.isArray(source)) return [{ code: "no-source" }];
  const { kind = null, reference } = /** @type {Record<string, unknown>} */ (source);
  /** @type {Remark[]} */
  const remarks = [];
  if (!SOURCE_KINDS.includes(String(kind))) remarks.push({ code: "unknown-source-kind", found: kind });
  if (typeof reference !== "string" || isBlank(reference)) remarks.push({ code: "no-reference" });
  return remarks;
}

/** Nothing to read in it. `trim` and the other language differ on what is a space. @param {string} text */
function isBlank(text) {
  return /^[\p{Z}\p{Cc}]*$/u.test(text);
}

/** @param {Fact} fact @param {unknown} value @returns {Remark[]} */
function findUnusual({ odd_from, odd_to }, value) {
  if (typeof value !== "number" || isWithin(value, odd_from, odd_to)) return [];
  return [{ code: "unusual", from: odd_from, to: odd_to }];
}

/**
 * What formulas say that hold this number against others of the car; one without a value says nothing.
 *
 * @param {Catalog} catalog @param {Values} facts @param {string} name @param {unknown} value @returns {Remark[]}
 */
function askFigures(catalog, facts, name, value) {
  return (catalog.facts[name]?.judges ?? []).flatMap((figure) => {
    const outcome = evaluateFigure(catalog, figure, { ...facts, [name]: /** @type {any} */ (value) });
    const says = catalog.formulas[catalog.figures[figure]?.formula ?? ""]?.result.no ?? null;
    return outcome.value === false ? [{ code: "judged", figure, says }] : [];
  });
}

/** @param {Catalog} catalog @param {Values} facts @param {Fact} fact */
function isInapplicable(catalog, facts, { when }) {
  return when !== null && evaluate(when, resolve(catalog, facts).values, catalog.tables).value === false;
}
