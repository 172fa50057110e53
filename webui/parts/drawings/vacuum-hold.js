/**
 * A vacuum over the time it must hold, air outside at the top: in the band it holds, above it there is a leak. The dashed
 * floor is the deepest vacuum there can be where the car stands; a gauge that reads below it is wrong.
 */

/** @import { StepContext } from "../step/context.js" */

import { svg } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { fromSI, formatNumber, unitOf } from "../../core/units.js";
import { lookUp } from "../texts/known.js";
import { wantedUnit } from "../texts/unit-amount.js";

const LEFT = 12;
const RIGHT = 328;
const TOP = 24;
/** Where the least of the numbers stands, and the most. */
const FIRST = 84;
const BOTTOM = 156;
/** What the lines mean stands below them all, where no reading can lie on it. */
const KEY = BOTTOM + 28;
const KEY_ROW = 22;

/**
 * @param {StepContext} context
 * @param {object} names
 * @param {string[]} names.gauges the readings of the gauge, in any order
 * @param {string | undefined} names.target figure: the vacuum to pull
 * @param {string | undefined} names.passMark figure: what must still stand at the end
 * @param {string | undefined} names.possible figure: the deepest there can be
 */
export function VacuumHold(context, { gauges, target, passMark, possible }) {
  const root = svg("svg", { class: "picture chart vacuum", viewBox: "0 0 340 214", role: "img" });

  /** Its text is the one that the number beside the drawing shows. @param {string | undefined} name @returns {{ value: number, text: string } | null} value in SI */
  function figure(name) {
    const known = name ? lookUp(context.knowledge(), name) : null;
    const value = known?.outcome.value;
    return known && typeof value === "number" ? { value, text: known.text } : null;
  }

  function update() {
    const { catalog, visit } = context.open();
    const unit = unitOf(catalog, wantedUnit(catalog, catalog.readings[gauges[0] ?? ""]?.unit ?? "kPa"));
    const say = /** @param {number} si */ (si) => `${formatNumber(fromSI(unit, si), unit.decimals)} ${unit.symbol}`;
    const points = gauges
      .flatMap((name) => (visit.readings[name] ?? []).slice(-1))
      .map(({ at, value }) => ({ at_ms: Date.parse(at), value }))
      .sort((a, b) => a.at_ms - b.at_ms);
    // Before the gauge was read, what must be pulled is the mark; afterwards what must still stand.
    const mark = (points.length ? figure(passMark) : null) ?? figure(target);
    const floor = figure(possible);
    root.toggleAttribute("hidden", points.length === 0 && mark === null);
    if (!points.length && mark === null) return;
    const values = [...points.map(({ value }) => value), ...(mark === null ? [] : [mark.value]), ...(floor === null ? [] : [floor.value])];
    const [low, high] = [Math.min(...values), Math.max(...values)];
    // Only the end of the scale that matters is drawn; the gap below the air outside says so.
    const spread = Math.max(high - low, high * 0.02);
    const y = /** @param {number} value */ (value) => FIRST + ((value - low) / spread) * (BOTTOM - FIRST);
    const first = points[0]?.at_ms ?? 0;
    const span = (points.at(-1)?.at_ms ?? 0) - first || 1;
    const x = /** @param {number} at */ (at) => LEFT + 60 + ((at - first) / span) * (RIGHT - LEFT - 120);
    const path = points.map(({ at_ms, value }, at) => `${at ? "L" : "M"}${x(at_ms).toFixed(1)} ${y(value).toFixed(1)}`).join("");
    const isStanding = points.length > 0 && figure(passMark) !== null;
    const must = mark ? (isStanding ? words.work.mustStand : words.work.mustPull)(mark.text) : "";
    root.setAttribute("aria-label", describe(points.map(({ value }) => say(value)), must, floor?.text ?? ""));
    root.replaceChildren(
      ...(mark === null ? [] : Band(y(mark.value), floor === null ? BOTTOM + 12 : y(floor.value), must)),
      ...(floor === null ? [] : Floor(y(floor.value), KEY + (mark === null ? 0 : KEY_ROW), words.work.deepest(floor.text))),
      svg("path", { class: "axis", d: `M${LEFT} ${TOP}H${RIGHT}M${LEFT + 14} ${TOP}v8l-6 4 12 6-6 4v6` }),
      svg("text", { x: LEFT, y: TOP - 8 }, words.work.outsideAir),
      svg("path", { class: "line", d: path || "M0 0" }),
      ...points.map(({ at_ms, value }) => svg("circle", { class: "dot", cx: x(at_ms), cy: y(value), r: 8 })),
      ...points.map(({ at_ms, value }) => svg("text", { class: "amount", x: x(at_ms), y: y(value) - 15, "text-anchor": "middle" }, formatNumber(fromSI(unit, value), unit.decimals))),
    );
  }
  return { root, update };
}

/** @param {string[]} values @param {string} must what is to be reached, or kept @param {string} floor */
function describe(values, must, floor) {
  return [values.length > 0 && words.work.vacuum(values), must, floor && words.work.deepest(floor)].filter(Boolean).join(". ");
}

/** @param {number} top @param {number} bottom @param {string} label */
function Band(top, bottom, label) {
  return [
    svg("rect", { class: "band", x: LEFT, y: top, width: RIGHT - LEFT, height: Math.max(2, bottom - top) }),
    svg("path", { class: "band-edge", d: `M${LEFT} ${top}H${RIGHT}` }),
    ...Meaning("band-edge", KEY, label),
  ];
}

/** @param {number} y @param {number} row @param {string} label */
function Floor(y, row, label) {
  return [svg("path", { class: "aim", d: `M${LEFT} ${y}H${RIGHT}` }), ...Meaning("aim", row, label)];
}

/** A short piece of a line, and what it means. @param {string} line @param {number} y @param {string} label */
function Meaning(line, y, label) {
  return [svg("path", { class: line, d: `M${LEFT} ${y - 5}h30` }), svg("text", { class: "what", x: LEFT + 40, y }, label)];
}
