/** One setting of the visit, made from its fact: a choice, a yes or no, or a number with its unit and range. */

/** @import { Catalog, Fact, Value } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { readAmount } from "../../core/amounts.js";
import { isWithin } from "../../core/evaluate.js";
import { formatNumber, fromSI, quantityText, unitOf } from "../../core/units.js";
import { wantedSystem, wantedUnit } from "../texts/unit-amount.js";

/**
 * @param {Catalog} catalog
 * @param {string} name
 * @param {Value | null | undefined} value
 * @param {(value: Value) => void} onChange
 */
export function SettingField(catalog, name, value, onChange) {
  const fact = /** @type {Fact} */ (catalog.facts[name]);
  if (fact.kind === "quantity") return QuantitySetting(catalog, name, fact, value, onChange);
  const options = fact.kind === "yes-no" ? { yes: words.yesNo(true), no: words.yesNo(false) } : (fact.options ?? {});
  const chosen = typeof value === "boolean" ? (value ? "yes" : "no") : value;
  const choices = Object.entries(options).map(([id, label]) => {
    const pick = () => onChange(fact.kind === "yes-no" ? id === "yes" : id);
    const input = element("input", { type: "radio", name, value: id, checked: id === chosen, onchange: pick });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label));
  });
  return element(
    "fieldset",
    { class: "field setting" },
    element("legend", {}, fact.title),
    fact.where && element("p", { class: "said" }, fact.where),
    element("div", { class: "choices", "data-long": Object.values(options).some((label) => label.length > 12) }, ...choices),
  );
}

/** @param {Catalog} catalog @param {string} name @param {Fact} fact @param {Value | null | undefined} value @param {(value: Value) => void} onChange */
function QuantitySetting(catalog, name, fact, value, onChange) {
  const key = wantedUnit(catalog, fact.unit ?? "1");
  const unit = unitOf(catalog, key);
  const id = `setting-${name}`;
  const shown = typeof value === "number" ? formatNumber(fromSI(unit, value), unit.decimals) : "";
  const input = element("input", { id, type: "text", inputmode: "text", autocomplete: "off", value: shown, onchange: read, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, fact.where);
  const root = element(
    "div",
    { class: "field setting" },
    element("label", { for: id }, fact.title),
    element("div", { class: "with-unit" }, input, element("span", { "aria-hidden": "true" }, unit.symbol)),
    said,
  );

  function read() {
    const understood = readAmount(catalog, key, input.value, wantedSystem());
    const isGood = "value" in understood && isWithin(understood.value, fact.from, fact.to);
    root.toggleAttribute("data-wrong", !isGood);
    said.textContent = isGood ? fact.where : rangeWords(catalog, key, fact);
    if (isGood) onChange(understood.value);
  }
  return root;
}

/** @param {Catalog} catalog @param {string} key @param {Fact} fact */
function rangeWords(catalog, key, { from, to }) {
  const say = /** @param {number | null} si */ (si) => (si === null ? "" : quantityText(catalog, key, si).text);
  return words.quantity.between(say(from), say(to));
}
