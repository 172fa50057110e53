/** One setting of the visit, made from its fact: a choice, a yes or no, or a number with its unit and range. */

/** @import { Catalog, Fact, Value } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { optionsOf } from "../../core/options.js";
import { AmountField } from "./amount-field.js";

/**
 * @param {Catalog} catalog
 * @param {string} name
 * @param {Value | null | undefined} value
 * @param {(value: Value) => void} onChange
 */
export function SettingField(catalog, name, value, onChange) {
  const fact = /** @type {Fact} */ (catalog.facts[name]);
  if (fact.kind === "quantity") return QuantitySetting(catalog, name, fact, value, onChange);
  /** @type {[id: string, label: string][]} */
  const options = fact.kind === "yes-no" ? [["yes", words.yesNo(true)], ["no", words.yesNo(false)]] : optionsOf(fact);
  const chosen = typeof value === "boolean" ? (value ? "yes" : "no") : value;
  const choices = options.map(([id, label]) => {
    const pick = () => onChange(fact.kind === "yes-no" ? id === "yes" : id);
    const input = element("input", { type: "radio", name, value: id, checked: id === chosen, onchange: pick });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label));
  });
  return element(
    "fieldset",
    { class: "field setting" },
    element("legend", {}, fact.title),
    fact.where && element("p", { class: "said" }, fact.where),
    element("div", { class: "choices", "data-long": options.some(([, label]) => label.length > 12) }, ...choices),
  );
}

/** @param {Catalog} catalog @param {string} name @param {Fact} fact @param {Value | null | undefined} value @param {(value: Value) => void} onChange */
function QuantitySetting(catalog, name, fact, value, onChange) {
  const wanted = { id: `setting-${name}`, label: fact.title, unit: fact.unit ?? "1", from: fact.from, to: fact.to, where: fact.where };
  const field = AmountField(catalog, wanted, typeof value === "number" ? { value } : null, () => {
    const read = field.read();
    if (read && read !== "wrong") onChange(read.value);
  });
  field.root.classList.add("setting");
  return field.root;
}
