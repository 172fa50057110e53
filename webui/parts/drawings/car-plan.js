/**
 * The car from above with everything that is open on it: each mark stands at the side, with a line to its place, so
 * that no two lie on top of each other however much is open. The marks' numbers are those of the list below.
 */

/** @import { OpenThing } from "../texts/open-things.js" */

import { svg } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { CarOutline } from "./car-outline.js";
import { outlineOf } from "./marks.js";
import { placeOf } from "../texts/open-things.js";

const SCALE = 1.44;
const CAR_LEFT = 170 - 50 * SCALE;
const TOP = 8;
const MARK = 32;
const LEAST_GAP = 36;

/** @typedef {{ number: number, thing: OpenThing, x: number, y: number, others: [number, number][] }} Spot */

export function CarPlan() {
  const marks = svg("g", {});
  const root = svg(
    "svg",
    { class: "picture car-plan", viewBox: "0 0 340 304", role: "img" },
    svg("g", { transform: `translate(${CAR_LEFT} ${TOP}) scale(${SCALE})` }, CarOutline()),
    marks,
  );

  /** @param {import("../../core/types.js").Catalog} catalog @param {OpenThing[]} things */
  function update(catalog, things) {
    const spots = things.flatMap((thing, at) => SpotOf(catalog, thing, at + 1));
    const right = spots.filter(({ x }, at) => x > 170 || (x === 170 && at % 2 === 0));
    const left = spots.filter((spot) => !right.includes(spot));
    root.setAttribute("aria-label", words.open.onCar(spots.length));
    marks.replaceChildren(...[...line(left, 22), ...line(right, 318)]);
  }
  return { root, update };
}

/** @param {import("../../core/types.js").Catalog} catalog @param {OpenThing} thing @param {number} number @returns {Spot[]} */
function SpotOf(catalog, thing, number) {
  const places = thing.variables.flatMap((id) => {
    const place = placeOf(catalog, thing.id, id);
    return place ? [toDrawing(place)] : [];
  });
  const unique = places.filter(([x, y], at) => places.findIndex((other) => other[0] === x && other[1] === y) === at);
  const [first] = unique;
  return first ? [{ number, thing, x: first[0], y: first[1], others: unique.slice(1) }] : [];
}

/** @param {[number, number]} place @returns {[number, number]} */
function toDrawing([x, y]) {
  return [CAR_LEFT + x * SCALE, TOP + y * SCALE];
}

/**
 * Set the marks of one side in a column beside the car, each as near its own height as the others let it.
 *
 * @param {Spot[]} spots
 * @param {number} column
 */
function line(spots, column) {
  const sorted = [...spots].sort((a, b) => a.y - b.y);
  const gap = Math.min(LEAST_GAP, 268 / Math.max(1, sorted.length - 1));
  const heights = sorted.map(({ y }) => y);
  for (let at = 1; at < heights.length; at += 1) heights[at] = Math.max(heights[at] ?? 0, (heights[at - 1] ?? 0) + gap);
  const overshoot = Math.max(0, (heights.at(-1) ?? 0) - 284);
  if (overshoot) {
    heights[heights.length - 1] = 284;
    for (let at = heights.length - 2; at >= 0; at -= 1) heights[at] = Math.min(heights[at] ?? 0, (heights[at + 1] ?? 0) - gap);
  }
  untangle(sorted, heights, kneeOf(column));
  return sorted.map((spot, at) => Callout(spot, column, heights[at] ?? spot.y, Math.min(1, gap / LEAST_GAP)));
}

/** Where the line from a mark bends towards the car. @param {number} column */
function kneeOf(column) {
  return column < 170 ? CAR_LEFT - 8 : CAR_LEFT + 100 * SCALE + 8;
}

/**
 * Let neighbours change places until no line crosses the next one; each change makes the two lines together shorter,
 * so this ends.
 *
 * @param {Spot[]} spots from top to bottom, put in order in place
 * @param {number[]} heights where their lines begin
 * @param {number} knee
 */
function untangle(spots, heights, knee) {
  for (let at = 0; at + 1 < spots.length; at += 1) {
    const [upper, lower] = [/** @type {Spot} */ (spots[at]), /** @type {Spot} */ (spots[at + 1])];
    const [top, below] = [heights[at] ?? 0, heights[at + 1] ?? 0];
    if (lengthOf(upper, knee, below) + lengthOf(lower, knee, top) > lengthOf(upper, knee, top) + lengthOf(lower, knee, below) - 0.01) continue;
    [spots[at], spots[at + 1]] = [lower, upper];
    at = Math.max(-1, at - 2);
  }
}

/** @param {Spot} spot @param {number} knee @param {number} height */
function lengthOf({ x, y }, knee, height) {
  return Math.hypot(x - knee, y - height);
}

/** @param {Spot} spot @param {number} column @param {number} height @param {number} size */
function Callout({ number, thing, x, y, others }, column, height, size) {
  const edge = column < 170 ? column + 17 * size : column - 17 * size;
  const knee = kneeOf(column);
  const scale = (MARK / 36) * size;
  return svg(
    "g",
    { class: "callout", "data-shape": thing.shape },
    svg("path", { class: "leader", d: `M${edge} ${height}L${knee} ${height}L${x} ${y}` }),
    ...[[x, y], ...others].map(([cx, cy]) => svg("circle", { class: "spot", cx, cy, r: 5.5 })),
    svg(
      "g",
      { transform: `translate(${column - 18 * scale} ${height - 18 * scale}) scale(${scale})` },
      svg("path", { class: "shape", d: outlineOf(thing.shape) }),
      svg("text", { x: 18, y: thing.shape === "empty" ? 18.5 : 24 }, number),
    ),
  );
}
