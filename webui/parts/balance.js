/** What came out against what went in: two columns on one floor, the difference between them in words. */

/** @import { Known } from "./known.js" */

import { svg } from "../dom/element.js";
import { words } from "../app/words.js";

const FLOOR = 132;
const HEIGHT = 104;

/** @param {() => Known[]} look first what came out, then what went in */
export function Balance(look) {
  const root = svg("svg", { class: "picture balance", viewBox: "0 0 340 164", role: "img" });

  function update() {
    const [out, into] = look();
    const amounts = [out, into].map((known) => (typeof known?.outcome.value === "number" ? known.outcome.value : null));
    const most = Math.max(...amounts.map((amount) => amount ?? 0));
    root.toggleAttribute("hidden", most <= 0);
    if (most <= 0) return;
    const heights = amounts.map((amount) => ((amount ?? 0) / most) * HEIGHT);
    const level = FLOOR - (heights[0] ?? 0);
    root.setAttribute("aria-label", words.work.balance(out?.text || "–", into?.text || "–"));
    root.replaceChildren(
      ...Column(40, heights[0] ?? 0, out?.text ?? "", words.work.cameOut, "out"),
      ...Column(196, heights[1] ?? 0, into?.text ?? "", words.work.wentIn, "in"),
      svg("path", { class: "level", d: `M40 ${level}H300` }),
      svg("path", { class: "axis", d: `M24 ${FLOOR}H316` }),
    );
  }
  return { root, update };
}

/** @param {number} x @param {number} height @param {string} amount @param {string} what @param {string} side */
function Column(x, height, amount, what, side) {
  return [
    svg("rect", { class: "column", "data-side": side, x, y: FLOOR - height, width: 104, height }),
    svg("text", { class: "amount", x: x + 52, y: FLOOR - Math.max(height, 30) / 2 + 8, "text-anchor": "middle" }, amount || "?"),
    svg("text", { class: "what", x: x + 52, y: FLOOR + 23, "text-anchor": "middle" }, what),
  ];
}
