/** The answer to one question, in the way its kind asks for: keys for a number, large choices, a line of text, a list. */

/** @import { Catalog, Fact, Value } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { carWords } from "../../app/words/car.js";
import { optionsOf } from "../../core/options.js";
import { unitOf } from "../../core/units.js";
import { keepUnit, lastUnit } from "./memory.js";
import { Button } from "../controls/press.js";
import { QuantityField } from "../controls/quantity-field.js";
import { wantedUnit } from "../texts/unit-amount.js";

/** @typedef {{ value: Value, typed?: string, unit?: string }} Answer */
/** @typedef {{ root: HTMLElement, foot: HTMLElement | null, focus: () => void }} ValueField foot: what belongs in reach of the thumb */

/** Units further apart than this are for other things: a drain time is not asked for in months. */
const KINDRED = 30;

/**
 * @param {Catalog} catalog
 * @param {string} name
 * @param {object} with_
 * @param {Answer | null} with_.known what stands there now
 * @param {{ text: string, keep: (text: string) => void }} [with_.begun] a number half typed
 * @param {(answer: Answer) => void} with_.onAnswer
 * @returns {ValueField}
 */
export function FactValue(catalog, name, { known, begun, onAnswer }) {
  const fact = /** @type {Fact} */ (catalog.facts[name]);
  if (fact.kind === "quantity") return NumberValue(catalog, fact, { known, begun, onAnswer });
  if (fact.kind === "text") return TextValue(carWords.sheet.text, typeof known?.value === "string" ? known.value : "", (text) => onAnswer({ value: text }));
  const items = Array.isArray(known?.value) ? known.value : [];
  if (fact.kind === "list" && fact.options) return OrderValue(catalog, name, fact, items, onAnswer);
  if (fact.kind === "list") return ListValue(catalog, items, onAnswer);
  return ChoiceValue(fact, known?.value ?? null, onAnswer);
}

/** @param {Catalog} catalog @param {Fact} fact @param {Parameters<typeof FactValue>[2]} with_ @returns {ValueField} */
function NumberValue(catalog, fact, { known, begun, onAnswer }) {
  const key = fact.unit ?? "1";
  const { measure } = unitOf(catalog, key);
  const wanted = { label: fact.title, unit: key, from: fact.from, to: fact.to };
  const start = { unit: known?.unit ?? startUnit(catalog, key, measure), typed: known?.typed ?? begun?.text ?? "", keeps: carWords.sheet.goesOn };
  const field = QuantityField(catalog, wanted, { onKeep, onType: begun?.keep }, start);
  return { root: field.root, foot: field.pad, focus: field.focus };

  /** @param {import("../controls/quantity-field.js").Typed} typed */
  function onKeep(typed) {
    keepUnit(measure, typed.unit);
    onAnswer(typed);
  }
}

/** What was typed last of this kind, out of the same book most likely. @param {Catalog} catalog @param {string} key @param {string} measure */
function startUnit(catalog, key, measure) {
  const last = lastUnit(measure);
  const unit = last ? catalog.units[last] : undefined;
  const apart = unit ? Math.abs(Math.log(unit.factor / unitOf(catalog, key).factor)) : Infinity;
  return last && unit?.measure === measure && apart < Math.log(KINDRED) ? last : wantedUnit(catalog, key);
}

/** One tap answers it. @param {Fact} fact @param {Value | null} known @param {(answer: Answer) => void} onAnswer @returns {ValueField} */
function ChoiceValue(fact, known, onAnswer) {
  /** @type {[id: string, label: string][]} */
  const options = fact.kind === "yes-no" ? [["true", words.yesNo(true)], ["false", words.yesNo(false)]] : optionsOf(fact);
  const buttons = options.map(([id, label]) => {
    const mark = element("span", { class: "mark-box", "aria-hidden": "true" });
    const button = Button({ class: "choice" }, () => onAnswer({ value: fact.kind === "yes-no" ? id === "true" : id }), mark, element("span", {}, label));
    button.setAttribute("aria-pressed", String(String(known) === id));
    button.dataset.value = id;
    return button;
  });
  return { root: element("div", { class: "choices" }, ...buttons), foot: null, focus: () => {} };
}

/** @param {string} says @param {string} known @param {(text: string) => void} onText @returns {ValueField} */
function TextValue(says, known, onText) {
  const go = () => input.value.trim() && onText(input.value.trim());
  const onkeydown = /** @param {KeyboardEvent} event */ (event) => event.key === "Enter" && go();
  const oninput = () => next.setAttribute("aria-disabled", String(!input.value.trim()));
  const input = element("input", { id: "fact-text", type: "text", autocomplete: "off", dir: "auto", value: known, enterkeyhint: "next", oninput, onkeydown });
  const next = Button({ class: "action" }, go, carWords.sheet.goesOn);
  oninput();
  const root = element("div", { class: "field" }, element("label", { for: "fact-text" }, says), input);
  return { root, foot: next, focus: () => input.focus() };
}

/** Items written one after the other; where they are screws that no picture numbers, an order is offered. @param {Catalog} catalog @param {string[]} items @param {(answer: Answer) => void} onAnswer @returns {ValueField} */
function ListValue(catalog, items, onAnswer) {
  const field = TextValue(carWords.sheet.list, items.join(", "), (text) => onAnswer({ value: readList(text) }));
  const open = async () => (await import("../numbers/screw-order.js")).openScrewOrder(catalog, { onTake: (order) => onAnswer({ value: order }) });
  field.root.append(Button({ class: "plain" }, open, carWords.sheet.drawn));
  return field;
}

/**
 * Items in their order: a tap adds one at the end. Steps that go through a list name each once, so there a second tap
 * takes it out; positions of a lever may come again.
 *
 * @param {Catalog} catalog @param {string} name @param {Fact} fact @param {string[]} known @param {(answer: Answer) => void} onAnswer
 * @returns {ValueField}
 */
function OrderValue(catalog, name, fact, known, onAnswer) {
  const mayRepeat = catalog.steps.some(({ positions }) => positions === name);
  let order = known.length > 0 || !Array.isArray(fact.default) ? known : fact.default;
  const marks = new Map(optionsOf(fact).map(([id]) => [id, element("span", { class: "order-mark" })]));
  const buttons = optionsOf(fact).map(([id, label]) => Button({ class: "choice" }, () => tap(id), marks.get(id), element("span", {}, label)));
  const again = Button({ class: "plain" }, () => show([]), carWords.sheet.again);
  const next = Button({ class: "action" }, () => onAnswer({ value: order }), carWords.sheet.goesOn);
  const root = element("div", { class: "choices order" }, element("p", { class: "quiet" }, carWords.sheet.order), ...buttons, again);

  /** @param {string} id */
  function tap(id) {
    show(!mayRepeat && order.includes(id) ? order.filter((one) => one !== id) : [...order, id]);
  }

  /** @param {string[]} wanted */
  function show(wanted) {
    order = wanted;
    for (const [id, mark] of marks) mark.textContent = order.flatMap((one, at) => (one === id ? [at + 1] : [])).join(" ");
    buttons.forEach((button, at) => button.setAttribute("aria-pressed", String(order.includes([...marks.keys()][at] ?? ""))));
    next.setAttribute("aria-disabled", String(order.length === 0));
  }
  show(order);
  return { root, foot: next, focus: () => {} };
}

/** "1-4, drain" is 1, 2, 3, 4, drain. @param {string} text @returns {string[]} */
export function readList(text) {
  const items = text.split(/[,;\n]/).map((item) => item.trim()).filter(Boolean);
  return items.flatMap((item) => {
    const [, from = "", to = ""] = /^(\d{1,3})\s*[-–…]\s*(\d{1,3})$/.exec(item) ?? [];
    const count = from === "" ? -1 : Number(to) - Number(from);
    return count >= 0 && count < 100 ? Array.from({ length: count + 1 }, (_, at) => String(Number(from) + at)) : [item];
  });
}
