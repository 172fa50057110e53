/**
 * Our car from above, front at the top, in the catalog's own places: 0..100 from left to right, 0..200 from front to
 * rear. Drawn once here, so that the locator, the wheel picture and the plan view are the same car.
 */

import { svg } from "../../dom/element.js";

const BODY = "M27 9 Q50 1 73 9 Q82 13 84 26 Q87 62 86 100 Q88 150 84 181 Q82 193 70 195 Q50 199 30 195 Q18 193 16 181 Q12 150 14 100 Q13 62 16 26 Q18 13 27 9Z";
const WINDSCREEN = "M24 72 Q50 61 76 72 L70 92 Q50 85 30 92Z";
const REAR_WINDOW = "M29 160 Q50 166 71 160 L75 178 Q50 186 25 178Z";
const ROOF = "M30 92 Q28 126 29 160 M70 92 Q72 126 71 160";
const BONNET = "M26 24 Q25 48 24 72 M74 24 Q75 48 76 72";

/** Front left, front right, rear left, rear right. @type {Record<string, [number, number]>} */
export const WHEELS = { "front-left": [11, 42], "front-right": [89, 42], "rear-left": [11, 158], "rear-right": [89, 158] };

/** The outline alone. */
export function CarOutline() {
  return svg(
    "g",
    { class: "car" },
    ...Object.values(WHEELS).map(([x, y]) => svg("rect", { class: "tyre", x: x - 5.5, y: y - 15, width: 11, height: 30, rx: 4 })),
    svg("path", { class: "body", d: BODY }),
    svg("path", { class: "glass", d: `${WINDSCREEN}${REAR_WINDOW}` }),
    svg("path", { class: "crease", d: `${ROOF}${BONNET}` }),
  );
}

/** The same from far away: body and wheels only. */
export function SmallCarOutline() {
  return svg(
    "g",
    { class: "car" },
    ...Object.values(WHEELS).map(([x, y]) => svg("rect", { class: "tyre", x: x - 6, y: y - 15, width: 12, height: 30, rx: 4 })),
    svg("path", { class: "body", d: BODY }),
    svg("path", { class: "glass", d: WINDSCREEN }),
  );
}
