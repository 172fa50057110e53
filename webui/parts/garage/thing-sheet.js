/** One thing of the garage, written down or changed: how many, what its scale or plate says, or that it is gone. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { Marked, Thing } from "../../core/inventory.js" */
/** @import { InventoryActions } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { garage as words } from "../../app/words/garage.js";
import { words as common } from "../../app/words.js";
import { AmountField } from "../controls/amount-field.js";
import { NumberField } from "../controls/number-field.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";

/**
 * @param {Catalog} catalog
 * @param {InventoryActions} inventory
 * @param {string} of a kind of specs/equipment.toml
 * @param {Thing | null} thing null where a new one is written down
 */
export function openThingSheet(catalog, inventory, of, thing) {
  const kind = /** @type {import("../../core/types.js").Kept} */ (catalog.equipment?.[of]);
  const name = kind.several ? TextField("thing-title", words.name, words.nameSays, thing?.title ?? "") : null;
  const count = kind.counted ? NumberField({ id: "thing-count", label: words.count, value: thing?.count ?? null, wrong: words.notACount, can: isCount }) : null;
  const marks = Object.entries(kind.marks).map(([mark, { label, unit, from, to }]) => ({
    mark,
    field: AmountField(catalog, { id: `mark-${mark}`, label, unit, from, to }, thing?.marks[mark] ?? null),
  }));
  const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
  const keep = Button({ class: "action" }, save, words.keep);
  const gone = thing && Button({ class: "second", tone: "warning" }, drop, words.gone);
  const fields = [...(count ? [count.root] : []), ...marks.map(({ field }) => field.root), ...(name ? [name.root] : [])];
  const sheet = openSheet(kind.title, [kind.where && element("p", { class: "quiet" }, kind.where), ...fields, trouble], [keep, ...(gone ? [gone] : [])]);
  sheet.querySelector("input")?.focus();

  async function save() {
    const pieces = readPieces();
    const read = marks.map(({ mark, field }) => ({ mark, field, value: field.read() }));
    for (const { field } of read) field.show();
    if (pieces === "wrong" || read.some(({ value }) => value === "wrong")) return;
    /** @type {Record<string, Marked>} */
    const known = {};
    for (const { mark, value } of read) if (value !== null && value !== "wrong") known[mark] = value;
    const said = { of, title: name?.input.value.trim() ?? "", count: pieces, marks: known };
    await attempt(() => inventory.keepThing(thing ? { ...said, thing: thing.id } : said));
  }

  /** One, where nobody counts or said how many. @returns {number | "wrong"} */
  function readPieces() {
    if (!count) return 1;
    count.tell();
    return count.read() ?? 1;
  }

  async function drop() {
    if (thing) await attempt(() => inventory.dropThing(thing.id));
  }

  /** @param {() => Promise<unknown>} action */
  async function attempt(action) {
    try {
      await action();
      sheet.close();
    } catch {
      trouble.hidden = false;
      trouble.textContent = common.errors.notSaved;
    }
  }
}

/** @param {string} id @param {string} label @param {string} says @param {string} value */
function TextField(id, label, says, value) {
  const input = element("input", { id, type: "text", autocomplete: "off", value, dir: "auto" });
  const root = element("div", { class: "field" }, element("label", { for: id }, label), input, says && element("p", { class: "said" }, says));
  return { root, input };
}

/** @param {number} number */
function isCount(number) {
  return Number.isInteger(number) && number > 0 && number < 100;
}
