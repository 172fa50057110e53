/** One price, typed in a line; it is kept as soon as the field is left. */

/** @import { Price } from "../../core/inventory.js" */

import { element } from "../../dom/element.js";
import { garage as words } from "../../app/words/garage.js";
import { words as common } from "../../app/words.js";
import { formatNumber, readNumber } from "../../core/units.js";
import { dayText } from "../texts/reading-words.js";

/**
 * @param {{ id: string, label: string, says?: string }} look
 * @param {(value: number) => Promise<unknown>} onPrice
 */
export function PriceField({ id, label, says = "" }, onPrice) {
  /** @type {Price | null} */
  let known = null;
  const input = element("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", onchange: keep, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, says);
  const sign = element("span", { "aria-hidden": "true" });
  const root = element("div", { class: "field price" }, element("label", { for: id }, label), element("div", { class: "with-unit" }, input, sign), said);

  async function keep() {
    const read = readNumber(input.value);
    const value = "either" in read ? read.either[0] : "number" in read ? read.number : null;
    const isGood = "empty" in read || (value !== null && value >= 0);
    root.toggleAttribute("data-wrong", !isGood);
    if (!isGood) said.textContent = words.notAPrice;
    if (!isGood || value === null || value === known?.value) return;
    try {
      await onPrice(value);
    } catch {
      root.toggleAttribute("data-wrong", true);
      said.textContent = common.errors.notSaved;
    }
  }

  /** Leaves alone what is being typed. @param {Price | null} price @param {string} currency */
  function update(price, currency) {
    known = price;
    sign.textContent = currency;
    if (document.activeElement === input || root.hasAttribute("data-wrong")) return;
    input.value = price ? formatNumber(price.value, 2, undefined, price.value % 1 ? 2 : 0) : input.value;
    said.textContent = [says, price ? words.since(dayText(price.at)) : ""].filter(Boolean).join(" · ");
  }
  return { root, update };
}
