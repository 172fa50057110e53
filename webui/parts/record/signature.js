/** A signature drawn with a finger, a pen or a mouse; whoever draws none has typed the name, which is enough. */

/** @typedef {[x: number, y: number]} Point in units of BOX */

import { element, svg } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { BOX } from "../drawings/signature.js";
import { Button } from "../controls/press.js";

/** Points nearer than this add nothing that an eye sees. */
const NEAREST = 6;
/** Most that an entry may carry, as events.js checks it. */
const LONGEST = 20_000;

export function SignaturePad() {
  /** @type {Point[][]} */
  let strokes = [];
  /** @type {number | null} the finger that draws; a palm beside it does not */
  let pen = null;
  const line = svg("path", {});
  const pad = svg(
    "svg",
    { class: "signature pad-of-strokes", viewBox: `0 0 ${BOX.width} ${BOX.height}`, role: "img", "aria-label": words.signatureLabel, onpointerdown: begin, onpointermove: draw, onpointerup: end, onpointercancel: end },
    svg("path", { class: "base-line", d: `M40 ${BOX.height - 70}H${BOX.width - 40}` }),
    line,
  );
  const clear = Button({ class: "second" }, again, words.signatureClear);
  const root = element("div", { class: "field signing" }, element("span", { class: "label" }, words.signature), pad, clear);
  show();

  /** @param {PointerEvent} event */
  function begin(event) {
    if (pen !== null || event.button > 0) return;
    event.preventDefault();
    pen = event.pointerId;
    pad.setPointerCapture(pen);
    const start = pointOf(event);
    // A dot is a stroke too: drawn from a point to itself.
    strokes.push([start, start]);
    show();
  }

  /** @param {PointerEvent} event */
  function draw(event) {
    if (event.pointerId !== pen) return;
    const [stroke, [x, y]] = [strokes.at(-1) ?? [], pointOf(event)];
    const [lastX, lastY] = stroke.at(-1) ?? [x, y];
    if (Math.hypot(x - lastX, y - lastY) < NEAREST) return;
    stroke.push([x, y]);
    show();
  }

  /** @param {PointerEvent} event */
  function end(event) {
    if (event.pointerId === pen) pen = null;
  }

  function again() {
    strokes = [];
    show();
  }

  function show() {
    line.setAttribute("d", pathOf(strokes));
    // Never hidden: what comes and goes would move the pad away under the pen.
    clear.setAttribute("aria-disabled", String(strokes.length === 0));
  }

  /** @param {PointerEvent} event @returns {Point} */
  function pointOf({ clientX, clientY }) {
    const { left, top, width, height } = pad.getBoundingClientRect();
    const place = /** @param {number} at @param {number} most */ (at, most) => Math.round(Math.min(1, Math.max(0, at)) * most);
    return [place((clientX - left) / width, BOX.width), place((clientY - top) / height, BOX.height)];
  }

  return { root, /** @returns {string} "" where nothing was drawn */ read: () => shortPath(strokes) };
}

/** @param {Point[][]} strokes */
function pathOf(strokes) {
  return strokes.map((points) => `M${points.map(([x, y]) => `${x} ${y}`).join("L")}`).join("");
}

/** Every second point is left out until an entry can carry it. @param {Point[][]} strokes @returns {string} */
function shortPath(strokes) {
  const path = pathOf(strokes);
  if (path.length <= LONGEST) return path;
  const thinned = strokes.map((points) => points.filter((_, at) => at % 2 === 0 || at === points.length - 1));
  return thinned.some((points, at) => points.length < (strokes[at]?.length ?? 0)) ? shortPath(thinned) : pathOf(strokes.slice(0, -1));
}
