/**
 * The small signs of state. Each has an outline of its own, so that none depends on its colour: round is open,
 * a diamond is loose, a triangle on its tip is a fluid that is not there, a square is a part that must be replaced.
 */

import { svg } from "../../dom/element.js";

/** @type {Record<string, string>} outlines in a box of 36 */
const OUTLINES = {
  open: "M18 3.5a14.5 14.5 0 1 1 0 29a14.5 14.5 0 1 1 0-29z",
  loose: "M18 2.5 33.5 18 18 33.5 2.5 18z",
  empty: "M3 5.5h30L18 32.5z",
  used: "M5 5h26v26H5z",
};

/**
 * @param {import("../texts/open-things.js").Shape} shape
 * @param {string | number} inside a number or a letter
 */
export function Mark(shape, inside) {
  const y = shape === "empty" ? 18 : 23.5;
  return svg(
    "svg",
    { class: "mark", viewBox: "0 0 36 36", "aria-hidden": "true", "data-tone": "warning", "data-shape": shape },
    svg("path", { class: "shape", d: OUTLINES[shape] ?? "" }),
    svg("text", { x: 18, y }, inside),
  );
}

/** @param {import("../texts/open-things.js").Shape} shape */
export function outlineOf(shape) {
  return OUTLINES[shape] ?? "";
}

/** A tick in a ring. @param {"done" | "quiet"} [tone] */
export function TickMark(tone = "done") {
  return sign(tone, "M18 3.5a14.5 14.5 0 1 1 0 29a14.5 14.5 0 1 1 0-29z", "M11 18.5l5 5 9-11");
}

/** Three dots in a ring: it is well, and there is something to say of it. */
export function NoteMark() {
  return sign("quiet", "M18 3.5a14.5 14.5 0 1 1 0 29a14.5 14.5 0 1 1 0-29z", "M11 18v.1M18 18v.1M25 18v.1");
}

/** An exclamation in a triangle: the sign for "watch out". */
export function WarningMark() {
  return sign("warning", "M18 4 33 31H3z", "M18 14v8m0 4.5v.5");
}

/** A bar in a stop sign. */
export function StopMark() {
  return sign("warning", "M11 4h14l7 7v14l-7 7H11l-7-7V11z", "M11 18h14");
}

/** A step that was passed over. */
export function SkipMark() {
  return sign("warning", "M18 3.5a14.5 14.5 0 1 1 0 29a14.5 14.5 0 1 1 0-29z", "M12 12l6 6-6 6m7-12 6 6-6 6");
}

/** @param {string} tone @param {string} shape @param {string} inside */
function sign(tone, shape, inside) {
  return svg(
    "svg",
    { class: "mark", viewBox: "0 0 36 36", "aria-hidden": "true", "data-tone": tone },
    svg("path", { class: "shape", d: shape }),
    svg("path", { class: "sign", d: inside }),
  );
}
