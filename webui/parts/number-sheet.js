/**
 * Behind every number: the formula in words and signs, each input with where it comes from, the source, and the worked
 * example that shows the formula is right.
 */

/** @import { Catalog, Citation, Formula } from "../core/types.js" */
/** @import { Knowledge } from "./known.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { formulaOf, lookUp } from "./known.js";
import { shownText, timeText } from "./reading-words.js";
import { openSheet } from "./sheet.js";
import { amountText, fixedText } from "./unit-amount.js";

/** @param {Knowledge} knowledge @param {string} name */
export function openNumberSheet(knowledge, name) {
  const known = lookUp(knowledge, name);
  /** @type {import("../dom/element.js").Child[]} */
  const inside = [
    element("p", { class: "sheet-number" }, known.text || known.absence),
    known.text && known.other && element("p", { class: "quiet" }, known.other),
  ];
  if (known.kind === "figure") inside.push(...figureParts(knowledge, name));
  else if (known.kind === "reading") inside.push(ReadingRows(knowledge, name));
  else inside.push(FactRows(knowledge, name, known.from));
  openSheet(known.label, inside);
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
  return [
    element("p", {}, formula.why),
    element("section", { class: "formula" }, element("h3", {}, formula.title), element("code", {}, expressionText(formula.expression))),
    element("h3", {}, words.numbers.inputs),
    Inputs(knowledge, name, formula),
    Rows([[words.numbers.source, citationText(catalog, formula.source)]]),
    formula.examples.length > 0 && element("h3", {}, words.numbers.example),
    ...formula.examples.slice(0, 2).map((example) => Example(catalog, formula, example)),
  ];
}

/** The expression as people write it. @param {string} expression */
function expressionText(expression) {
  return expression.replaceAll("**", "^").replaceAll("*", "×").replaceAll("<=", "≤").replaceAll(">=", "≥").replaceAll(" - ", " − ");
}

/** @param {Knowledge} knowledge @param {string} name @param {Formula} formula */
function Inputs(knowledge, name, formula) {
  const { catalog } = knowledge;
  const bound = catalog.figures[name]?.with ?? {};
  const rows = Object.entries(formula.inputs).map(([input, declared]) => {
    const amount = bound[input] ?? { name: input };
    if (!("name" in amount)) return InputRow(input, declared.label, fixedText(catalog, amount.shown), words.numbers.fixed);
    const known = lookUp(knowledge, amount.name);
    const onFigure = known.kind === "figure" ? () => openNumberSheet(knowledge, amount.name) : null;
    return InputRow(input, declared.label, known.text || "–", known.text ? known.from : known.absence, onFigure);
  });
  const constants = Object.entries(formula.constants).map(([id, constant]) =>
    InputRow(id, constant.label, fixedText(catalog, constant.shown), constant.source ? citationText(catalog, constant.source) : words.numbers.constant),
  );
  return element("ul", { class: "inputs" }, ...rows, ...constants);
}

/** @param {string} name @param {string} label @param {string} value @param {string} from @param {(() => void) | null} [onOpen] */
function InputRow(name, label, value, from, onOpen = null) {
  const shown = onOpen ? element("button", { type: "button", class: "plain", onclick: onOpen }, value) : element("b", {}, value);
  return element(
    "li",
    {},
    element("span", {}, label, " ", element("code", { class: "quiet" }, name)),
    shown,
    element("span", { class: "quiet" }, from),
  );
}

/** @param {Catalog} catalog @param {Formula} formula @param {import("../core/types.js").Example} example */
function Example(catalog, formula, example) {
  const given = Object.entries(example.given).map(([name, value]) => `${formula.inputs[name]?.label ?? name}: ${typed(catalog, value)}`);
  return element(
    "div",
    { class: "example" },
    element("p", {}, given.join(" · ")),
    element("p", {}, element("b", {}, `${formula.result.label}: ${judged(catalog, formula, example.expect)}`)),
    element("p", { class: "quiet" }, example.from),
  );
}

/** @param {Catalog} catalog @param {Formula} formula @param {string | number | boolean} expect */
function judged(catalog, formula, expect) {
  if (typeof expect !== "boolean") return typed(catalog, expect);
  return (expect ? formula.result.yes : formula.result.no) ?? words.yesNo(expect);
}

/** @param {Catalog} catalog @param {string | number | boolean} value */
function typed(catalog, value) {
  return typeof value === "boolean" ? words.yesNo(value) : shownText(catalog, value);
}

/** @param {Catalog} catalog @param {Citation} citation */
export function citationText(catalog, citation) {
  const source = catalog.sources[citation.document];
  const spot = citation.page ? words.numbers.page(citation.page) : (citation.section ?? "");
  return [source?.title ?? citation.document, source?.edition, spot].filter(Boolean).join(", ");
}

