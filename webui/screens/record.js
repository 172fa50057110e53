/** The finished sheet: what was done, with which numbers, from which sources, and what departed from the procedure. */

/** @import { App, Open, Screen } from "../app/types.js" */
/** @import { Row } from "../parts/record-model.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { isFirst } from "../parts/judgements.js";
import { FoldSection } from "../parts/fold-section.js";
import { knowledgeOf, lookUp } from "../parts/known.js";
import { SkipMark, TickMark, WarningMark } from "../parts/marks.js";
import { Button } from "../parts/press.js";
import { dayText, timeText } from "../parts/reading-words.js";
import { findExceptions, findFluids, findLeftOpen, findRows, gatherTorques } from "../parts/record-model.js";
import { amountText } from "../parts/unit-amount.js";

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

  /** @param {Open} open @returns {Node[]} */
  function sectionsOf(open) {
    const rows = findRows(open);
    return [
      Head(open, heading, state),
      Fluids(open),
      Exceptions(open, rows),
      element("div", { class: "folds" }, Torques(open, rows), Readings(rows), Figures(open), Steps(open, rows)),
    ];
  }

  /** @type {HTMLDetailsElement[]} those that were opened for the paper alone */
  let openedForPaper = [];
  const openAll = () => {
    openedForPaper = [...root.querySelectorAll("details")].filter((details) => !details.open);
    for (const details of openedForPaper) details.open = true;
  };
  const closeAgain = () => openedForPaper.forEach((details) => (details.open = false));
  addEventListener("beforeprint", openAll);
  addEventListener("afterprint", closeAgain);

  function dispose() {
    removeEventListener("beforeprint", openAll);
    removeEventListener("afterprint", closeAgain);
  }

  update();
  return { root, update, dispose };
}

/** @param {Open} open @param {HTMLElement} heading @param {HTMLElement} state */
function Head({ car, visit, composition, catalog, catalogHash }, heading, state) {
  const opened = visit.opened;
  const odometer = amountText(catalog, "km", Number(opened?.payload.odometer_m ?? 0)).text;
  /** @type {[string, string][]} */
  const rows = [
    [words.record.day, opened ? dayText(opened.wall) : ""],
    [words.record.from, opened ? timeText(opened.wall) : ""],
    [words.record.closed, visit.closed ? `${dayText(visit.closed.wall)}, ${timeText(visit.closed.wall)}` : words.record.notClosed],
    [words.record.odometer, odometer],
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

/** @param {string[]} columns @param {(string | Node)[][]} rows */
function Table(columns, rows) {
  const head = element("tr", {}, ...columns.map((column) => element("th", { scope: "col" }, column)));
  const body = rows.map((cells) => element("tr", {}, ...cells.map((cell) => element("td", {}, cell))));
  return element("table", {}, element("thead", {}, head), element("tbody", {}, ...body));
}

/** Long lists open on demand; on paper all of them are open. @param {string} title @param {string} gist @param {Node[]} inside @param {boolean} [isOpen] */
function Folded(title, gist, inside, isOpen = false) {
  const section = FoldSection(title);
  section.update(gist, inside);
  section.root.open = isOpen;
  return section.root;
}

/** @param {Open} open */
function Fluids(open) {
  const rows = findFluids(open).map(({ title, fluid, approval, grade, out, into, isNew }) => [
    element("span", {}, element("b", {}, title), element("br", {}), element("span", { class: "quiet" }, [isNew ? words.record.renewed : words.record.notRenewed, fluid === title ? "" : fluid, approval, grade].filter(Boolean).join(" · "))),
    out ? words.record.cameOut(out) : "",
    into ? words.record.wentIn(into) : "",
  ]);
  const table = Table([words.record.fluid, words.record.out, words.record.into], rows);
  return element("section", { class: "fluids" }, element("h2", {}, words.record.fluids), table);
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
  const cells = gatherTorques(rows).map(({ job, title, torque, from, to }) => {
    const times = from === to ? from : words.record.span(from, to);
    const where = [catalog.jobs[job]?.shared ? "" : catalog.jobs[job]?.title, torque.from, times].filter(Boolean).join(" · ");
    return [title, element("b", {}, torque.text || "–"), where];
  });
  return Folded(words.record.torques, words.record.rows(cells.length), [Table([words.record.fastener, words.record.torque, words.record.source], cells)], true);
}

/** @param {Row[]} rows */
function Readings(rows) {
  const cells = rows.flatMap(({ title, readings, judged }) =>
    readings.map(({ label, value }, at) => [
      element("span", {}, element("b", {}, label), element("br", {}), element("span", { class: "quiet" }, title)),
      element("b", {}, value),
      at === readings.length - 1 && judged.length ? element("span", { class: "judged" }, ...judged.filter(isFirst).map(Judged)) : "",
    ]),
  );
  return Folded(words.record.readings, words.record.rows(cells.length), [Table([words.record.reading, words.record.value, words.record.judgement], cells)], true);
}

/** @param {Row["judged"][number]} judgement */
function Judged({ holds, says }) {
  return element("span", {}, holds === true ? TickMark() : WarningMark(), element("span", {}, says ?? (holds === null ? words.work.cannotJudge : words.yesNo(holds))));
}

/** Figures as they stood when the visit was closed. @param {Open} open */
function Figures(open) {
  const knowledge = knowledgeOf(open);
  const names = Object.keys(open.visit.closed?.payload.figures ?? {});
  const labelled = names.map((name) => ({ known: lookUp(knowledge, name), job: open.catalog.jobs[open.catalog.figures[name]?.job ?? ""]?.title }));
  const cells = labelled.map(({ known, job }) => [element("span", {}, known.label, element("br", {}), element("span", { class: "quiet" }, job)), known.holds === null ? element("b", {}, known.text) : known.text, known.other]);
  return Folded(words.record.figures, words.record.rows(cells.length), [Table([words.record.figure, words.record.value, words.record.other], cells)]);
}

/** @param {Open} open @param {Row[]} rows */
function Steps({ catalog }, rows) {
  const phases = catalog.phases.map((phase) => ({ ...phase, rows: rows.filter((row) => row.phase === phase.id) })).filter((phase) => phase.rows.length);
  const sections = phases.map((phase) => element("section", {}, element("h3", {}, phase.title), element("ol", {}, ...phase.rows.map(StepLine))));
  return Folded(words.record.steps, words.record.rows(rows.length), [element("div", { class: "record-steps" }, ...sections)]);
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
