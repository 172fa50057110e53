/**
 * How the car stands, as a bubble in a round vial: the ring is what still counts as level, and with the place of the plug
 * known, what the lean makes the level wrong by. It is the most that it can be wrong: real housings narrow to their ends.
 */

/** @import { Catalog } from "../../core/types.js" */
/** @import { Tilt } from "../../core/tilt.js" */
/** @import { Worked } from "./worked.js" */

import { element, svg } from "../../dom/element.js";
import { tilt as words } from "../../app/words/tilt.js";
import { AskedAmount, WorkedLine } from "./formula-form.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { amountText } from "../texts/unit-amount.js";
import { typedGiven, workOut } from "./worked.js";

/** @typedef {{ length: number, width: number, ahead: number, right: number }} Plug in metres: the fluid's surface, and the plug from its middle */
/** @typedef {{ lengthwise: number | null, crosswise: number | null }} Lean radians, + when the front or the right side is high */

/** What the rim of the vial stands for. */
const RIM = (3 * Math.PI) / 180;
const DEGREE = Math.PI / 180;
const VIAL = 74;
const MIDDLE = 96;

/**
 * @param {Catalog} catalog
 * @param {{ plug?: Plug | null, onPlug?: (plug: Plug) => void }} [more] onPlug: the person may say where the plug is
 */
export function LevelTilt(catalog, { plug: known = null, onPlug } = {}) {
  let plug = known;
  /** @type {Lean} */
  let shown = { lengthwise: null, crosswise: null };
  const limit = Number(catalog.formulas["car-level"]?.constants["limit"]?.value ?? DEGREE);
  const bubble = svg("circle", { class: "bubble", r: 15 });
  const amounts = [svg("text", { class: "amount", x: 198, y: 66 }), svg("text", { class: "amount", x: 198, y: 128 })];
  const sides = [svg("text", { class: "what", x: 198, y: 86 }), svg("text", { class: "what", x: 198, y: 148 })];
  const picture = svg(
    "svg",
    { class: "picture tilt", viewBox: "0 0 340 192", role: "img" },
    svg("circle", { class: "vial", cx: MIDDLE, cy: MIDDLE, r: VIAL + 15 }),
    svg("path", { class: "axis", d: `M${MIDDLE - VIAL} ${MIDDLE}H${MIDDLE + VIAL}M${MIDDLE} ${MIDDLE - VIAL}V${MIDDLE + VIAL}` }),
    svg("circle", { class: "ring", cx: MIDDLE, cy: MIDDLE, r: (limit / RIM) * VIAL + 15 }),
    bubble,
    ...amounts,
    ...sides,
  );
  const verdict = element("p", { class: "standing", role: "status" });
  const lines = element("div", { class: "number-lines" });
  const ask = onPlug ? Button({ class: "second" }, askPlug, "") : null;
  const root = element("section", { class: "level-tilt" }, picture, verdict, lines, ask);

  /** Complete and idempotent; cheap enough for every frame. @param {Lean} lean */
  function update(lean) {
    shown = lean;
    const { lengthwise, crosswise } = lean;
    const [along, across] = [lengthwise ?? 0, crosswise ?? 0];
    const away = Math.hypot(along, across);
    const reach = (Math.min(away, RIM) / (away || 1) / RIM) * VIAL;
    bubble.setAttribute("cx", String(MIDDLE + across * reach));
    bubble.setAttribute("cy", String(MIDDLE - along * reach));
    const isKnown = lengthwise !== null && crosswise !== null;
    const isLevel = isKnown && Math.abs(along) <= limit && Math.abs(across) <= limit;
    picture.dataset.level = isKnown ? String(isLevel) : "";
    const told = [sideText(lengthwise, words.front, words.rear), sideText(crosswise, words.right, words.left)];
    told.forEach(([amount, side], at) => {
      say(amounts[at], amount);
      say(sides[at], side);
    });
    picture.setAttribute("aria-label", told.map((one) => one.join(" ")).join(", "));
    say(verdict, !isKnown ? words.nothing : isLevel ? words.level : words.leans);
    verdict.dataset.standing = isLevel ? "inside" : isKnown ? "above" : "none";
    showError(lean);
  }

  let drawn = "";
  /** Drawn anew only when a number that can be read changes, so that a line can be pressed while the phone trembles. @param {Lean} lean */
  function showError(lean) {
    const error = plug ? levelError(catalog, plug, lean) : null;
    const key = JSON.stringify([error?.text, error?.parts.map(({ worked }) => worked.text || worked.absence)]);
    if (ask) say(ask, plug ? words.changePlug : words.askPlug);
    if (key === drawn) return;
    drawn = key;
    lines.hidden = !error;
    lines.replaceChildren(...(error ? [element("p", { class: "tilt-error" }, error.text), ...error.parts.map(({ worked, label }) => WorkedLine(worked, label))] : []));
  }

  /** @param {number | null} angle @param {string} positive @param {string} negative @returns {[string, string]} */
  function sideText(angle, positive, negative) {
    if (angle === null) return ["–", ""];
    const { text, number } = amountText(catalog, "degree", Math.abs(angle), 0.1 * DEGREE);
    return [text, number === "0" ? words.neither : words.high(angle > 0 ? positive : negative)];
  }

  function askPlug() {
    openPlugSheet(catalog, plug, (told) => {
      plug = told;
      onPlug?.(told);
      update(shown);
    });
  }

  update(shown);
  return { root, update };
}

/** @param {Element | undefined} node @param {string} text */
function say(node, text) {
  if (node && node.textContent !== text) node.textContent = text;
}

/**
 * What the level is wrong by, at most: each way by itself, and both together where they add up.
 *
 * @param {Catalog} catalog @param {Plug} plug @param {Lean} lean
 * @returns {{ text: string, parts: { worked: Worked, label: string }[] } | null}
 */
export function levelError(catalog, { length, width, ahead, right }, { lengthwise, crosswise }) {
  const ways = /** @type {[number, number | null][]} */ ([[ahead, lengthwise], [right, crosswise]]);
  const told = ways.map(([offset, angle]) => {
    // A plug at the high end lets too little out: the tilt counts from the plug's own end.
    const tilt = angle === null ? null : -angle * Math.sign(offset || 1);
    const distance = typedGiven(Math.abs(offset));
    const felt = /** @param {number | null} value */ (value) => ({ value, from: words.felt });
    const volume = workOut(catalog, "level-error-with-tilt", { length: typedGiven(length), width: typedGiven(width), distance, tilt: felt(tilt) });
    const height = offset === 0 ? null : workOut(catalog, "level-shift-with-tilt", { distance, tilt: felt(tilt === null ? null : Math.abs(tilt)) });
    return { volume, height };
  });
  const volumes = told.map(({ volume }) => volume?.value ?? NaN);
  const parts = told.flatMap(({ volume, height }, at) => [
    ...(volume ? [{ worked: volume, label: words.tooLittle(words.ways[at] ?? "") }] : []),
    ...(height ? [{ worked: height, label: words.moves(words.ways[at] ?? "") }] : []),
  ]);
  if (parts.length < 2) return null;
  const sum = volumes.reduce((total, volume) => total + volume, 0);
  if (Number.isNaN(sum)) return { text: words.cannotTell, parts };
  const { text, number } = amountText(catalog, "ml", Math.abs(sum), 1e-5);
  return { text: number === "0" ? words.noError : words.atMost(text, sum > 0), parts };
}

/** @param {Catalog} catalog @param {Plug | null} known @param {(plug: Plug) => void} onKeep */
function openPlugSheet(catalog, known, onKeep) {
  /** @type {Partial<Record<keyof Plug, number | null>>} */
  const told = { ahead: 0, right: 0, ...known };
  const ranges = { length: [0.05, 1.5], width: [0.05, 1], ahead: [-1.5, 1.5], right: [-1.5, 1.5] };
  const fields = /** @type {(keyof Plug)[]} */ (["length", "width", "ahead", "right"]).map((name) => {
    const [from = 0, to = 0] = ranges[name];
    return AskedAmount(catalog, { label: words.plug[name], unit: "mm", from, to, where: words.plugHints[name] }, told[name] ?? null, (value) => (told[name] = value));
  });
  const keep = Button({ class: "action" }, () => {
    const { length, width, ahead, right } = told;
    if (length == null || width == null || ahead == null || right == null) return;
    onKeep({ length, width, ahead, right });
    sheet.close();
  }, words.keepPlug);
  const sheet = openSheet(words.plugTitle, [element("p", { class: "quiet" }, words.plugSays), ...fields], [keep]);
}
