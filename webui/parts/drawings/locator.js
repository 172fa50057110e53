/** A car the size of a thumbnail, lying on its side, with the spot where the step happens. */

/** @import { Catalog, Step } from "../../core/types.js" */

import { svg } from "../../dom/element.js";
import { SmallCarOutline } from "./car-outline.js";
import { placeOf } from "../texts/open-things.js";

/**
 * @param {Catalog} catalog
 * @param {Step} step
 * @param {string | null} item
 */
export function Locator(catalog, step, item) {
  const place = placeOfStep(catalog, step, item);
  if (!place) return null;
  const [x, y] = place;
  // The car is drawn front up; a quarter turn lays its front to the left.
  return svg(
    "svg",
    { class: "locator", viewBox: "-2 -2 204 104", "aria-hidden": "true" },
    svg("g", { transform: "matrix(0 -1 1 0 0 100)" }, SmallCarOutline(), svg("circle", { class: "spot", cx: x, cy: y, r: 13 })),
  );
}

/** What the step changes, else what it needs, wherever that has a place. @param {Catalog} catalog @param {Step} step @param {string | null} item */
export function placeOfStep(catalog, step, item) {
  for (const base of [...Object.keys(step.makes), ...Object.keys(step.needs)]) {
    const variable = catalog.variables[base];
    if (!variable || variable.kind === "condition") continue;
    const isOwn = variable.each !== null && variable.each === step.each && item !== null;
    if (variable.each && !isOwn) continue;
    const place = placeOf(catalog, base, isOwn ? `${base}@${item}` : base);
    if (place) return place;
  }
  return null;
}
