/** One price, typed in a line; it is kept as soon as the field is left, and taken back where the field is emptied. */

/** @import { Price } from "../../core/inventory.js" */

import { garage as words } from "../../app/words/garage.js";
import { words as common } from "../../app/words.js";
import { dayText } from "../texts/reading-words.js";
import { NumberField } from "./number-field.js";

/**
 * @param {{ id: string, label: string, says?: string }} look
 * @param {(value: number | null) => Promise<unknown>} onPrice null where it is taken back
 */
export function PriceField({ id, label, says = "" }, onPrice) {
  /** @type {Price | null} */
  let known = null;
  let isKeeping = false;
  const field = NumberField({ id, label, says, wrong: words.notAPrice }, keep);
  const { root, input, said } = field;
  root.classList.add("price");

  async function keep() {
    const value = field.read();
    if (value === "wrong" || value === (known?.value ?? null)) return;
    isKeeping = true;
    try {
      await onPrice(value);
      if (value === null) said.textContent = words.takenBack;
    } catch {
      root.toggleAttribute("data-wrong", true);
      said.textContent = common.errors.notSaved;
    } finally {
      isKeeping = false;
    }
  }

  /** Leaves alone what is being typed. @param {Price | null} price @param {string} currency */
  function update(price, currency) {
    const isNews = price?.at !== known?.at;
    known = price;
    field.sign(currency);
    if (isKeeping || document.activeElement === input || root.hasAttribute("data-wrong")) return;
    field.show(price?.value ?? null, price && price.value % 1 ? 2 : 0);
    if (price || isNews) said.textContent = [says, price ? words.since(dayText(price.at)) : words.takenBack].filter(Boolean).join(" · ");
  }
  return { root, update };
}
