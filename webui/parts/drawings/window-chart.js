/**
 * Readings over time against the window they must fall into: the band is labelled, a reading is a dot, and a bar on the
 * band's edge, at the end of two dashed lines, says from when to when the readings let it be crossed.
 */

/** @import { Forecast, Span } from "../step/window-forecast.js" */

import { svg } from "../../dom/element.js";

const LEFT = 44;
const RIGHT = 328;
const TOP = 20;
const BOTTOM = 134;
const AHEAD_MS = 15 * 60_000;

/**
 * @typedef {object} Chart
 * @property {{ at_ms: number, shown: number }[]} points in the unit that is shown
 * @property {number} from
 * @property {number} to
 * @property {string} unit
 * @property {number} now_ms
 * @property {Forecast | null} forecast
 * @property {string} label read aloud
 */

export function WindowChart() {
  const root = svg("svg", { class: "picture chart", viewBox: "0 0 340 160", role: "img" });

  /** @param {Chart} chart */
  function update({ points, from, to, unit, now_ms, forecast, label }) {
    root.setAttribute("aria-label", label);
    const values = points.map(({ shown }) => shown);
    const span = to - from;
    const low = Math.min(from - span * 0.9, ...values.map((value) => value - span * 0.15));
    const high = Math.max(to + span * 0.35, ...values.map((value) => value + span * 0.15));
    const first = points[0]?.at_ms ?? now_ms;
    const soon = now_ms + AHEAD_MS; // what lies further off is said, not drawn
    const crossings = [{ span: forecast?.opens, edge: from }, { span: forecast?.closes, edge: to }];
    const ends = crossings.map(({ span }) => Math.min(span?.to_ms ?? 0, soon));
    const last = Math.max(now_ms, points.at(-1)?.at_ms ?? 0, first + 5 * 60_000, ...ends);
    const y = /** @param {number} value */ (value) => BOTTOM - ((value - low) / (high - low)) * (BOTTOM - TOP);
    const x = /** @param {number} at */ (at) => LEFT + 8 + ((at - first) / (last - first)) * (RIGHT - LEFT - 16);
    const line = points.map(({ at_ms, shown }, at) => `${at ? "L" : "M"}${x(at_ms).toFixed(1)} ${y(shown).toFixed(1)}`).join("");
    root.replaceChildren(
      svg("rect", { class: "band", x: LEFT, y: y(to), width: RIGHT - LEFT, height: y(from) - y(to) }),
      svg("path", { class: "band-edge", d: `M${LEFT} ${y(to)}H${RIGHT}M${LEFT} ${y(from)}H${RIGHT}` }),
      Label(LEFT - 6, y(to) + 5, String(to), "end"),
      Label(LEFT - 6, y(from) + 5, String(from), "end"),
      Label(RIGHT, y(to) - 6, unit, "end"),
      svg("path", { class: "axis", d: `M${LEFT} ${BOTTOM}H${RIGHT}` }),
      ...minutes(first, last).map((minute) => Label(x(first + minute * 60_000), BOTTOM + 20, `${minute}′`, "middle")),
      ...crossings.flatMap(({ span, edge }) => Crossing(span ?? null, edge)),
      svg("path", { class: "ahead", d: linesAhead() }),
      svg("path", { class: "line", d: line || "M0 0" }),
      ...points.map(({ at_ms, shown }, at) => svg("circle", { class: "dot", cx: x(at_ms), cy: y(shown), r: at === points.length - 1 ? 8 : 5 })),
    );

    /** From the last reading to where the nearest edge is crossed, at the earliest and at the latest. */
    function linesAhead() {
      const tip = points.at(-1);
      const next = tip && crossings.find(({ span }) => span && span.from_ms >= tip.at_ms && span.from_ms <= last);
      if (!tip || !next?.span) return "M0 0";
      const from = `M${x(tip.at_ms).toFixed(1)} ${y(tip.shown).toFixed(1)}`;
      return [next.span.from_ms, Math.min(next.span.to_ms, last)].map((at) => `${from}L${x(at).toFixed(1)} ${y(next.edge).toFixed(1)}`).join("");
    }

    /** @param {Span | null} span @param {number} edge */
    function Crossing(span, edge) {
      if (!span || span.from_ms > last || span.to_ms < first) return [];
      const [left, right] = [Math.max(span.from_ms, first), Math.min(span.to_ms, last)];
      return [svg("path", { class: "crossing", d: `M${x(left).toFixed(1)} ${y(edge).toFixed(1)}H${Math.max(x(right), x(left) + 4).toFixed(1)}` })];
    }
  }
  return { root, update };
}

/** @param {number} x @param {number} y @param {string} text @param {string} anchor */
function Label(x, y, text, anchor) {
  return svg("text", { x, y, "text-anchor": anchor }, text);
}

/** Whole minutes for the axis, five labels at most. @param {number} first @param {number} last */
function minutes(first, last) {
  const whole = Math.floor((last - first) / 60_000);
  const step = Math.max(1, Math.ceil(whole / 5));
  return Array.from({ length: Math.floor(whole / step) + 1 }, (_, at) => at * step);
}
