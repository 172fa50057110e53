/**
 * Screws around a pan, seen from below: a tick is done, the filled one is next, an empty ring comes later. Where they are
 * gone round twice, the middle says which pass this is, and what had its first pass is drawn with a second ring.
 * The pan is a picture of an order, not of one maker's pan; each screw carries the number its list gives it.
 */

import { svg } from "../../dom/element.js";
import { words } from "../../app/words.js";

/** @typedef {"done" | "next" | "later"} Turn */

const PAN = "M44 24H258L306 62V140L282 160H44L28 146V38Z";
/** Corners of the line the screws sit on. @type {[number, number][]} */
const EDGE = [[44, 24], [258, 24], [306, 62], [306, 140], [282, 160], [44, 160], [28, 146], [28, 38]];

/**
 * @param {string[]} items in the order they are tightened
 * @param {string[]} labels
 * @param {{ pass: number, of: number }} [passes] which time round this is
 */
export function BoltPattern(items, labels, { pass, of } = { pass: 1, of: 1 }) {
  const spots = spread(items.length);
  const places = placeItems(items);
  const bolts = items.map((_, at) => {
    const [x, y] = spots[places[at] ?? at] ?? [0, 0];
    return Bolt(x, y, shorten(labels[at] ?? ""));
  });
  const root = svg("svg", { class: "picture pattern", viewBox: "0 0 334 184", role: "img" }, svg("path", { class: "pan", d: PAN }), ...(of > 1 ? PassMark(pass, of) : []), ...bolts.map((bolt) => bolt.root));
  root.toggleAttribute("data-second", pass > 1);

  /** @param {Turn[]} turns */
  function update(turns) {
    turns.forEach((turn, at) => bolts[at]?.update(turn));
    root.setAttribute("aria-label", [of > 1 && words.work.pass(pass, of), describeTurns(turns, labels)].filter(Boolean).join(": "));
    // What is next is drawn last, so that its ring lies over its neighbours.
    const next = bolts[turns.indexOf("next")];
    if (next) root.append(next.root);
  }
  return { root, update };
}

/** One ring for each pass, filled up to this one. @param {number} pass @param {number} of */
function PassMark(pass, of) {
  const rings = Array.from({ length: of }, (_, at) => svg("circle", { class: "pass", "data-on": at < pass, cx: 167 + (at - (of - 1) / 2) * 40, cy: 112, r: 11 }));
  return [svg("text", { class: "amount", x: 167, y: 84, "text-anchor": "middle" }, words.work.pass(pass, of)), ...rings];
}

/** @param {Turn[]} turns @param {string[]} labels */
export function describeTurns(turns, labels) {
  const next = labels[turns.indexOf("next")] ?? "";
  return words.work.pattern(turns.filter((turn) => turn === "done").length, turns.length, next);
}

/**
 * Numbered screws sit round the pan by their number, whatever order they are tightened in; named ones in their order.
 *
 * @param {string[]} items
 */
function placeItems(items) {
  const numbers = items.map(Number);
  const isNumbered = numbers.every((number) => Number.isInteger(number) && number >= 1 && number <= items.length) && new Set(numbers).size === items.length;
  return isNumbered ? numbers.map((number) => number - 1) : items.map((_, at) => at);
}

/** @param {string} label */
function shorten(label) {
  return label.replace(/^\D+(\d+)$/, "$1").slice(0, 3);
}

/**
 * Points at equal distances along the edge, from the front left corner on.
 *
 * @param {number} count
 * @returns {[number, number][]}
 */
function spread(count) {
  const corners = [...EDGE, /** @type {[number, number]} */ (EDGE[0])];
  const lengths = corners.slice(1).map(([x, y], at) => Math.hypot(x - (corners[at]?.[0] ?? 0), y - (corners[at]?.[1] ?? 0)));
  const whole = lengths.reduce((a, b) => a + b, 0);
  return Array.from({ length: count }, (_, index) => {
    let left = ((index + 0.35) / count) * whole;
    let side = 0;
    while (left > (lengths[side] ?? 0) && side < lengths.length - 1) left -= lengths[side++] ?? 0;
    const [fromX, fromY] = corners[side] ?? [0, 0];
    const [toX, toY] = corners[side + 1] ?? [0, 0];
    const share = left / (lengths[side] || 1);
    return [fromX + (toX - fromX) * share, fromY + (toY - fromY) * share];
  });
}

/** @param {number} x @param {number} y @param {string} label */
function Bolt(x, y, label) {
  const ring = svg("circle", { r: 14 });
  const text = svg("text", { y: 5.5 }, label);
  const tick = svg("path", { class: "tick", d: "M-6 0.5l4 4.5 8-9" });
  const before = svg("circle", { class: "before", r: 19 });
  const root = svg("g", { class: "bolt", transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` }, before, ring, text, tick);

  /** @param {Turn} turn */
  function update(turn) {
    root.dataset.turn = turn;
    ring.setAttribute("r", turn === "next" ? "18" : "14");
  }
  return { root, update };
}
