/** The finished sheet: what was done, with which numbers, from which sources, and what departed from the procedure. */

/** @import { App, Open, Screen } from "../app/types.js" */
/** @import { Row } from "../parts/record-model.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { formatNumber } from "../core/units.js";
import { knowledgeOf, lookUp } from "../parts/known.js";
import { SkipMark, TickMark, WarningMark } from "../parts/marks.js";
import { Button } from "../parts/press.js";
import { dayText, timeText } from "../parts/reading-words.js";
import { findExceptions, findFluids, findLeftOpen, findRows } from "../parts/record-model.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function RecordScreen(app, { visit: visitId }) {
  const heading = element("h1", { tabindex: "-1" });
  const state = element("p", { class: "record-state", role: "status" });
  const sheet = element("div", { class: "content" });
  const root = element(
    "div",
    { class: "page record" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.record.toCars), Button({ class: "second" }, () => print(), words.record.print)),
    sheet,
  );
  let drawn = "";
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  function update() {
    const open = app.visit(visitId);
    if (!open) return void sheet.replaceChildren(element("p", {}, words.work.visitMissing));
    showState(open);
    const key = `${open.events.length} ${open.events.at(-1)?.id}`;
    if (key === drawn) return;
    drawn = key;
    heading.textContent = open.car.title;
    document.title = words.record.documentTitle(open.car.title);
    sheet.replaceChildren(...sectionsOf(open));
  }

  /** @param {Open} open */
  function showState(open) {
    const waiting = open.events.filter(({ seq }) => seq === null || seq === undefined).length;
    state.dataset.kept = waiting ? "phone" : "server";
    state.textContent = waiting ? words.record.onPhone(waiting) : words.record.onServer;
  }

  /** @param {Open} open */
  function sectionsOf(open) {
    const rows = findRows(open);
    return [
      Head(open, heading, state),
      Fluids(open),
      Exceptions(open, rows),
      Torques(open, rows),
      Readings(rows),
      Figures(open),
      Steps(open, rows),
    ].filter((section) => section !== null);
  }

  update();
  return { root, update };
}

/** @param {Open} open @param {HTMLElement} heading @param {HTMLElement} state */
function Head({ car, visit, composition, catalog, catalogHash }, heading, state) {
  const opened = visit.opened;
  const km = formatNumber(Number(opened?.payload.odometer_m ?? 0) / 1000, 0);
  /** @type {[string, string][]} */
  const rows = [
    [words.record.day, opened ? dayText(opened.wall) : ""],
    [words.record.from, opened ? timeText(opened.wall) : ""],
    [words.record.closed, visit.closed ? `${dayText(visit.closed.wall)}, ${timeText(visit.closed.wall)}` : words.record.notClosed],
    [words.record.odometer, `${km}\u00a0km`],
    [words.record.by, [opened?.payload.by, visit.closed?.payload.by].filter((by, at, all) => by && all.indexOf(by) === at).join(", ")],
    [words.record.services, composition.jobs.map((id) => catalog.jobs[id]?.title ?? id).join(", ")],
    [words.record.procedures, catalogHash.slice(0, 12)],
  ];
  return element("section", { class: "record-head" }, element("p", { class: "plate" }, car.plate), heading, state, Terms(rows.filter(([, what]) => what)));
}

/** @param {[string, string][]} rows */
function Terms(rows) {
  return element("dl", { class: "rows" }, ...rows.flatMap(([term, what]) => [element("dt", {}, term), element("dd", {}, what)]));
}

/** @param {string} title @param {string[]} columns @param {(string | Node)[][]} rows @param {string} [name] */
function TableSection(title, columns, rows, name = "") {
  if (!rows.length) return null;
  const head = element("tr", {}, ...columns.map((column) => element("th", { scope: "col" }, column)));
  const body = rows.map((cells) => element("tr", {}, ...cells.map((cell) => element("td", {}, cell))));
  return element("section", { class: name || null }, element("h2", {}, title), element("table", {}, element("thead", {}, head), element("tbody", {}, ...body)));
}

/** @param {Open} open */
function Fluids(open) {
  const rows = findFluids(open).map(({ title, fluid, approval, grade, out, into, isNew }) => [
    element("span", {}, element("b", {}, title), element("br", {}), element("span", { class: "quiet" }, [isNew ? words.record.renewed : words.record.notRenewed, fluid === title ? "" : fluid, approval, grade].filter(Boolean).join(" · "))),
    out ? words.record.cameOut(out) : "",
    into ? words.record.wentIn(into) : "",
  ]);
  return TableSection(words.record.fluids, [words.record.fluid, words.record.out, words.record.into], rows, "fluids");
}

/** @param {Open} open @param {Row[]} rows */
function Exceptions(open, rows) {
  const exceptions = findExceptions(rows);
  const left = findLeftOpen(open);
  if (!exceptions.length && !left.length) {
    return element("section", { class: "all-well" }, TickMark(), element("p", {}, words.record.allWell));
  }
  return element(
    "section",
    {},
    element("h2", {}, words.record.exceptions),
    element(
      "ul",
      { class: "exceptions" },
      ...left.map(({ title, says }) => element("li", {}, WarningMark(), element("span", {}, element("b", {}, title), " ", says))),
      ...exceptions.map(({ title, what, reason }) => element("li", {}, SkipMark(), element("span", {}, element("b", {}, title), " ", what, reason && element("q", {}, reason)))),
    ),
  );
}

/** @param {Open} open @param {Row[]} rows */
function Torques({ catalog }, rows) {
  const cells = rows.flatMap(({ id, title, torque, status }) => {
    const job = catalog.jobs[id.split("/")[0] ?? ""];
    const where = [job?.shared ? "" : job?.title, torque?.from, status ? timeText(status.at) : ""].filter(Boolean).join(" · ");
    return torque ? [[title, element("b", {}, torque.text || "–"), where]] : [];
  });
  return TableSection(words.record.torques, [words.record.fastener, words.record.torque, words.record.source], cells);
}

/** @param {Row[]} rows */
function Readings(rows) {
  const cells = rows.flatMap(({ title, readings, judged }) =>
    readings.map(({ label, value }, at) => [
      element("span", {}, element("b", {}, label), element("br", {}), element("span", { class: "quiet" }, title)),
      element("b", {}, value),
      at === readings.length - 1 && judged.length ? element("span", { class: "judged" }, ...judged.map(Judged)) : "",
    ]),
  );
  return TableSection(words.record.readings, [words.record.reading, words.record.value, words.record.judgement], cells);
}

/** @param {Row["judged"][number]} judgement */
function Judged({ holds, says }) {
  return element("span", {}, holds === true ? TickMark() : WarningMark(), element("span", {}, says ?? (holds === null ? words.work.cannotJudge : words.yesNo(holds))));
}

/** Figures as they stood when the visit was closed. @param {Open} open */
function Figures(open) {
  const knowledge = knowledgeOf(open);
  const names = Object.keys(open.visit.closed?.payload.figures ?? {});
  const cells = names.map((name) => lookUp(knowledge, name)).map((known) => [known.label, known.holds === null ? element("b", {}, known.text) : known.text, known.other]);
  const table = TableSection(words.record.figures, [words.record.figure, words.record.value, ""], cells);
  if (!table) return null;
  return element("details", { class: "figures" }, element("summary", {}, words.record.showFigures(names.length)), table);
}

/** @param {Open} open @param {Row[]} rows */
function Steps({ catalog }, rows) {
  const phases = catalog.phases.map((phase) => ({ ...phase, rows: rows.filter((row) => row.phase === phase.id) })).filter((phase) => phase.rows.length);
  return element(
    "section",
    { class: "record-steps" },
    element("h2", {}, words.record.steps),
    ...phases.map((phase) => element("section", {}, element("h3", {}, phase.title), element("ol", {}, ...phase.rows.map(StepLine)))),
  );
}

/** @param {Row} row */
function StepLine({ title, status, finding, readings, torque, photos }) {
  const mark = !status ? WarningMark() : status.status === "done" ? TickMark() : SkipMark();
  const more = [finding, ...readings.map(({ label, value }) => `${label} ${value}`), torque?.text, photos.length ? words.work.photos(photos.length) : "", status?.reason].filter(Boolean).join(" · ");
  return element(
    "li",
    {},
    mark,
    element("span", {}, title, more && element("span", { class: "quiet" }, more)),
    element("span", { class: "quiet" }, status ? timeText(status.at) : words.record.notDone),
  );
}
