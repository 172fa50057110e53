/** An amount typed in one line: its own unit stands behind it, and another one may be written after the number. */

/** @import { Catalog } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { readAmount } from "../../core/amounts.js";
import { isWithin } from "../../core/evaluate.js";
import { formatNumber, fromSI, unitOf } from "../../core/units.js";
import { amountText, wantedSystem, wantedUnit } from "../texts/unit-amount.js";

/** @typedef {{ id: string, label: string, unit: string, from: number | null, to: number | null, where?: string }} Wanted unit: its key; the range in SI */
/** @typedef {{ value: number, typed: string, unit: string }} Typed value in SI */

/**
 * @param {Catalog} catalog
 * @param {Wanted} wanted
 * @param {{ value: number, unit?: string } | null} known
 * @param {() => void} [onChange]
 */
export function AmountField(catalog, { id, label, unit: key, from, to, where = "" }, known, onChange = () => {}) {
  const first = known?.unit && catalog.units[known.unit] ? known.unit : wantedUnit(catalog, key, known?.value);
  const unit = unitOf(catalog, first);
  const shown = known ? formatNumber(fromSI(unit, known.value), 6) : "";
  const input = element("input", { id, type: "text", inputmode: "text", autocomplete: "off", value: shown, onchange: show, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, where);
  const root = element("div", { class: "field" }, element("label", { for: id }, label), element("div", { class: "with-unit" }, input, element("span", { "aria-hidden": "true" }, unit.symbol)), said);

  /** @returns {Typed | null | "wrong"} null where nothing is typed */
  function read() {
    const read = readAmount(catalog, first, input.value, wantedSystem());
    if ("empty" in read) return null;
    const meant = "either" in read ? read.either.find(({ value }) => isWithin(value, from, to)) : read;
    if (!meant || !("value" in meant) || !isWithin(meant.value, from, to)) return "wrong";
    return { value: meant.value, typed: meant.typed, unit: meant.unit };
  }

  function show() {
    const isWrong = read() === "wrong";
    root.toggleAttribute("data-wrong", isWrong);
    said.textContent = isWrong ? rangeText() : where;
    if (!isWrong) onChange();
  }

  function rangeText() {
    if (from === null || to === null) return words.quantity.notANumber;
    return words.quantity.between(amountText(catalog, key, from).text, amountText(catalog, key, to).text);
  }

  return { root, read, show, input };
}
