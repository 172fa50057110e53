/** The number to hit: the largest thing on the screen, one quiet line under it, everything else one tap behind. */

/** @import { Known, Knowledge } from "../texts/known.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { lookUp } from "../texts/known.js";
import { Button } from "../controls/press.js";

/** @param {Knowledge} knowledge @param {string} name */
async function openNumber(knowledge, name) {
  const { openNumberSheet } = await import("../numbers/number-sheet.js");
  openNumberSheet(knowledge, name);
}

/**
 * @param {() => Knowledge} look
 * @param {string} name
 */
export function Hero(look, name) {
  const label = element("span", { class: "label" });
  const number = element("span", { class: "digits" });
  const unit = element("small", {});
  const value = element("span", { class: "value" }, number, unit);
  const line = element("span", { class: "line" });
  const root = Button({ class: "hero" }, () => openNumber(look(), name), label, value, line);

  /** @param {string} [tail] what else the quiet line should say */
  function update(tail = "") {
    const known = lookUp(look(), name);
    label.textContent = known.label;
    number.textContent = known.number || "–";
    unit.textContent = known.symbol;
    value.dataset.kind = known.symbol || known.number.length <= 6 ? "number" : "words";
    line.textContent = known.absence || [known.other, known.from, tail].filter(Boolean).join(" · ");
    root.setAttribute("aria-label", words.numbers.openLabel(known.label, known.spoken || known.absence, line.textContent));
  }
  return { root, update };
}

/**
 * The other numbers of a step: one line each, as wide as the screen.
 *
 * @param {() => Knowledge} look
 * @param {string[]} names
 */
export function NumberLines(look, names) {
  const lines = names.map((name) => NumberLine(look, name));
  const root = element("div", { class: "number-lines", hidden: names.length === 0 }, ...lines.map((line) => line.root));
  return { root, update: () => lines.forEach((line) => line.update()) };
}

/** @param {() => Knowledge} look @param {string} name */
function NumberLine(look, name) {
  const label = element("span", {});
  const value = element("b", {});
  const line = element("span", { class: "quiet" });
  const root = Button({ class: "number-line" }, () => openNumber(look(), name), label, value, line);

  function update() {
    const known = lookUp(look(), name);
    label.textContent = known.label;
    value.textContent = known.text || "–";
    value.dataset.holds = known.holds === null ? "" : String(known.holds);
    line.textContent = known.absence || known.from;
  }
  return { root, update };
}

/** @param {Known} known */
export function isNumber(known) {
  return typeof known.outcome.value === "number";
}
