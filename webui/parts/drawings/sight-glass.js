/** The narrow tube down the edge: how far the visit has come, in the colour of the fluid at hand. */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";

export function SightGlass() {
  const fluid = element("div", { class: "fluid" });
  const root = element("div", { class: "sight-glass", role: "progressbar", "aria-label": words.parts.progress, "aria-valuemin": "0" }, fluid);
  let drawn = "";

  /** @param {{ done: number, total: number, share: number, lines: number[] }} progress @param {string} colour */
  function update({ done, total, share, lines }, colour) {
    root.setAttribute("aria-valuemax", String(total));
    root.setAttribute("aria-valuenow", String(done));
    root.style.setProperty("--fluid-colour", `var(--fluid-${colour})`);
    fluid.style.blockSize = `${(share * 100).toFixed(2)}%`;
    if (drawn === lines.join()) return;
    drawn = lines.join();
    root.replaceChildren(fluid, ...lines.map(Line));
  }
  return { root, update };
}

/** @param {number} at share of the day, from the bottom */
function Line(at) {
  const line = element("i", { class: "line" });
  line.style.insetBlockEnd = `${(at * 100).toFixed(2)}%`;
  return line;
}
