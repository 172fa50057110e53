/** The unit beside a number that is being typed: every one of its kind, or a plain sign where there is only one. */

/** @import { Catalog } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { unitOf } from "../../core/units.js";

/**
 * @param {Catalog} catalog
 * @param {string} first key of the unit that stands there at the beginning
 * @param {() => void} onChange
 */
export function UnitPicker(catalog, first, onChange) {
  const { measure } = unitOf(catalog, first);
  const keys = Object.keys(catalog.units).filter((key) => unitOf(catalog, key).measure === measure && measure !== "");
  if (keys.length < 2) return { root: element("span", { "aria-hidden": "true" }, unitOf(catalog, first).symbol), unit: () => first, show: () => {} };
  const select = element(
    "select",
    { class: "unit", "aria-label": words.quantity.unit, onchange: () => onChange() },
    ...keys.map((key) => element("option", { value: key, selected: key === first, label: unitOf(catalog, key).symbol }, unitOf(catalog, key).symbol)),
  );
  return {
    root: select,
    unit: () => select.value,
    /** @param {string} key */
    show(key) {
      select.value = key;
    },
  };
}
