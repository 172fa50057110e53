/** The unit beside a number that is being typed: those of its kind to choose among, or a plain sign where there is only one. */

/** @import { Catalog } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { unitIn, unitOf } from "../../core/units.js";

/** More of one kind are a list to be searched. */
const MOST = 6;
const SYSTEMS = ["metric", "us", "imperial"];

/**
 * @param {Catalog} catalog
 * @param {string} first key of the unit that stands there at the beginning
 * @param {() => void} onChange
 */
export function UnitPicker(catalog, first, onChange) {
  const keys = offeredWith(catalog, first);
  if (keys.length < 2) return { root: element("span", { "aria-hidden": "true" }, unitOf(catalog, first).symbol), unit: () => first, show: () => {} };
  const select = element(
    "select",
    { class: "unit", "aria-label": words.quantity.unit, onchange: () => onChange() },
    ...keys.map((key) => Option(key)),
  );
  select.value = first;

  /** @param {string} key */
  function Option(key) {
    const { symbol } = unitOf(catalog, key);
    return element("option", { value: key, label: symbol }, symbol);
  }
  return {
    root: select,
    unit: () => select.value,
    /** @param {string} key */
    show(key) {
      // One that is not offered may still be written behind the number.
      if (![...select.options].some(({ value }) => value === key)) select.append(Option(key));
      select.value = key;
    },
  };
}

/** All of its kind; where these are many, those of its own system and the nearest of every other. @param {Catalog} catalog @param {string} first */
function offeredWith(catalog, first) {
  const { measure, systems = [] } = unitOf(catalog, first);
  const keys = Object.keys(catalog.units).filter((key) => unitOf(catalog, key).measure === measure && measure !== "");
  if (keys.length <= MOST) return keys;
  const own = keys.filter((key) => unitOf(catalog, key).systems?.some((system) => systems.includes(system)));
  return [...new Set([first, ...own, ...SYSTEMS.map((system) => unitIn(catalog, first, system))])];
}
