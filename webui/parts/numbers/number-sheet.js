/**
 * Behind every number: the formula in words and signs, each input with where it comes from, the source, and the worked
 * example that shows the formula is right.
 */

/** @import { Catalog, Citation, Example, Formula, FunctionFormula } from "../../core/types.js" */
/** @import { Knowledge } from "../texts/known.js" */
/** @import { Given, Worked, WorkedFunction } from "./worked.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { carWords } from "../../app/words/car.js";
import { formulaOf, lookUp } from "../texts/known.js";
import { shownText, timeText } from "../texts/reading-words.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { amountText, fixedText } from "../texts/unit-amount.js";
import { givenText, partText } from "./worked.js";

/** @param {Knowledge} knowledge @param {string} name */
export function openNumberSheet(knowledge, name) {
  const known = lookUp(knowledge, name);
  /** @type {import("../../dom/element.js").Child[]} */
  const inside = [
    element("p", { class: "sheet-number" }, known.text || known.absence),
    known.text && known.other && element("p", { class: "quiet" }, known.other),
  ];
  if (known.kind === "figure") inside.push(...figureParts(knowledge, name));
  else if (known.kind === "reading") inside.push(ReadingRows(knowledge, name));
  else inside.push(FactRows(knowledge, name, known.from));
  const { catalog, correct } = knowledge;
  const canCorrect = correct && known.text && known.kind === "fact" && catalog.facts[name]?.kind === "quantity";
  const again = canCorrect ? Button({ class: "second" }, () => correctIt(), carWords.fact.correct) : null;
  const sheet = openSheet(known.label, inside, again ? [again] : []);

  function correctIt() {
    sheet.close();
    return correct?.(name);
  }
}

/** @param {[string, string | HTMLElement][]} rows */
function Rows(rows) {
  return element("dl", { class: "rows" }, ...rows.flatMap(([term, what]) => [element("dt", {}, term), element("dd", {}, what)]));
}

/** @param {Knowledge} knowledge @param {string} name @param {string} from */
function FactRows({ catalog, carFacts }, name, from) {
  const fact = catalog.facts[name];
  const own = carFacts[name];
  /** @type {[string, string][]} */
  const rows = [[words.numbers.source, from]];
  if (own?.shown) rows.push([words.numbers.asWritten, shownText(catalog, own.shown)]);
  if (fact?.default_source && !own) rows.push([words.numbers.assumedFrom, citationText(catalog, fact.default_source)]);
  if (fact?.unit && fact.from !== null && fact.to !== null) rows.push([words.numbers.range, rangeText(catalog, fact.unit, fact.from, fact.to)]);
  if (fact?.where) rows.push([words.numbers.whereToFind, fact.where]);
  return Rows(rows);
}

/** @param {Knowledge} knowledge @param {string} name */
function ReadingRows({ catalog, readings }, name) {
  const reading = catalog.readings[name];
  /** @type {[string, string][]} */
  const rows = (readings?.[name] ?? []).map((taken) => [timeText(taken.at), amountText(catalog, taken.unit ?? reading?.unit ?? "1", taken.value).text]);
  if (reading) rows.push([words.numbers.range, rangeText(catalog, reading.unit, reading.from, reading.to)]);
  return Rows(rows);
}

/** @param {Catalog} catalog @param {string} unit @param {number | null} from @param {number | null} to */
export function rangeText(catalog, unit, from, to) {
  const say = /** @param {number} si */ (si) => amountText(catalog, unit, si).text;
  if (from === null) return to === null ? "" : words.numbers.upTo(say(to));
  return to === null ? words.numbers.fromOn(say(from)) : words.numbers.between(say(from), say(to));
}

/** @param {Knowledge} knowledge @param {string} name */
function figureParts(knowledge, name) {
  const { catalog } = knowledge;
  const formula = formulaOf(catalog, name);
  if (!formula) return [];
  const bound = catalog.figures[name]?.with ?? {};
  const rows = Object.entries(formula.inputs).map(([input, declared]) => {
    const amount = bound[input] ?? { name: input };
    if (!("name" in amount)) return InputRow(input, declared.label, fixedText(catalog, amount.shown), words.numbers.fixed);
    const known = lookUp(knowledge, amount.name);
    const onOpen = known.kind === "none" ? null : () => openNumberSheet(knowledge, amount.name);
    return InputRow(input, declared.label, known.text, known.text ? known.from : known.absence, onOpen);
  });
  return [...formulaParts(catalog, formula, rows), ...FormulaExamples(catalog, formula)];
}

/**
 * A number that no figure of a job stands for.
 *
 * @param {Worked} worked
 */
export function openWorkedSheet(worked) {
  const { catalog, formula } = worked;
  openSheet(worked.label, [
    element("p", { class: "sheet-number" }, worked.text || worked.absence),
    worked.text && worked.other && element("p", { class: "quiet" }, worked.other),
    ...formulaParts(catalog, formula, GivenRows(worked)),
    ...FormulaExamples(catalog, formula),
  ]);
}

/**
 * An answer of several parts: a forecast, a set of packs, an order.
 *
 * @param {WorkedFunction} worked
 * @param {Record<string, string>} [texts] parts that a screen says better than their unit does
 */
export function openFunctionSheet(worked, texts = {}) {
  const { catalog, formula, parts } = worked;
  const rows = Object.entries(parts ?? {}).map(([name, value]) => /** @type {[string, string]} */ ([
    formula.parts[name]?.label ?? name,
    (texts[name] ?? partText(catalog, formula, name, value)) || words.numbers.cannotTell,
  ]));
  openSheet(formula.title, [
    parts ? Rows(rows) : element("p", { class: "sheet-number" }, worked.absence),
    ...formulaParts(catalog, formula, GivenRows(worked)),
    ...FunctionExamples(catalog, formula),
  ]);
}

/** @param {{ catalog: Catalog, formula: Formula | FunctionFormula, given: Record<string, Given> }} worked only what was given of what may be left out */
function GivenRows({ catalog, formula, given }) {
  return Object.entries(formula.inputs).flatMap(([input, { label, optional }]) => {
    const one = given[input];
    const isGiven = one !== undefined && one.value !== null;
    if (optional && !isGiven) return [];
    return [InputRow(input, label, isGiven ? givenText(catalog, formula, input, one) : "", (isGiven ? one.from : one?.absence) ?? "", one?.open ?? null)];
  });
}

/**
 * Why there is such a number, how it is worked out, from what, and who says so.
 *
 * @param {Catalog} catalog
 * @param {Formula | FunctionFormula} formula
 * @param {HTMLElement[]} inputs
 */
function formulaParts(catalog, formula, inputs) {
  const constants = Object.entries(formula.constants).map(([id, constant]) =>
    InputRow(id, constant.label, fixedText(catalog, constant.shown), constant.source ? citationText(catalog, constant.source) : words.numbers.constant),
  );
  return [
    element("p", {}, formula.why),
    element("section", { class: "formula" }, element("h3", {}, formula.title), "expression" in formula ? element("code", {}, expressionText(formula.expression)) : element("p", { class: "quiet" }, words.numbers.byFunction)),
    element("h3", {}, words.numbers.inputs),
    element("ul", { class: "inputs" }, ...inputs, ...constants),
    Rows([[words.numbers.source, citationText(catalog, formula.source)]]),
  ];
}

/** The expression as people write it. @param {string} expression */
function expressionText(expression) {
  return expression.replaceAll("**", "^").replaceAll("*", "×").replaceAll("<=", "≤").replaceAll(">=", "≥").replaceAll(" - ", " − ");
}

/** @param {string} name @param {string} label @param {string} value @param {string} from @param {(() => void) | null} [onOpen] */
function InputRow(name, label, value, from, onOpen = null) {
  const shown = onOpen && value ? element("button", { type: "button", class: "plain", onclick: onOpen }, value) : element("b", {}, value || "–");
  return element(
    "li",
    {},
    element("span", {}, label, " ", element("code", { class: "quiet" }, name)),
    shown,
    element("span", { class: "quiet" }, from),
  );
}

/** @param {Catalog} catalog @param {Formula} formula */
function FormulaExamples(catalog, formula) {
  const says = /** @param {import("../../core/types.js").Example} example */ ({ expect }) => [`${formula.result.label}: ${judged(catalog, formula, expect)}`];
  return Examples(catalog, formula, formula.examples.map((example) => ({ ...example, says: says(example) })));
}

/** @param {Catalog} catalog @param {FunctionFormula} formula */
function FunctionExamples(catalog, formula) {
  const says = /** @param {Example["given"]} expect */ (expect) => Object.entries(expect).map(([name, value]) => `${formula.parts[name]?.label ?? name}: ${typed(catalog, value)}`);
  return Examples(catalog, formula, formula.examples.map((example) => ({ ...example, says: says(example.expect) })));
}

/** @param {Catalog} catalog @param {Formula | FunctionFormula} formula @param {{ from: string, given: Example["given"], says: string[] }[]} examples two at the most */
function Examples(catalog, formula, examples) {
  if (examples.length === 0) return [];
  return [element("h3", {}, words.numbers.example), ...examples.slice(0, 2).map(Shown)];

  /** @param {{ from: string, given: Example["given"], says: string[] }} example */
  function Shown({ from, given, says }) {
    const told = Object.entries(given).map(([name, value]) => `${formula.inputs[name]?.label ?? name}: ${typed(catalog, value)}`);
    return element("div", { class: "example" }, element("p", {}, told.join(" · ")), ...says.map((line) => element("p", {}, element("b", {}, line))), element("p", { class: "quiet" }, from));
  }
}

/** @param {Catalog} catalog @param {Formula} formula @param {string | number | boolean} expect */
function judged(catalog, formula, expect) {
  if (typeof expect !== "boolean") return typed(catalog, expect);
  return (expect ? formula.result.yes : formula.result.no) ?? words.yesNo(expect);
}

/** @param {Catalog} catalog @param {string | number | boolean} value a list is written "20, 30, 37.5 degC" */
function typed(catalog, value) {
  if (typeof value === "boolean") return words.yesNo(value);
  const each = String(value).split(", ");
  return each.map((one) => shownText(catalog, one)).join(", ");
}

/** @param {Catalog} catalog @param {Citation} citation */
export function citationText(catalog, citation) {
  const source = catalog.sources[citation.document];
  const spot = citation.page ? words.numbers.page(citation.page) : (citation.section ?? "");
  return [source?.title ?? citation.document, source?.edition, spot].filter(Boolean).join(", ");
}

