/** The four corners of the car from above: which wheel or nipple is done, which is next, which comes later. */

/** @import { Turn } from "./bolt-pattern.js" */

import { svg } from "../../dom/element.js";
import { describeTurns } from "./bolt-pattern.js";
import { CarOutline } from "./car-outline.js";
import { cornerOf } from "../texts/open-things.js";

/** @param {string[]} items @param {string[]} labels */
export function WheelPattern(items, labels) {
  const spots = spread(items);
  const corners = items.map((_, at) => Corner(spots[at] ?? [0, 0], String(at + 1)));
  const root = svg(
    "svg",
    { class: "picture pattern", viewBox: "-14 -4 228 108", role: "img" },
    svg("g", { transform: "matrix(0 -1 1 0 0 100)" }, CarOutline()),
    ...corners.map((corner) => corner.root),
  );

  /** @param {Turn[]} turns */
  function update(turns) {
    turns.forEach((turn, at) => corners[at]?.update(turn));
    root.setAttribute("aria-label", describeTurns(turns, labels));
  }
  return { root, update };
}

/**
 * Points on the drawing, front to the left; several at one corner stand side by side.
 *
 * @param {string[]} items
 * @returns {[number, number][]}
 */
function spread(items) {
  /** @type {Record<string, number>} */
  const taken = {};
  return items.map((item) => {
    const [x, y] = cornerOf(item) ?? [50, 100];
    const key = `${x} ${y}`;
    const nth = (taken[key] = (taken[key] ?? -1) + 1);
    return [y + nth * 26, x < 50 ? 89 : 11];
  });
}

/** @param {[number, number]} spot @param {string} label */
function Corner([x, y], label) {
  const ring = svg("circle", { r: 11 });
  const root = svg(
    "g",
    { class: "bolt", transform: `translate(${x} ${y})` },
    ring,
    svg("text", { class: "small", y: 4.5 }, label),
    svg("path", { class: "tick", d: "M-4.5 0.5l3 3.5 6-7" }),
  );

  /** @param {Turn} turn */
  function update(turn) {
    root.dataset.turn = turn;
    ring.setAttribute("r", turn === "next" ? "14" : "11");
  }
  return { root, update };
}
