/**
 * An order of tightening proposed from where the screws sit, for a cover whose maker shows none: round, rectangular, or
 * tapped on a drawing. The screws are numbered clockwise from the front left, as the drawing in Work numbers them. The
 * maker's picture always wins.
 */

/** @import { Catalog } from "../../core/types.js" */
/** @import { WorkedFunction } from "./worked.js" */

import { element, svg } from "../../dom/element.js";
import { screws as words } from "../../app/words/screws.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { typedGiven, workOutFunction } from "./worked.js";

const FUNCTION = "tightening-sequence";
const WIDTH = 300;
const HEIGHT = 220;
/** A tap this near to a screw means that screw. */
const NEAR = 26;

/** @typedef {[number, number]} Spot on the drawing, front to the left */

/** @param {Catalog} catalog @param {{ onTake: (order: string[]) => void }} actions */
export function openScrewOrder(catalog, { onTake }) {
  /** @type {"round" | "rectangle" | "own"} */
  let shape = "rectangle";
  const counts = { round: 8, long: 5, short: 3 };
  /** @type {Spot[]} */
  let tapped = [];
  /** @type {WorkedFunction | null} */
  let worked = null;

  const drawing = svg("svg", { class: "picture screws", viewBox: `0 0 ${WIDTH + 40} ${HEIGHT + 40}`, role: "img", onclick: tap });
  const choices = element("div", { class: "choices" }, ...["rectangle", "round", "own"].map((id) => Choice(/** @type {typeof shape} */ (id))));
  const steppers = element("div", { class: "steppers" });
  const says = element("p", { class: "quiet" });
  const take = Button({ class: "action" }, () => {
    onTake(orderOf(worked).map(String));
    sheet.close();
  }, words.take);
  const why = Button({ class: "plain" }, openWhy, words.why);
  const sheet = openSheet(words.title, [element("p", {}, words.says), choices, steppers, drawing, says, why], [take]);
  update();

  /** @param {typeof shape} id */
  function Choice(id) {
    const input = element("input", { type: "radio", name: "screw-shape", value: id, checked: id === shape, onchange: () => choose(id) });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, words.shapes[id]));
  }

  /** @param {typeof shape} id */
  function choose(id) {
    shape = id;
    update();
  }

  /** @param {keyof typeof counts} name @param {number} least */
  function Stepper(name, least) {
    const change = /** @param {number} by */ (by) => () => {
      counts[name] = Math.min(24, Math.max(least, counts[name] + by));
      update();
    };
    return element(
      "div",
      { class: "stepper" },
      element("span", {}, words.counts[name]),
      Button({ class: "second", label: words.fewer(words.counts[name]) }, change(-1), "−"),
      element("b", {}, String(counts[name])),
      Button({ class: "second", label: words.more(words.counts[name]) }, change(1), "+"),
    );
  }

  /** @param {MouseEvent} event */
  function tap(event) {
    if (shape !== "own") return;
    const box = drawing.getBoundingClientRect();
    const scale = (WIDTH + 40) / box.width;
    const [x, y] = [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
    const near = tapped.findIndex((spot) => Math.hypot(spot[0] - x, spot[1] - y) < NEAR);
    tapped = near >= 0 ? tapped.filter((_, at) => at !== near) : clockwise([...tapped, [x, y]]);
    update();
  }

  function openWhy() {
    if (worked) void import("./number-sheet.js").then(({ openFunctionSheet }) => worked && openFunctionSheet(worked));
  }

  function update() {
    const spots = shape === "round" ? roundSpots(counts.round) : shape === "rectangle" ? rectangleSpots(counts.long, counts.short) : tapped;
    steppers.replaceChildren(...(shape === "round" ? [Stepper("round", 3)] : shape === "rectangle" ? [Stepper("long", 2), Stepper("short", 2)] : []));
    worked = spots.length ? workOutFunction(catalog, FUNCTION, { x: { ...typedGiven(null), value: spots.map(([x]) => x / 1000) }, y: { ...typedGiven(null), value: spots.map(([, y]) => y / 1000) } }) : null;
    const order = orderOf(worked);
    drawing.replaceChildren(Cover(shape), ...spots.map((spot, at) => Screw(spot, at + 1, order.indexOf(at + 1) + 1)));
    drawing.setAttribute("aria-label", words.drawn(spots.length));
    says.textContent = order.length ? words.order(order.join(" · ")) : words.tapFirst;
    take.hidden = why.hidden = order.length < 2;
  }
}

/** @param {WorkedFunction | null} worked @returns {number[]} */
function orderOf(worked) {
  const order = worked?.parts?.["order"];
  return Array.isArray(order) ? order : [];
}

/** Clockwise from the left, where the front is. @param {number} count @returns {Spot[]} */
function roundSpots(count) {
  return Array.from({ length: count }, (_, at) => {
    const angle = Math.PI + (2 * Math.PI * at) / count;
    return [20 + WIDTH / 2 + Math.cos(angle) * (HEIGHT / 2 - 14), 20 + HEIGHT / 2 + Math.sin(angle) * (HEIGHT / 2 - 14)];
  });
}

/** The corners count on both sides. @param {number} long @param {number} short @returns {Spot[]} clockwise from the front left corner */
function rectangleSpots(long, short) {
  const [left, right, top, bottom] = [36, WIDTH + 4, 44, HEIGHT - 4];
  const along = /** @param {number} from @param {number} to @param {number} count */ (from, to, count) => Array.from({ length: count - 1 }, (_, at) => from + ((to - from) * at) / (count - 1));
  return [
    ...along(left, right, long).map((x) => /** @type {Spot} */ ([x, top])),
    ...along(top, bottom, short).map((y) => /** @type {Spot} */ ([right, y])),
    ...along(right, left, long).map((x) => /** @type {Spot} */ ([x, bottom])),
    ...along(bottom, top, short).map((y) => /** @type {Spot} */ ([left, y])),
  ];
}

/** Round the middle of all, from the front left on. @param {Spot[]} spots @returns {Spot[]} */
function clockwise(spots) {
  const middle = [0, 1].map((axis) => spots.reduce((sum, spot) => sum + (spot[axis] ?? 0), 0) / spots.length);
  const turn = /** @param {Spot} spot */ (spot) => (Math.atan2(spot[1] - (middle[1] ?? 0), spot[0] - (middle[0] ?? 0)) + 2.76 * Math.PI) % (2 * Math.PI);
  return [...spots].sort((one, other) => turn(one) - turn(other));
}

/** @param {string} shape */
function Cover(shape) {
  const round = svg("circle", { class: "pan", cx: 20 + WIDTH / 2, cy: 20 + HEIGHT / 2, r: HEIGHT / 2 - 14 });
  const cornered = svg("rect", { class: "pan", x: 36, y: 44, width: WIDTH - 32, height: HEIGHT - 48, rx: 16 });
  return svg("g", { class: "pattern" }, svg("rect", { class: "field-of-taps", x: 2, y: 2, width: WIDTH + 36, height: HEIGHT + 36, rx: 14 }), shape === "round" ? round : shape === "rectangle" ? cornered : null);
}

/** @param {Spot} spot @param {number} number @param {number} turn */
function Screw([x, y], number, turn) {
  return svg(
    "g",
    { class: "bolt", transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})`, "data-turn": turn === 1 ? "next" : "later" },
    svg("circle", { r: 15 }),
    svg("text", { y: 5.5 }, String(number)),
    svg("text", { class: "turn", y: 31 }, words.turn(turn)),
  );
}
