/**
 * What is known under a name: one look-up for facts, settings, readings and figures, so that every number on every
 * screen can say what it is, in which unit, where it comes from and why it is missing.
 */

/** @import { Open } from "../../app/types.js" */
/** @import { Catalog, Instance, Outcome, Value, Values, VehicleFact } from "../../core/types.js" */

import { stepOf } from "../../core/compose.js";
import { evaluateFigure } from "../../core/figures.js";
import { words } from "../../app/words.js";
import { listText, momentText } from "./reading-words.js";
import { amountText } from "./unit-amount.js";

/**
 * @typedef {object} Knowledge where names are looked up: an open visit, or a car that is being planned
 * @property {Catalog} catalog
 * @property {Record<string, VehicleFact>} carFacts
 * @property {Values} settings as far as anybody said them; others are assumed
 * @property {Values} values facts, settings and readings, by name
 * @property {Record<string, { at: string, typed?: string, unit?: string, value: number }[]>} [readings]
 * @property {(name: string) => unknown} [correct] in a visit: to ask anew for a number of the car
 */

/**
 * @typedef {object} Known
 * @property {string} name
 * @property {"fact" | "setting" | "reading" | "figure" | "none"} kind
 * @property {string} label
 * @property {string} text whole, such as "36 N·m"; "" when there is no value
 * @property {string} number the part that is drawn large
 * @property {string} symbol
 * @property {string} spoken
 * @property {string} other the same in the other unit, see unit-amount.js
 * @property {string} from where it comes from, in a few words
 * @property {Outcome} outcome
 * @property {string} absence why there is no value, in a sentence; "" when there is one
 * @property {boolean | null} holds of a judgement
 */

/** @typedef {Record<string, { label: string, unit: string | null }>} Inputs of a formula or function */

/**
 * @param {Knowledge} knowledge
 * @param {string} name
 * @returns {Known}
 */
export function lookUp(knowledge, name) {
  const { catalog } = knowledge;
  if (catalog.facts[name]) return lookUpFact(knowledge, name);
  if (catalog.readings[name]) return lookUpReading(knowledge, name);
  if (catalog.figures[name]) return lookUpFigure(knowledge, name);
  return blank(name, "none", name, { missing: [name] });
}

/** @param {string} name @param {Known["kind"]} kind @param {string} label @param {Outcome} outcome @returns {Known} */
function blank(name, kind, label, outcome) {
  return { name, kind, label, text: "", number: "", symbol: "", spoken: "", other: "", from: "", outcome, absence: "", holds: null };
}

/** @param {Knowledge} knowledge @param {string} name @returns {Known} */
function lookUpFact({ catalog, carFacts, settings, values }, name) {
  const fact = /** @type {import("../../core/types.js").Fact} */ (catalog.facts[name]);
  const own = carFacts[name];
  const value = values[name];
  const kind = fact.of === "visit" ? "setting" : "fact";
  if (value === null || value === undefined) {
    return { ...blank(name, kind, fact.title, { missing: [name] }), absence: words.numbers.notTypedIn(fact.where) };
  }
  const known = { ...blank(name, kind, fact.title, { value }), from: own ? sourceText(own.source) : words.numbers.assumed };
  if (kind === "setting" && (own || name in settings)) known.from = words.numbers.today;
  if (fact.kind !== "quantity" || typeof value !== "number") return { ...known, ...plain(valueText(catalog, name, value)) };
  const unit = own?.unit && catalog.units[own.unit] ? own.unit : (fact.unit ?? "1");
  return { ...known, ...amountText(catalog, unit, value) };
}

/** @param {string} text */
function plain(text) {
  return { text, number: text, spoken: text };
}

/** @param {Knowledge} knowledge @param {string} name @returns {Known} */
function lookUpReading({ catalog, values, readings }, name) {
  const reading = /** @type {import("../../core/types.js").Reading} */ (catalog.readings[name]);
  const value = values[name];
  if (typeof value !== "number") {
    return { ...blank(name, "reading", reading.label, { missing: [name] }), absence: words.numbers.notRead };
  }
  const last = readings?.[name]?.at(-1);
  const unit = reading.across === "sum" || !last?.unit || !catalog.units[last.unit] ? reading.unit : last.unit;
  return {
    ...blank(name, "reading", reading.label, { value }),
    ...amountText(catalog, unit, value),
    from: last ? words.numbers.readAt(momentText(last.at)) : words.numbers.read,
  };
}

/** @param {Knowledge} knowledge @param {string} name @returns {Known} */
function lookUpFigure({ catalog, values }, name) {
  const formula = formulaOf(catalog, name);
  const outcome = evaluateFigure(catalog, name, values);
  const known = { ...blank(name, "figure", formula?.result.label ?? name, outcome), from: words.numbers.computed };
  const { value } = outcome;
  if (value === undefined) return { ...known, absence: absenceText(catalog, outcome, formula?.inputs) };
  if (formula?.result.kind === "judgement") {
    const says = (value ? formula.result.yes : formula.result.no) ?? words.yesNo(Boolean(value));
    return { ...known, ...plain(says), holds: Boolean(value) };
  }
  if (typeof value !== "number") return { ...known, ...plain(String(value)) };
  const unit = formula?.result.unit ?? "1";
  return { ...known, ...amountText(catalog, unit, value, formula?.result.round_to) };
}

/** @param {Catalog} catalog @param {string} figure */
export function formulaOf(catalog, figure) {
  const use = catalog.figures[figure];
  return use ? catalog.formulas[use.formula] : undefined;
}

/**
 * A value as words: the label of a choice, "front left and rear right", yes or no.
 *
 * @param {Catalog} catalog
 * @param {string} name of its fact
 * @param {Value} value
 * @returns {string}
 */
export function valueText(catalog, name, value) {
  const fact = catalog.facts[name];
  if (typeof value === "boolean") return words.yesNo(value);
  if (Array.isArray(value)) return listText(value.map((item) => fact?.options?.[item] ?? item));
  if (typeof value === "number") return fact?.unit ? amountText(catalog, fact.unit, value).text : String(value);
  return fact?.options?.[value] ?? value;
}

/** @param {{ kind: string, reference: string }} source "manual 23-118" */
export function sourceText(source) {
  const kind = /** @type {Record<string, string>} */ (words.sources)[source.kind] ?? source.kind;
  return [kind, source.reference].filter(Boolean).join(" · ");
}

/**
 * Why there is no value, in a sentence.
 *
 * @param {Catalog} catalog
 * @param {Outcome} outcome
 * @param {Inputs} [inputs] of the formula that was worked out
 * @returns {string}
 */
export function absenceText(catalog, outcome, inputs = {}) {
  if (outcome.missing) return words.numbers.needs(listText(outcome.missing.map((name) => titleOf(catalog, name, inputs))));
  if (outcome.outside) {
    return outcome.outside.map((one) => outsideText(catalog, one, inputs)).join(" ");
  }
  return outcome.impossible ? words.numbers.impossible : "";
}

/** @param {Catalog} catalog @param {import("../../core/types.js").OutOfRange} one @param {Inputs} inputs */
function outsideText(catalog, { name, value, from, to }, inputs) {
  const input = inputs[name] ?? catalog.tables[name]?.key ?? inputNamed(catalog, name);
  const unit = input?.unit ?? catalog.facts[name]?.unit ?? catalog.readings[name]?.unit ?? "1";
  const say = /** @param {number | null} si */ (si) => (si === null ? null : amountText(catalog, unit, si).text);
  return words.numbers.outside(input?.label ?? titleOf(catalog, name), say(value) ?? "", say(from), say(to));
}

/** An input of whichever formula has one of this name. @param {Catalog} catalog @param {string} name */
function inputNamed(catalog, name) {
  return Object.values(catalog.formulas).find((formula) => formula.inputs[name])?.inputs[name];
}

/** @param {Catalog} catalog @param {string} name the words for a fact, reading, figure or input @param {Inputs} [inputs] */
export function titleOf(catalog, name, inputs = {}) {
  return catalog.facts[name]?.title ?? catalog.readings[name]?.label ?? formulaOf(catalog, name)?.result.label ?? inputs[name]?.label ?? name;
}

/**
 * A text with its `{places}` filled: plain strings and, in between, what stood in a place.
 *
 * @param {Knowledge} knowledge
 * @param {string} text
 * @param {string} item words for `{item}`
 * @returns {(string | { name: string, text: string })[]}
 */
export function fillPlaces(knowledge, text, item) {
  return text.split(/(\{\w+\})/).filter(Boolean).map((piece) => {
    const name = /^\{(\w+)\}$/.exec(piece)?.[1];
    if (!name) return piece;
    if (name === "item") return { name, text: item };
    const known = lookUp(knowledge, name);
    return { name, text: known.text || words.numbers.unknown };
  });
}

/** @param {Knowledge} knowledge @param {string} text @param {string} item */
export function filledText(knowledge, text, item) {
  return fillPlaces(knowledge, text, item).map((piece) => (typeof piece === "string" ? piece : piece.text)).join("");
}

/**
 * The words for one item of a list: "front left", "6".
 *
 * @param {Catalog} catalog
 * @param {string | null} each the list fact
 * @param {string | null} item
 */
export function itemText(catalog, each, item) {
  if (item === null) return "";
  return (each ? catalog.facts[each]?.options?.[item] : undefined) ?? item.replaceAll("-", " ");
}

/** What a step is called. @param {Open} open @param {Instance} instance */
export function stepTitle(open, instance) {
  const step = stepOf(open.catalog, instance);
  return filledText(knowledgeOf(open), step.title, itemText(open.catalog, step.each, instance.item));
}

/** What a step is called among others: with its item, where the title itself does not name it. @param {Open} open @param {Instance} instance */
export function stepTitleWithItem(open, instance) {
  const { each, title } = stepOf(open.catalog, instance);
  const item = itemText(open.catalog, each, instance.item);
  return item && !title.includes("{item}") ? `${stepTitle(open, instance)} (${item})` : stepTitle(open, instance);
}

/** @param {import("../../app/types.js").Open} open @returns {Knowledge} */
export function knowledgeOf(open) {
  return { catalog: open.catalog, carFacts: open.carFacts, settings: open.settings, values: open.visit.values, readings: open.visit.readings };
}

/**
 * An amount of the specs as a number, in SI; null where it is not known.
 *
 * @param {Knowledge} knowledge
 * @param {import("../../core/types.js").Amount | null | undefined} amount
 * @returns {number | null}
 */
export function amountValue(knowledge, amount) {
  if (!amount) return null;
  const value = "name" in amount ? lookUp(knowledge, amount.name).outcome.value : amount.value;
  return typeof value === "number" ? value : null;
}

/**
 * How something on the car stands, in words.
 *
 * @param {Catalog} catalog
 * @param {string} base the variable, or its family
 * @param {string} value
 */
export function stateText(catalog, base, value) {
  const said = /** @type {Record<string, string>} */ (words.values)[value];
  return catalog.variables[base]?.labels[value] ?? said ?? value.replaceAll("-", " ");
}

/**
 * What a variable is called on this car: "Wheel front left".
 *
 * @param {Catalog} catalog
 * @param {string} id
 */
export function variableText(catalog, id) {
  const [base = "", item = null] = id.split("@");
  const variable = catalog.variables[base];
  return [variable?.title ?? base, itemText(catalog, variable?.each ?? null, item)].filter(Boolean).join(" ");
}
