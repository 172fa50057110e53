/** A plain number typed in a line: a price, a count. Its sign stands behind it; nothing that is no such number is taken. */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { formatNumber, readNumber } from "../../core/units.js";
import { WhichOfTwo } from "./which-of-two.js";

/**
 * @param {{ id: string, label: string, says?: string, value?: number | null, wrong?: string, sign?: string, can?: (value: number) => boolean }} look value: what stands there at first; wrong: what is said of what cannot be; can: nought and more, if left out
 * @param {() => unknown} [onLeave] once something is typed that can be read, or nothing
 */
export function NumberField({ id, label, says = "", value = null, wrong = words.quantity.notANumber, sign = "", can = (number) => number >= 0 }, onLeave = () => {}) {
  const input = element("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", oninput: () => void read(), onchange: leave, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said`, role: "status" }, says);
  const unit = element("span", { "aria-hidden": "true" }, sign);
  /** @type {ReturnType<typeof WhichOfTwo<{ value: number, text: string }>>} */
  const which = WhichOfTwo(leave);
  const root = element("div", { class: "field" }, element("label", { for: id }, label), element("div", { class: "with-unit" }, input, unit), said, which.root);
  /** What stands in the field untouched is what it was, however it is written. */
  let shown = { text: "", value };
  show(value);

  /** @returns {number | null | "wrong"} null where nothing is typed */
  function read() {
    const isUntouched = input.value === shown.text;
    const typed = isUntouched ? { empty: true } : readNumber(input.value);
    const numbers = "either" in typed ? typed.either : "number" in typed ? [typed.number] : [];
    const meant = which.settle(input.value, numbers.filter(can).map((number) => ({ value: number, text: [formatNumber(number, 6), unit.textContent].filter(Boolean).join(" ") })));
    if ("empty" in typed) return isUntouched ? shown.value : null;
    return meant ? meant.value : "wrong";
  }

  /** Say what is wrong, or ask which of two is meant. @returns {boolean} whether it can be read */
  function tell() {
    const isGood = read() !== "wrong";
    root.toggleAttribute("data-wrong", !isGood);
    said.textContent = isGood ? says : which.isAsking() ? words.quantity.either : wrong;
    return isGood;
  }

  function leave() {
    if (tell()) onLeave();
  }

  /** @param {number | null} known @param {number} [least] decimals that are shown */
  function show(known, least = 0) {
    shown = { text: known === null ? "" : formatNumber(known, Math.max(least, 2), undefined, least), value: known };
    input.value = shown.text;
  }

  /** @param {string} text */
  function refuse(text) {
    root.toggleAttribute("data-wrong", true);
    said.textContent = text;
    input.focus();
  }

  return { root, input, said, read, tell, show, refuse, sign: /** @param {string} text */ (text) => (unit.textContent = text) };
}
