/**
 * What came out against what went in: two columns on one floor. The hatched end of the second is what the jugs can be
 * wrong by: while the line of the first runs through it, the two agree as far as anyone can tell.
 */

/** @import { Known } from "../texts/known.js" */

import { svg } from "../../dom/element.js";
import { words } from "../../app/words.js";

const FLOOR = 138;
const HEIGHT = 98;

/** @typedef {{ out: Known, into: Known, error: number | null, errorText: string }} Balanced error: what the jugs can be wrong by, m³; null where nobody told */

/** @param {() => Balanced} look */
export function Balance(look) {
  const root = svg("svg", { class: "picture balance", viewBox: "0 0 340 170", role: "img" });

  function update() {
    const { out, into, error, errorText } = look();
    const [drained, filled] = [amountOf(out), amountOf(into)];
    const most = Math.max(drained ?? 0, (filled ?? 0) + (error ?? 0));
    root.toggleAttribute("hidden", most <= 0);
    if (most <= 0) return;
    const height = /** @param {number} amount */ (amount) => (amount / most) * HEIGHT;
    const level = FLOOR - height(drained ?? 0);
    root.setAttribute("aria-label", words.work.balance(out.text || "–", into.text || "–", filled === null ? "" : errorText));
    root.replaceChildren(
      ...Column(28, height(drained ?? 0), out.text, words.work.cameOut, "out"),
      ...Column(190, height(filled ?? 0), into.text, words.work.wentIn, "in"),
      ...(filled !== null && error ? Interval(190, FLOOR - height(filled), height(error), errorText) : []),
      svg("path", { class: "level", d: `M28 ${level}H312` }),
      svg("path", { class: "axis", d: `M16 ${FLOOR}H324` }),
    );
  }
  return { root, update };
}

/** @param {Known} known */
function amountOf({ outcome }) {
  return typeof outcome.value === "number" ? outcome.value : null;
}

/** @param {number} x @param {number} height @param {string} amount @param {string} what @param {string} side */
function Column(x, height, amount, what, side) {
  return [
    svg("rect", { class: "column", "data-side": side, x, y: FLOOR - height, width: 122, height }),
    svg("text", { class: "amount", x: x + 61, y: FLOOR - Math.max(height * 0.4, 16) + 8, "text-anchor": "middle" }, amount || "?"),
    svg("text", { class: "what", x: x + 61, y: FLOOR + 24, "text-anchor": "middle" }, what),
  ];
}

/** From as little to as much as may truly have gone in. @param {number} x @param {number} top @param {number} reach @param {string} text */
function Interval(x, top, reach, text) {
  const [high, low] = [top - Math.max(reach, 2), top + Math.max(reach, 2)];
  return [
    svg("rect", { class: "give", x, y: high, width: 122, height: low - high }),
    svg("path", { class: "give-edge", d: `M${x} ${high}H${x + 122}M${x} ${low}H${x + 122}` }),
    svg("text", { class: "give-text", x: x + 116, y: high - 6, "text-anchor": "end" }, text),
  ];
}
