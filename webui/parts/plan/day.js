/**
 * The day as a chart: one row a service, its work filled and its waits outlined, over the hours; what must not be
 * interrupted is shaded across all rows. Under it the moments to know, in words, and what doing all in one day saves.
 */

/** @import { Catalog, Composition } from "../../core/types.js" */
/** @import { Learned } from "../../core/durations.js" */
/** @import { Span, Task, Timetable } from "../../core/timetable.js" */
/** @import { Knowledge } from "../texts/known.js" */

import { element } from "../../dom/element.js";
import { words as common } from "../../app/words.js";
import { plan as words } from "../../app/words/plan.js";
import { compose, stepOf } from "../../core/compose.js";
import { spendInTurn } from "../../core/in-turn.js";
import { makeTimetable } from "../../core/timetable.js";
import { formatNumber } from "../../core/units.js";
import { filledText, itemText } from "../texts/known.js";

const HOUR = 3600;
/** Tasks of one service that touch are drawn as one bar. */
const TOUCH_S = 1;

/**
 * @param {Knowledge} knowledge
 * @param {Composition} composition
 * @param {Learned} learned
 * @param {string} start "09:00"
 * @returns {Node[]}
 */
export function PlanDay(knowledge, composition, learned, start) {
  const { catalog } = knowledge;
  const day = makeTimetable(catalog, composition, learned);
  const clock = /** @param {number} at_s */ (at_s) => clockText(start, at_s);
  const span = common.timers.span;
  const { work_s, wait_s } = spendInTurn(catalog, composition, learned);
  const alone = composition.jobs.map((job) => makeTimetable(catalog, compose(catalog, [job], composition.facts), learned).total_s);
  const each = alone.reduce((sum, total_s) => sum + total_s, 0);
  const earlies = day.tasks.filter(({ early }) => early).length;
  return [
    element("p", { class: "day-total" }, earlies > 0 && element("b", {}, words.together(span(day.total_s))), " ", words.inTurn(span(work_s), span(wait_s), span(toMinute(work_s) + toMinute(wait_s)))),
    composition.jobs.length > 1 && element("p", {}, words.saves(span(each), span(each - day.total_s))),
    Chart(catalog, day, clock),
    element("p", { class: "quiet" }, words.legend, " ", earlies > 0 && words.early(earlies)),
    Moments(knowledge, composition, day, clock),
    element("p", { class: "quiet" }, learned.count ? words.learned(learned.count, learned.visits, `${formatNumber(learned.pace * 100, 0)} %`) : words.asWritten),
  ].filter((node) => node instanceof Node);
}

/** What is read as a sum must be one. @param {number} seconds */
function toMinute(seconds) {
  return Math.round(seconds / 60) * 60;
}

/** @param {string} start "09:00" @param {number} at_s */
function clockText(start, at_s) {
  const [hours = 9, minutes = 0] = start.split(":").map(Number);
  const all = Math.round(hours * 60 + minutes + at_s / 60);
  const day = Math.floor(all / 1440);
  const text = `${String(Math.floor(all / 60) % 24).padStart(2, "0")}:${String(all % 60).padStart(2, "0")}`;
  return day ? `${text} (+${day})` : text;
}

/** @param {Catalog} catalog @param {Timetable} day @param {(at_s: number) => string} clock */
function Chart(catalog, day, clock) {
  const percent = /** @param {number} at_s */ (at_s) => `${(at_s / Math.max(1, day.total_s)) * 100}%`;
  const rows = rowsOf(catalog, day.tasks).map(({ title, bars }) =>
    element("li", {}, element("span", { class: "what" }, title), element("span", { class: "lane" }, ...bars.map((bar) => Bar(bar, percent)))),
  );
  const shades = day.unbroken.map(({ from_s, to_s }) => placed(element("i", { class: "unbroken" }), from_s, to_s, percent));
  const helper = day.second ? [placed(element("i", { class: "helper" }), day.second.from_s, day.second.to_s, percent)] : [];
  return element(
    "figure",
    { class: "day-chart", role: "img", "aria-label": words.dayOfSteps },
    element("div", { class: "hours", "aria-hidden": "true" }, ...hoursOf(day.total_s).map((at_s) => hourMark(at_s, clock, percent))),
    element("div", { class: "lanes", "aria-hidden": "true" }, element("div", { class: "over" }, ...shades, ...helper), element("ol", {}, ...rows)),
  );
}

/** @param {number} total_s @returns {number[]} few enough to be read on a phone */
function hoursOf(total_s) {
  const every = total_s > 8 * HOUR ? 3 * HOUR : total_s > 4 * HOUR ? 2 * HOUR : HOUR;
  return Array.from({ length: Math.floor(total_s / every) + 1 }, (_, at) => at * every);
}

/** @param {number} at_s @param {(at_s: number) => string} clock @param {(at_s: number) => string} percent */
function hourMark(at_s, clock, percent) {
  const mark = element("span", {}, clock(at_s));
  mark.style.insetInlineStart = percent(at_s);
  return mark;
}

/** @typedef {{ from_s: number, to_s: number, isWait: boolean }} Bar */

/** Services by their first step; what they share comes first. @param {Catalog} catalog @param {Task[]} tasks */
function rowsOf(catalog, tasks) {
  /** @type {Map<string, Bar[]>} */
  const rows = new Map([["", []]]);
  for (const { step, start_s, work_s, wait_s } of tasks) {
    const id = step.split("/")[0] ?? "";
    const key = catalog.jobs[id]?.shared ? "" : id;
    const bars = rows.get(key) ?? [];
    rows.set(key, bars);
    for (const bar of [{ from_s: start_s, to_s: start_s + work_s, isWait: false }, { from_s: start_s + work_s, to_s: start_s + work_s + wait_s, isWait: true }]) {
      const last = bars.at(-1);
      if (bar.to_s <= bar.from_s) continue;
      if (last && last.isWait === bar.isWait && bar.from_s - last.to_s < TOUCH_S) last.to_s = bar.to_s;
      else bars.push(bar);
    }
  }
  return [...rows].map(([id, bars]) => ({ title: id ? (catalog.jobs[id]?.title ?? id) : words.alone, bars }));
}

/** @param {Bar} bar @param {(at_s: number) => string} percent */
function Bar({ from_s, to_s, isWait }, percent) {
  return placed(element("i", { class: isWait ? "wait" : "work" }), from_s, to_s, percent);
}

/** @template {HTMLElement} Made @param {Made} made @param {number} from_s @param {number} to_s @param {(at_s: number) => string} percent */
function placed(made, from_s, to_s, percent) {
  made.style.insetInlineStart = percent(from_s);
  made.style.inlineSize = percent(to_s - from_s);
  return made;
}

/** @param {Knowledge} knowledge @param {Composition} composition @param {Timetable} day @param {(at_s: number) => string} clock */
function Moments(knowledge, composition, day, clock) {
  const stop = lastStop(knowledge, composition, day, clock);
  const between = /** @param {Span} span */ ({ from_s, to_s }) => words.unbroken(clock(from_s), clock(to_s));
  const moments = [
    ...(stop ? [stop] : []),
    ...day.unbroken.map((span) => ({ at_s: span.from_s, when: between(span), what: words.unbrokenSays })),
    ...(day.second ? [{ at_s: day.second.from_s, when: between(day.second), what: words.secondSays }] : []),
    { at_s: day.total_s, when: clock(day.total_s), what: words.ends(clock(day.total_s)) },
  ].sort((one, other) => one.at_s - other.at_s);
  return element("section", { class: "moments" }, element("h3", {}, words.moments), element("ul", {}, ...moments.map(({ when, what }) => element("li", {}, element("b", {}, when), element("span", {}, what)))));
}

/** The moment before the longest stretch in which the car cannot be left. @param {Knowledge} knowledge @param {Composition} composition @param {Timetable} day @param {(at_s: number) => string} clock */
function lastStop(knowledge, composition, day, clock) {
  const stretches = day.rests.map(({ at_s }, at) => ({ at_s, until_s: day.rests[at + 1]?.at_s ?? day.total_s }));
  const longest = stretches.reduce((found, each) => (each.until_s - each.at_s > found.until_s - found.at_s ? each : found), { at_s: 0, until_s: 0 });
  const next = day.tasks.find(({ start_s }) => start_s >= longest.at_s - 1e-6);
  if (!next || longest.until_s <= longest.at_s) return null;
  const instance = composition.steps.find(({ id }) => id === next.id);
  const step = instance && stepOf(knowledge.catalog, instance);
  const title = step && instance ? filledText(knowledge, step.title, itemText(knowledge.catalog, step.each, instance.item)) : "";
  return { at_s: longest.at_s, when: clock(longest.at_s), what: `${words.lastStop}; ${words.lastStopSays(title, longest.until_s < day.total_s ? clock(longest.until_s) : "")}` };
}
