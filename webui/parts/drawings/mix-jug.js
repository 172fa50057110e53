/** A measuring jug with what goes in first at the bottom: concentrate, then distilled water, each with its amount. */

/** @import { StepContext } from "../step/context.js" */

import { svg } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { fluidColour } from "../texts/open-things.js";
import { lookUp } from "../texts/known.js";

const FLOOR = 168;
const BRIM = 28;
const MIDDLE = 84;

/**
 * @param {StepContext} context
 * @param {string} concentrate figure
 * @param {string} water figure
 */
export function MixJug(context, concentrate, water) {
  const root = svg("svg", { class: "picture jug", viewBox: "0 0 340 190", role: "img" });
  root.style.setProperty("--fluid-colour", `var(--fluid-${fluidColour(context.open().catalog, context.step.job)})`);

  function update() {
    const parts = [lookUp(context.knowledge(), concentrate), lookUp(context.knowledge(), water)];
    const amounts = parts.map(({ outcome }) => (typeof outcome.value === "number" ? Math.max(0, outcome.value) : 0));
    const total = (amounts[0] ?? 0) + (amounts[1] ?? 0);
    root.toggleAttribute("hidden", total <= 0);
    const split = FLOOR - (total ? (amounts[0] ?? 0) / total : 0) * (FLOOR - BRIM - 14);
    const top = BRIM + 14;
    /** @param {number} y half the jug's width at a height */
    const at = (y) => 52 + ((FLOOR - y) / (FLOOR - BRIM)) * 10;
    const layer = /** @param {number} from @param {number} to */ (from, to) =>
      `M${MIDDLE - at(from)} ${from}L${MIDDLE - at(to)} ${to}H${MIDDLE + at(to)}L${MIDDLE + at(from)} ${from}Z`;
    root.setAttribute("aria-label", words.work.jug(parts[0]?.text ?? "", parts[1]?.text ?? ""));
    root.replaceChildren(
      svg("path", { class: "water", d: layer(split, top) }),
      svg("path", { class: "fluid", d: layer(FLOOR, split) }),
      svg("path", { class: "line-between", d: `M${MIDDLE - at(split)} ${split}H${MIDDLE + at(split)}` }),
      svg("path", { class: "glass", d: `M${MIDDLE - 70} ${BRIM - 10}L${MIDDLE - 62} ${BRIM}L${MIDDLE - 52} ${FLOOR}H${MIDDLE + 52}L${MIDDLE + 62} ${BRIM}` }),
      svg("path", { class: "glass", d: `M${MIDDLE + 60} 52H${MIDDLE + 82}Q${MIDDLE + 92} 52 ${MIDDLE + 92} 64V110Q${MIDDLE + 92} 122 ${MIDDLE + 80} 122H${MIDDLE + 55}` }),
      ...Callout((split + FLOOR) / 2, parts[0]?.text ?? "", words.work.concentrate),
      ...Callout((top + split) / 2, parts[1]?.text ?? "", words.work.water),
    );
  }
  return { root, update, hasOwnNumber: true };
}

/** @param {number} y @param {string} amount @param {string} what */
function Callout(y, amount, what) {
  return [
    svg("path", { class: "leader", d: `M${MIDDLE + 40} ${y}H196` }),
    svg("text", { class: "amount", x: 204, y: y - 1 }, amount),
    svg("text", { class: "what", x: 204, y: y + 18 }, what),
  ];
}
