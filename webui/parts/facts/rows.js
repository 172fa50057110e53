/** Rows of questions and numbers: what is known of each, in one line, and one tap from being answered. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { CarFold } from "../../core/car.js" */

import { element } from "../../dom/element.js";
import { carWords } from "../../app/words/car.js";
import { answerText } from "./sheet.js";
import { titleOf } from "../texts/known.js";
import { Button } from "../controls/press.js";

/** @param {Catalog} catalog @param {CarFold} car @param {string} name @param {(name: string) => void} onOpen */
export function FactRow(catalog, car, name, onOpen) {
  const known = car.facts[name] ?? null;
  const isDisputed = car.disputed_facts.some(({ fact }) => fact === name);
  const value = known ? answerText(catalog, name, known) : isDisputed ? carWords.disputed : carWords.notKnown;
  const tag = known && !known.confirmed ? element("span", { class: "tag", "data-tone": "warning" }, carWords.unconfirmed) : null;
  const row = Button({ class: "fact-row" }, () => onOpen(name), element("span", {}, titleOf(catalog, name)), element("b", { "data-known": String(known !== null) }, value), tag);
  row.dataset.fact = name;
  return element("li", {}, row);
}

/** @param {Catalog} catalog @param {CarFold} car @param {string[]} names @param {(name: string) => void} onOpen */
export function FactRows(catalog, car, names, onOpen) {
  return element("ul", { class: "fact-rows" }, ...names.map((name) => FactRow(catalog, car, name, onOpen)));
}

/** @param {CarFold} car @param {string[]} names */
export function countKnown(car, names) {
  return names.filter((name) => car.facts[name]).length;
}
