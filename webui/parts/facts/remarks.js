/** What is said of a value, in sentences: the numbers of a remark in the unit in which this person reads them. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { Remark } from "../../core/judgement.js" */

import { carWords } from "../../app/words/car.js";
import { unitOf } from "../../core/units.js";
import { titleOf } from "../texts/known.js";
import { listText } from "../texts/reading-words.js";
import { amountText } from "../texts/unit-amount.js";

/**
 * @param {Catalog} catalog
 * @param {string | null} unit of the fact or the odometer, null where it has none
 * @param {Remark} remark
 */
export function remarkText(catalog, unit, remark) {
  const say = /** @param {number | null | undefined} si */ (si) => (typeof si === "number" ? amountText(catalog, unit ?? "1", si).text : "");
  const found = Array.isArray(remark.found) ? listText(remark.found.map(String)) : String(remark.found ?? "");
  const kind = remark.kind && catalog.units[remark.kind] ? unitOf(catalog, remark.kind).symbol : (remark.kind ?? "");
  const told = { from: say(remark.from), to: say(remark.to), found, unit: kind, says: remark.says ?? undefined, check: /** @type {{ check?: string }} */ (remark).check };
  return carWords.remarks[remark.code]?.(/** @type {any} */ (told)) ?? remark.code;
}

/** @param {Catalog} catalog @param {string} fact @param {Remark[]} remarks */
export function factRemarks(catalog, fact, remarks) {
  return remarks.map((remark) => remarkText(catalog, catalog.facts[fact]?.unit ?? null, remark));
}

/** For a list of several: the number it is about, then what is said. @param {Catalog} catalog @param {string} fact @param {Remark[]} remarks */
export function namedRemarks(catalog, fact, remarks) {
  return [titleOf(catalog, fact), factRemarks(catalog, fact, remarks).join(" ")].join(": ");
}
