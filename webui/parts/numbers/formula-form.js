/**
 * A formula to be filled in: what is known stands in it already, what is not is asked, and the answer is there as soon as
 * it can be. Every answer opens.
 */

/** @import { Catalog, Input, Value } from "../../core/types.js" */
/** @import { Given, Worked } from "./worked.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { AmountField } from "../controls/amount-field.js";
import { Button } from "../controls/press.js";
import { typedGiven, workOut } from "./worked.js";

/**
 * @typedef {object} FormMore
 * @property {string[]} [order] in which the inputs are asked for
 * @property {Record<string, Record<string, string>>} [options] the answers of an input that is a choice
 * @property {Record<string, number>} [starts] what stands in a field at first, SI
 * @property {Record<string, string>} [hints] where to find it
 * @property {(worked: Worked) => (Worked | null)[]} [results] what is shown of it, and what follows from it; itself where left out
 * @property {string[]} [labels] of the results, where the formulas' own would not tell them apart
 * @property {(results: (Worked | null)[]) => void} [onWorked]
 */

/**
 * @param {Catalog} catalog
 * @param {string} id of the formula
 * @param {Record<string, Given>} known what stands already; whatever has no value is asked
 * @param {FormMore} [more]
 * @returns {HTMLElement | null} null where this catalog has no such formula
 */
export function FormulaForm(catalog, id, known, { order = [], options = {}, starts = {}, hints = {}, results = (worked) => [worked], labels = [], onWorked } = {}) {
  const formula = catalog.formulas[id];
  if (!formula) return null;
  const place = /** @param {string} name */ (name) => (order.includes(name) ? order.indexOf(name) : order.length);
  const asked = Object.entries(formula.inputs)
    .filter(([name, { optional }]) => !optional && (known[name]?.value ?? null) === null)
    .sort(([one], [other]) => place(one) - place(other));
  /** @type {Record<string, Given>} */
  const typed = Object.fromEntries(Object.entries(starts).map(([name, value]) => [name, typedGiven(value)]));
  const answers = element("div", { class: "number-lines", "aria-live": "polite" });
  const fields = asked.map(([name, input]) => InputField(name, input));
  show();
  return element("div", { class: "formula-form" }, ...fields, answers);

  /** @param {string} name @param {Input} input */
  function InputField(name, input) {
    const choices = options[name];
    if (choices) return ChoiceField(input.label, choices, (value) => keep(name, value));
    if (input.kind === "yes-no") return ChoiceField(input.label, { yes: words.yesNo(true), no: words.yesNo(false) }, (value) => keep(name, value === "yes"));
    return AskedAmount(catalog, { ...input, where: hints[name] }, starts[name] ?? null, (value) => keep(name, value));
  }

  /** @param {string} name @param {Value | null} value */
  function keep(name, value) {
    typed[name] = typedGiven(value);
    show();
  }

  function show() {
    const worked = /** @type {Worked} */ (workOut(catalog, id, { ...known, ...typed }));
    const isWaiting = asked.some(([name]) => (typed[name]?.value ?? null) === null);
    const shown = isWaiting ? [] : results(worked);
    answers.hidden = shown.length === 0;
    answers.replaceChildren(...shown.flatMap((one, at) => (one ? [WorkedLine(one, labels[at])] : [])));
    onWorked?.(shown);
  }
}

let count = 0;

/**
 * An amount that is heard of at every key, so that what follows from it stands there while it is typed.
 *
 * @param {Catalog} catalog
 * @param {{ label: string, unit: string | null, from: number | null, to: number | null, where?: string }} wanted
 * @param {number | null} start SI
 * @param {(value: number | null) => void} onChange SI; null while it is no number that can be
 */
export function AskedAmount(catalog, { label, unit, from, to, where }, start, onChange) {
  const id = `asked-${(count += 1)}`;
  const field = AmountField(catalog, { id, label, unit: unit ?? "1", from, to, where }, start === null ? null : { value: start }, tell);
  field.input.addEventListener("input", tell);
  return field.root;

  function tell() {
    const read = field.read();
    onChange(read && read !== "wrong" ? read.value : null);
  }
}

/** @param {string} label @param {Record<string, string>} choices @param {(value: string) => void} onChange */
function ChoiceField(label, choices, onChange) {
  const name = `choice-${label}`;
  const fields = Object.entries(choices).map(([id, text]) =>
    element("label", { class: "choice" }, element("input", { type: "radio", name, value: id, onchange: () => onChange(id) }), element("span", { class: "mark-box" }), element("span", {}, text)),
  );
  return element("fieldset", { class: "field setting" }, element("legend", {}, label), element("div", { class: "choices", "data-long": true }, ...fields));
}

/**
 * A number as one line that opens; a sentence where there is none.
 *
 * @param {Worked} worked
 * @param {string} [label] where the formula's own would not tell it apart
 */
export function WorkedLine(worked, label = worked.label) {
  const open = async () => (await import("./number-sheet.js")).openWorkedSheet(worked);
  const isSentence = worked.holds !== null || !worked.text;
  return Button(
    { class: "number-line" },
    open,
    element("span", {}, label),
    isSentence ? null : element("b", {}, worked.text),
    isSentence ? element("span", { class: "says-it", "data-holds": String(worked.holds) }, worked.text || worked.absence) : worked.other && element("span", { class: "quiet" }, worked.other),
  );
}
