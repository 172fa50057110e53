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
 * @param {string} [whose] whose word the value is, until another is given
 */
export function SettingField(catalog, name, value, onChange, whose = "") {
  const fact = /** @type {Fact} */ (catalog.facts[name]);
  const note = element("p", { class: "said whose", id: `setting-${name}-whose`, hidden: whose === "" }, whose);
  const tell = /** @param {Value} given */ (given) => {
    note.hidden = true;
    onChange(given);
  };
  if (fact.kind === "quantity") return QuantitySetting(catalog, name, fact, value, tell, note);
  /** @type {[id: string, label: string][]} */
  const options = fact.kind === "yes-no" ? [["yes", words.yesNo(true)], ["no", words.yesNo(false)]] : optionsOf(fact);
  const chosen = typeof value === "boolean" ? (value ? "yes" : "no") : value;
  const choices = options.map(([id, label]) => {
    const pick = () => tell(fact.kind === "yes-no" ? id === "yes" : id);
    const input = element("input", { type: "radio", name, value: id, checked: id === chosen, onchange: pick });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label));
  });
  return element(
    "fieldset",
    { class: "field setting", "aria-describedby": note.id },
    element("legend", {}, fact.title),
    fact.where && element("p", { class: "said" }, fact.where),
    element("div", { class: "choices", "data-long": options.some(([, label]) => label.length > 12) }, ...choices),
    note,
  );
}

/** @param {Catalog} catalog @param {string} name @param {Fact} fact @param {Value | null | undefined} value @param {(value: Value) => void} onChange @param {HTMLElement} note */
function QuantitySetting(catalog, name, fact, value, onChange, note) {
  const wanted = { id: `setting-${name}`, label: fact.title, unit: fact.unit ?? "1", from: fact.from, to: fact.to, where: fact.where };
  let last = value;
  const field = AmountField(catalog, wanted, typeof value === "number" ? { value } : null, () => {
    const read = field.read();
    if (read === "wrong") return;
    // Emptied and left, it says again what it said: a blank field would look as if nothing held.
    if (read === null) field.input.value = first;
    else if (read.value !== last) onChange((last = read.value));
  });
  const first = field.input.value;
  field.root.classList.add("setting");
  field.root.append(note);
  field.input.setAttribute("aria-describedby", `${wanted.id}-said ${note.id}`);
  return field.root;
}
