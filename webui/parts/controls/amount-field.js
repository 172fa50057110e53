/** An amount typed in one line: its own unit stands behind it, and another one may be written after the number. */

/** @import { Catalog } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { readAmount } from "../../core/amounts.js";
import { isWithin } from "../../core/evaluate.js";
import { formatNumber, fromSI, unitOf } from "../../core/units.js";
import { amountText, wantedSystem, wantedUnit } from "../texts/unit-amount.js";
import { WhichOfTwo } from "./which-of-two.js";

/** @import { Amount } from "../../core/amounts.js" */

/** @typedef {{ id: string, label: string, unit: string, from: number | null, to: number | null, where?: string, isWhole?: boolean }} Wanted unit: its key; the range in SI; isWhole: the instrument shows no decimals, so that "84.210" can only be thousands */
/** @typedef {{ value: number, typed: string, unit: string }} Typed value in SI */

/**
 * @param {Catalog} catalog
 * @param {Wanted} wanted
 * @param {{ value: number, unit?: string } | null} known
 * @param {() => void} [onChange]
 */
export function AmountField(catalog, { id, label, unit: key, from, to, where = "", isWhole = false }, known, onChange = () => {}) {
  const first = known?.unit && catalog.units[known.unit] ? known.unit : wantedUnit(catalog, key, known?.value);
  const unit = unitOf(catalog, first);
  const shown = known ? formatNumber(fromSI(unit, known.value), isWhole ? 0 : 6) : "";
  /** @type {ReturnType<typeof WhichOfTwo<Amount>>} */
  const which = WhichOfTwo(show);
  const input = element("input", { id, type: "text", inputmode: "text", autocomplete: "off", value: shown, oninput: look, onchange: show, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, where);
  const root = element("div", { class: "field" }, element("label", { for: id }, label), element("div", { class: "with-unit" }, input, element("span", { "aria-hidden": "true" }, unit.symbol)), said, which.root);

  /** @returns {Typed | null | "wrong"} null where nothing is typed */
  function read() {
    // What stands there untouched is what it was, however it is written.
    const untouched = known && input.value === shown ? { value: known.value, typed: shown, unit: first } : null;
    const read = readAmount(catalog, first, input.value, wantedSystem());
    const meanings = untouched ? [] : "either" in read ? read.either.filter(isPossible) : "value" in read ? [read] : [];
    const meant = which.settle(input.value, meanings.filter(({ value }) => isWithin(value, from, to)));
    if (untouched) return untouched;
    if ("empty" in read) return null;
    return meant ? { value: meant.value, typed: meant.typed, unit: meant.unit } : "wrong";
  }

  /** @param {Amount} amount */
  function isPossible({ value, unit: key }) {
    return !isWhole || Number.isInteger(fromSI(unitOf(catalog, key), value));
  }

  /** The question stands as soon as its buttons do: were it to come when the field is left, they would move from under the finger. */
  function look() {
    const isWrong = read() === "wrong";
    if (which.isAsking() || root.hasAttribute("data-wrong")) mark(isWrong);
  }

  function show() {
    const isWrong = read() === "wrong";
    mark(isWrong);
    if (!isWrong) onChange();
  }

  /** @param {boolean} isWrong */
  function mark(isWrong) {
    root.toggleAttribute("data-wrong", isWrong);
    said.textContent = which.isAsking() ? words.quantity.either : isWrong ? rangeText() : where;
  }

  function rangeText() {
    if (from === null || to === null) return words.quantity.notANumber;
    return words.quantity.between(amountText(catalog, key, from).text, amountText(catalog, key, to).text);
  }

  return { root, read, show, input };
}
