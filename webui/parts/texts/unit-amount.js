/**
 * Every number with a unit passes here on its way to a screen: which unit comes first is for the person with this phone
 * to say, and the other one stands beside it. The wish is on the page's root, where preferences.js puts it.
 */

/** @import { Catalog } from "../../core/types.js" */
/** @import { QuantityText } from "../../core/units.js" */

import { quantityText, toSI, unitIn, unitOf } from "../../core/units.js";
import { shownText } from "./reading-words.js";

/** Whose units are wanted: "metric", "us", "imperial", "mixed", or "source" for the one that each number was written in. */
export function wantedSystem() {
  return document.documentElement.dataset.units ?? "source";
}

/**
 * The unit in which this person reads an amount that was written in another.
 *
 * @param {Catalog} catalog
 * @param {string} key
 * @param {number} [si] the amount, where it is known
 */
export function wantedUnit(catalog, key, si) {
  return unitIn(catalog, key, wantedSystem(), si);
}

/**
 * An amount as it is read here, and the same in the other unit, "" where none is usual.
 *
 * @param {Catalog} catalog
 * @param {string} key of the unit it was written in
 * @param {number} si
 * @param {number | null} [roundTo] SI; a step that is round in the written unit is not in another, and falls away there
 * @returns {QuantityText & { other: string }}
 */
export function amountText(catalog, key, si, roundTo = null) {
  const first = wantedUnit(catalog, key, si);
  const isAsWritten = first === key;
  return { ...quantityText(catalog, first, si, isAsWritten ? roundTo : null), other: isAsWritten ? otherText(catalog, key, si) : quantityText(catalog, key, si, roundTo).text };
}

/**
 * The same amount for somebody trained in the other system; nothing beside it where a system was asked for.
 *
 * @param {Catalog} catalog
 * @param {string} key
 * @param {number} si
 */
function otherText(catalog, key, si) {
  if (wantedSystem() !== "source") return "";
  const other = unitIn(catalog, key, unitOf(catalog, key).systems?.includes("metric") ? "us" : "metric", si);
  return other === key ? "" : quantityText(catalog, other, si).text;
}

/**
 * An amount that specs fix, "15000 km", in the unit that is wanted here; without a wish it stays as it was written.
 *
 * @param {Catalog} catalog
 * @param {string | number} shown
 */
export function fixedText(catalog, shown) {
  const [, number = "", key = ""] = /^(\S+)(?: (.+))?$/.exec(String(shown)) ?? [];
  const unit = catalog.units[key];
  if (!unit || wantedUnit(catalog, key) === key) return shownText(catalog, shown);
  return amountText(catalog, key, toSI(unit, Number(number))).text;
}
