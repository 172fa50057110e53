/** One price, typed in a line; it is kept as soon as the field is left. */

/** @import { Price } from "../core/inventory.js" */

import { element } from "../dom/element.js";
import { garage as words } from "../app/words/garage.js";
import { formatNumber, readNumber } from "../core/units.js";
import { dayText } from "./reading-words.js";

/**
 * @param {{ id: string, label: string, says?: string, currency: string }} look
 * @param {Price | null} known
 * @param {(value: number) => Promise<unknown>} onPrice
 */
export function PriceField({ id, label, says = "", currency }, known, onPrice) {
  const shown = known ? formatNumber(known.value, 2, undefined, known.value % 1 ? 2 : 0) : "";
  const input = element("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", value: shown, onchange: keep, "aria-describedby": `${id}-said` });
  const note = [says, known ? words.since(dayText(known.at)) : ""].filter(Boolean).join(" · ");
  const said = element("p", { class: "said", id: `${id}-said` }, note);
  const root = element("div", { class: "field price" }, element("label", { for: id }, label), element("div", { class: "with-unit" }, input, element("span", { "aria-hidden": "true" }, currency)), said);

  async function keep() {
    const read = readNumber(input.value);
    const value = "either" in read ? read.either[0] : "number" in read ? read.number : null;
    const isGood = "empty" in read || (value !== null && value >= 0);
    root.toggleAttribute("data-wrong", !isGood);
    said.textContent = isGood ? note : words.notAPrice;
    if (!isGood || value === null || value === known?.value) return;
    try {
      await onPrice(value);
    } catch {
      root.toggleAttribute("data-wrong", true);
      said.textContent = words.notKept;
    }
  }
  return root;
}
