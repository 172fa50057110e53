/**
 * A number typed with a glove: a large display, what was understood under it, and keys of our own.
 *
 * Our own keys because the phone's decimal pad shows only the region's separator, on some phones has no minus, and
 * covers the step; a real keyboard still types into the field.
 */

/** @import { Catalog } from "../core/types.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { quantityText, readNumber, toSI, unitOf } from "../core/units.js";
import { otherText } from "./reading-words.js";
import { Button } from "./press.js";

/**
 * @typedef {object} Wanted
 * @property {string} label
 * @property {string} unit
 * @property {number | null} from SI
 * @property {number | null} to SI
 */

/** @typedef {{ value: number, typed: string, unit: string }} Typed */

/**
 * @param {Catalog} catalog
 * @param {Wanted} wanted
 * @param {{ onKeep: (typed: Typed) => unknown, onLeave?: () => void }} actions
 */
export function QuantityField(catalog, wanted, { onKeep, onLeave }) {
  const unit = unitOf(catalog, wanted.unit);
  /** @type {number | null} which of two meanings was chosen */
  let chosen = null;
  const input = element("input", {
    type: "text",
    inputmode: "none",
    autocomplete: "off",
    enterkeyhint: "done",
    id: "quantity",
    "aria-describedby": "quantity-range quantity-echo",
    oninput: () => changed(),
    onkeydown: /** @param {KeyboardEvent} event */ (event) => event.key === "Enter" && keep(),
  });
  const echo = element("p", { class: "echo", id: "quantity-echo", role: "status" });
  const either = element("div", { class: "row", hidden: true });
  const range = element("p", { class: "quiet", id: "quantity-range" }, rangeWords(catalog, wanted));
  const root = element(
    "div",
    { class: "quantity" },
    element("label", { for: "quantity" }, wanted.label),
    element("div", { class: "display" }, input, element("span", { "aria-hidden": "true" }, unit.symbol)),
    echo,
    either,
    range,
  );
  const keepLabel = element("span", {});
  const keepKey = Button({ class: "action keep" }, () => keep(), keepLabel);
  const pad = Pad(input, () => changed(), wanted.from === null || wanted.from < toSI(unit, 0), keepKey, onLeave);

  /** @returns {{ value: number } | { why: string, either?: [number, number] }} */
  function understand() {
    const read = readNumber(input.value);
    if ("empty" in read) return { why: "" };
    if ("wrong" in read) return { why: words.quantity.notANumber };
    if ("either" in read && chosen === null) return { why: words.quantity.either, either: read.either };
    const number = "either" in read ? /** @type {number} */ (chosen) : read.number;
    const value = toSI(unit, number);
    const isLow = wanted.from !== null && value < wanted.from - 1e-9;
    const isHigh = wanted.to !== null && value > wanted.to + 1e-9;
    if (isLow || isHigh) return { why: words.quantity.outside(quantityText(catalog, wanted.unit, value).text, rangeWords(catalog, wanted)) };
    return { value };
  }

  function changed() {
    chosen = null;
    show();
  }

  function show() {
    const read = understand();
    const isGood = "value" in read;
    const text = isGood ? quantityText(catalog, wanted.unit, read.value) : null;
    echo.textContent = isGood ? [text?.text, otherText(catalog, wanted.unit, read.value)].filter(Boolean).join(" · ") : read.why;
    root.toggleAttribute("data-wrong", !isGood && read.why !== "");
    const pair = !isGood && read.either ? read.either : null;
    either.hidden = !pair;
    either.replaceChildren(...(pair ?? []).map(EitherButton));
    keepKey.setAttribute("aria-disabled", String(!isGood));
    keepLabel.textContent = text ? words.quantity.keep(text.text) : words.quantity.keepEmpty;
  }

  /** @param {number} number */
  function EitherButton(number) {
    return Button({ class: "second" }, () => choose(number), quantityText(catalog, wanted.unit, toSI(unit, number)).text);
  }

  /** @param {number} number */
  function choose(number) {
    chosen = number;
    show();
  }

  function keep() {
    const read = understand();
    if ("value" in read) return onKeep({ value: read.value, typed: input.value.trim(), unit: wanted.unit });
    return undefined;
  }

  show();
  return { root, pad: pad.root, focus: () => input.focus({ preventScroll: true }) };
}

/** @param {Catalog} catalog @param {Wanted} wanted */
function rangeWords(catalog, { unit, from, to }) {
  const say = /** @param {number} si */ (si) => quantityText(catalog, unit, si).text;
  if (from === null || to === null) return "";
  return words.quantity.between(say(from), say(to));
}

/**
 * @param {HTMLInputElement} input
 * @param {() => void} onChange
 * @param {boolean} hasMinus
 * @param {HTMLElement} keepKey
 * @param {(() => void)} [onLeave]
 */
function Pad(input, onChange, hasMinus, keepKey, onLeave) {
  const separator = (1.5).toLocaleString().includes(",") ? "," : ".";
  const digits = ["7", "8", "9", "4", "5", "6", "1", "2", "3"].map((digit) => Key(digit, () => append(digit)));
  const back = Key("⌫", () => (input.value = input.value.slice(0, -1)), words.quantity.backspace);
  const sign = hasMinus ? Key("±", flip, words.quantity.sign) : LeaveKey();
  const root = element(
    "div",
    { class: "pad", role: "group", "aria-label": words.quantity.keys },
    ...digits.slice(0, 3),
    back,
    ...digits.slice(3),
    sign,
    Key("0", () => append("0")),
    Key(separator, () => append(separator), words.quantity.separator),
    keepKey,
  );

  /** @param {string} text @param {() => unknown} action @param {string} [label] */
  function Key(text, action, label) {
    return Button({ class: "key", label }, () => {
      action();
      onChange();
    }, text);
  }

  function LeaveKey() {
    return onLeave ? Button({ class: "key", label: words.quantity.leave }, onLeave, "✕") : element("span", {});
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
