/** One service over the years as a line: dots for what was done, a bar for when it is due again, a stroke for today. */

/** @import { ServiceDue } from "../../core/due-list.js" */

import { element, svg } from "../../dom/element.js";
import { due as words } from "../../app/words/due.js";
import { addDays } from "../../core/due.js";
import { span } from "../../core/meter.js";

/** @typedef {{ from: string, to: string, today: string }} Stretch what the chart shows */

const PAST_DAYS = 730;
const AHEAD_DAYS = 1095;

/** From the oldest service, at most two years back, to the last day of the next, at most three years ahead. @param {ServiceDue[]} services @param {string} today @returns {Stretch} */
export function findStretch(services, today) {
  const past = services.flatMap(({ history }) => history.map(({ date }) => date)).sort();
  const ahead = services.flatMap(({ date, date_to }) => [date, date_to].filter((each) => each !== null)).sort();
  const [least, most] = [addDays(today, -PAST_DAYS), addDays(today, AHEAD_DAYS)];
  const first = past.find((date) => date >= least) ?? addDays(today, -90);
  const last = ahead.findLast((date) => date <= most) ?? addDays(today, 365);
  const edge = Math.max(30, Math.round(span(first, last) * 0.04));
  return { from: addDays(first, -edge), to: addDays(last > today ? last : addDays(today, 90), edge), today };
}

/** @param {Stretch} stretch @param {ServiceDue} service */
export function DueTrack(stretch, { history, date, date_from, date_to, state }) {
  const at = /** @param {string} day */ (day) => placeOf(stretch, day);
  const dots = history.filter((done) => done.date >= stretch.from).map((done) => svg("circle", { class: "done", cx: at(done.date), cy: 11, r: 5.5 }));
  const parts = date === null ? [] : [...Bar(at, stretch, date_from ?? date, date_to ?? date), svg("circle", { class: "next", cx: at(date), cy: 11, r: 5.5 })];
  return svg(
    "svg",
    { class: "due-track", "aria-hidden": "true", "data-state": state },
    svg("line", { class: "base", x1: "0%", x2: "100%", y1: 11, y2: 11 }),
    svg("line", { class: "today", x1: at(stretch.today), x2: at(stretch.today), y1: 0, y2: 22 }),
    ...parts,
    ...dots,
  );
}

/** @param {(day: string) => string} at @param {Stretch} stretch @param {string} from @param {string} to */
function Bar(at, stretch, from, to) {
  const [start, end] = [parseFloat(at(from < stretch.from ? stretch.from : from)), parseFloat(at(to))];
  return end > start ? [svg("rect", { class: "range", x: `${start}%`, width: `${end - start}%`, y: 6, height: 10, rx: 5 })] : [];
}

/** @param {Stretch} stretch @param {string} day */
function placeOf({ from, to }, day) {
  const share = span(from, day) / Math.max(span(from, to), 1);
  return `${(Math.min(Math.max(share, 0.01), 0.99) * 100).toFixed(2)}%`;
}

/** The years above the lines, and where today is. @param {Stretch} stretch */
export function DueAxis(stretch) {
  const [first, last] = [Number(stretch.from.slice(0, 4)), Number(stretch.to.slice(0, 4))];
  const years = Array.from({ length: last - first + 1 }, (_, index) => `${first + index}`).filter((year) => `${year}-01-01` >= stretch.from && Math.abs(span(`${year}-01-01`, stretch.today)) > span(stretch.from, stretch.to) * 0.09);
  return element(
    "div",
    { class: "due-axis", role: "img", "aria-label": words.chart(stretch.from.slice(0, 4), stretch.to.slice(0, 4)) },
    svg(
      "svg",
      { "aria-hidden": "true" },
      ...years.flatMap((year) => [svg("line", { x1: placeOf(stretch, `${year}-01-01`), x2: placeOf(stretch, `${year}-01-01`), y1: 18, y2: 24 }), svg("text", { x: placeOf(stretch, `${year}-01-01`), y: 14 }, year)]),
      svg("text", { class: "today", "data-first": isAtEdge(stretch), x: isAtEdge(stretch) ? 0 : placeOf(stretch, stretch.today), y: 14 }, words.today),
    ),
  );
}

/** Whether the word over today would begin before the axis does. @param {Stretch} stretch */
function isAtEdge({ from, to, today }) {
  return span(from, today) < span(from, to) * 0.08;
}
