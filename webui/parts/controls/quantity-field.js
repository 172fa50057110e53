/**
 * A number typed with a glove: a large display, what was understood under it, and keys of our own.
 *
 * Our own keys because the phone's decimal pad shows only the region's separator, on some phones has no minus, and
 * covers the step; a real keyboard still types into the field.
 */

/** @import { Amount } from "../../core/amounts.js" */
/** @import { Catalog } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { readAmount } from "../../core/amounts.js";
import { isWithin } from "../../core/evaluate.js";
import { quantityText, unitOf } from "../../core/units.js";
import { Button } from "./press.js";
import { amountText, wantedSystem, wantedUnit } from "../texts/unit-amount.js";
import { UnitPicker } from "./unit-picker.js";
import { WhichOfTwo } from "./which-of-two.js";

/**
 * @typedef {object} Wanted
 * @property {string} label
 * @property {string} unit
 * @property {number | null} from SI
 * @property {number | null} to SI
 */

/** More signs than this fit beside the unit only when they are smaller: a pasted "18 lb-ft". */
const LONG = 5;

/** @typedef {{ value: number, typed: string, unit: string }} Typed unit: the one it was written in, which may be another of the same kind */

/**
 * @param {Catalog} catalog
 * @param {Wanted} wanted
 * @param {{ onKeep: (typed: Typed) => unknown, onType?: (typed: string) => unknown }} actions onType: what stands there, at every sign
 * @param {{ unit?: string, typed?: string, keeps?: string }} [start] what stands there at first; keeps: what the large key says
 */
export function QuantityField(catalog, wanted, { onKeep, onType = () => {} }, start = {}) {
  /** @type {ReturnType<typeof WhichOfTwo<Amount>>} */
  const which = WhichOfTwo(() => show());
  const picker = UnitPicker(catalog, start.unit ?? wantedUnit(catalog, wanted.unit), () => show());
  const input = element("input", {
    type: "text",
    inputmode: "none",
    autocomplete: "off",
    enterkeyhint: "done",
    id: "quantity",
    value: start.typed ?? "",
    "aria-describedby": "quantity-range quantity-echo",
    oninput: () => typed(),
    onkeydown: /** @param {KeyboardEvent} event */ (event) => event.key === "Enter" && keep(),
  });
  const said = element("p", { class: "echo", id: "quantity-echo", role: "status" });
  const range = element("p", { class: "quiet", id: "quantity-range" });
  const root = element("div", { class: "quantity" }, element("label", { for: "quantity" }, wanted.label), element("div", { class: "display" }, input, picker.root), said, which.root, range);
  const keepLabel = element("span", {});
  const keepKey = Button({ class: "action keep" }, () => keep(), keepLabel);
  const pad = Pad(input, typed, wanted.from === null || wanted.from < unitOf(catalog, wanted.unit).offset, keepKey);

  /** @returns {Amount | { why: string, unit?: string }} unit: the one that was written, where it is known */
  function understand() {
    const read = readAmount(catalog, picker.unit(), input.value, wantedSystem());
    const both = "either" in read ? read.either : "value" in read ? [read] : [];
    const meant = which.settle(`${input.value} ${picker.unit()}`, both.filter(({ value }) => isWithin(value, wanted.from, wanted.to)));
    if (meant) return meant;
    if ("empty" in read) return { why: "" };
    if ("wrong" in read) return { why: words.quantity.notANumber };
    if ("foreign" in read) return { why: read.isUnit ? words.quantity.otherKind(read.foreign) : words.quantity.noUnit(read.foreign) };
    return which.isAsking() ? { why: words.quantity.either } : { why: words.quantity.outside(both.map(({ text }) => text).join(" / ")), unit: both[0]?.unit };
  }

  function show() {
    const read = understand();
    const isGood = "value" in read;
    if (read.unit) picker.show(read.unit);
    said.textContent = isGood ? [read.text, otherOf(read)].filter(Boolean).join(" · ") : read.why;
    root.toggleAttribute("data-wrong", !isGood && read.why !== "");
    root.toggleAttribute("data-long", input.value.length > LONG);
    range.textContent = rangeWords(catalog, picker.unit(), wanted);
    keepKey.setAttribute("aria-disabled", String(!isGood));
    keepLabel.textContent = isGood ? (start.keeps ?? words.quantity.keep(read.text)) : (start.keeps ?? words.quantity.keepEmpty);
  }

  function typed() {
    show();
    onType(input.value);
  }

  /** The same in the unit that is wanted here, or beside that in the other one. @param {Amount} read */
  function otherOf({ unit, value }) {
    const { text, other } = amountText(catalog, unit, value);
    return wantedUnit(catalog, unit, value) === unit ? other : text;
  }

  function keep() {
    const read = understand();
    if ("value" in read) return onKeep({ value: read.value, typed: read.typed, unit: read.unit });
    return undefined;
  }

  show();
  return { root, pad: pad.root, focus: () => input.focus({ preventScroll: true }) };
}

/** In the unit that is being typed. @param {Catalog} catalog @param {string} unit @param {Wanted} wanted */
function rangeWords(catalog, unit, { from, to }) {
  if (from === null || to === null) return "";
  return words.quantity.between(quantityText(catalog, unit, from).text, quantityText(catalog, unit, to).text);
}

/**
 * @param {HTMLInputElement} input
 * @param {() => void} onChange
 * @param {boolean} hasMinus
 * @param {HTMLElement} keepKey
 */
function Pad(input, onChange, hasMinus, keepKey) {
  const separator = (1.5).toLocaleString().includes(",") ? "," : ".";
  const digits = ["7", "8", "9", "4", "5", "6", "1", "2", "3"].map((digit) => Key(digit, () => append(digit)));
  const back = Key("⌫", () => (input.value = input.value.slice(0, -1)), { class: hasMinus ? "key" : "key tall", label: words.quantity.backspace });
  const root = element(
    "div",
    { class: "pad", role: "group", "aria-label": words.quantity.keys },
    ...digits.slice(0, 3),
    back,
    ...digits.slice(3, 6),
    hasMinus && Key("±", flip, { class: "key", label: words.quantity.sign }),
    ...digits.slice(6),
    Key("0", () => append("0"), { class: "key wide" }),
    Key(separator, () => append(separator), { class: "key", label: words.quantity.separator }),
    keepKey,
  );

  /** @param {string} text @param {() => unknown} action @param {{ class: string, label?: string }} [look] */
  function Key(text, action, look = { class: "key" }) {
    const press = () => {
      action();
      onChange();
    };
    return Button(look, press, text);
  }

  /** @param {string} text */
  function append(text) {
    if (text !== separator || !/[.,]/.test(input.value)) input.value += text;
  }

  function flip() {
    input.value = input.value.startsWith("-") ? input.value.slice(1) : `-${input.value}`;
  }
  return { root };
}
