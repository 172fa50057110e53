/** Prices of a shopping list: every pack and part on it, typed in one place. */

/** @import { InventoryActions } from "../../app/types.js" */
/** @import { Shopping } from "../../core/shopping.js" */

import { element } from "../../dom/element.js";
import { plan as words } from "../../app/words/plan.js";
import { priceOf } from "../../core/inventory.js";
import { PriceField } from "../controls/price-field.js";
import { openSheet } from "../controls/sheet.js";
import { partTitle } from "./lists.js";

/** @param {Shopping} shopping @param {InventoryActions} actions @param {(shown: string) => string} pack how a pack's size is read here */
export function openPriceSheet({ fluids, parts, consumables }, actions, pack) {
  const { currency } = actions.get();
  const asked = [
    ...fluids.flatMap((line) => line.packs.map(({ of, shown }) => ({ of, label: `${[line.title, line.approval].filter(Boolean).join(", ")}: ${pack(shown)}` }))),
    ...[...parts, ...consumables].map(({ of, titles }) => ({ of, label: words.each(partTitle(titles)) })),
  ];
  const fields = asked.map(({ of, label }) => {
    const field = PriceField({ id: `sheet-${of}`, label }, (value) => actions.writePrice(of, value, currency));
    field.update(priceOf(actions.get(), of), currency);
    return field.root;
  });
  openSheet(words.pricesTitle, [element("p", { class: "quiet" }, words.pricesSays), ...fields]);
}
