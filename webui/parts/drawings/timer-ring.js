/** A hold: what is left of it in large digits, and a ring that closes. Only the digits where motion is unwelcome. */

import { element, svg } from "../../dom/element.js";
import { clockText } from "../texts/reading-words.js";

const RADIUS = 92;
const ROUND = 2 * Math.PI * RADIUS;

export function TimerRing() {
  const arc = svg("circle", { class: "arc", cx: 110, cy: 110, r: RADIUS, "stroke-dasharray": ROUND, transform: "rotate(-90 110 110)" });
  const tick = svg("path", { class: "tick", d: "M84 84l18 18 34-40" });
  const digits = element("b", { class: "digits" });
  const under = element("span", { class: "under" });
  const root = element(
    "div",
    { class: "timer" },
    svg("svg", { viewBox: "0 0 220 220", "aria-hidden": "true" }, svg("circle", { class: "track", cx: 110, cy: 110, r: RADIUS }), arc, tick),
    element("div", { class: "inside" }, digits, under),
  );

  /** @param {{ left_s: number, least_s: number, says: string, isOver: boolean }} hold */
  function update({ left_s, least_s, says, isOver }) {
    const share = least_s > 0 ? Math.min(1, Math.max(0, 1 - left_s / least_s)) : 1;
    arc.setAttribute("stroke-dashoffset", String(ROUND * (1 - share)));
    root.toggleAttribute("data-over", isOver);
    digits.textContent = isOver ? "" : clockText(left_s);
    digits.toggleAttribute("data-long", left_s > 3600);
    under.textContent = says;
  }
  return { root, update };
}
