/** The finished sheet: what was done, with which numbers, from which sources, and what departed from the procedure. */

/** @import { App, Open, Screen } from "../app/types.js" */
/** @import { Afterwards } from "../core/history.js" */
/** @import { Row } from "../parts/record/model.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { record } from "../app/words/record.js";
import { foldAfterwards } from "../core/history.js";
import { isFirst } from "../parts/numbers/judgements.js";
import { FoldSection } from "../parts/controls/fold-section.js";
import { knowledgeOf, lookUp } from "../parts/texts/known.js";
import { SkipMark, TickMark, WarningMark } from "../parts/drawings/marks.js";
import { Button } from "../parts/controls/press.js";
import { whoMade } from "../parts/texts/people.js";
import { dayText, timeText } from "../parts/texts/reading-words.js";
import { ClosedUpSection } from "../parts/record/closed-up.js";
import { AfterSection } from "../parts/record/after.js";
import { CustomerSheet } from "../parts/record/customer.js";
import { openPackSheet, packText } from "../parts/record/pack.js";
import { RecordPhotos } from "../parts/record/photos.js";
import { findExceptions, findFluids, findLeftOpen, findRows, gatherTorques } from "../parts/record/model.js";
import { amountText } from "../parts/texts/unit-amount.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function RecordScreen(app, { visit: visitId }) {
  const heading = element("h1", { tabindex: "-1" });
  const state = element("p", { class: "record-state", role: "status" });
  const sheet = element("div", { class: "content" });
  const views = ViewChoice((view) => {
    root.dataset.view = view;
    drawn = "";
    update();
  });
  const root = element(
    "div",
    { class: "page record", "data-view": "whole" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), record.toCars), Button({ class: "second" }, printSheet, record.print)),
    views,
    sheet,
  );
  let drawn = "";
  /** @type {ReturnType<typeof RecordPhotos> | null} */
  let photos = null;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  function update() {
    const open = app.visit(visitId);
    if (!open) return void sheet.replaceChildren(element("p", {}, words.work.visitMissing));
    showState(open);
    const key = `${open.events.length} ${open.events.at(-1)?.id} ${document.documentElement.dataset.units}`;
    if (key === drawn) return;
    drawn = key;
    heading.textContent = open.car.title;
    document.title = record.documentTitle(open.car.title);
    const opened = new Set([...sheet.querySelectorAll("details[open] .fold-title")].map(({ textContent }) => textContent));
    const isFirstTime = sheet.childElementCount === 0;
    sheet.replaceChildren(...sectionsOf(open));
    if (!isFirstTime) for (const fold of sheet.querySelectorAll("details")) fold.open = opened.has(fold.querySelector(".fold-title")?.textContent ?? "");
  }

  /** @param {Open} open */
  function showState(open) {
    const waiting = open.events.filter(({ seq }) => seq === null || seq === undefined).length;
    state.dataset.kept = waiting ? "phone" : "server";
    state.textContent = waiting ? record.onPhone(waiting) : record.onServer;
  }

  /** @param {Open} open @returns {Node[]} */
  function sectionsOf(open) {
    const rows = findRows(open);
    const after = foldAfterwards(open.events);
    photos?.dispose();
    photos = RecordPhotos(app, open, after, rows);
    const head = Head(open, after, heading, state);
    const isCustomers = root.dataset.view === "customer";
    const fluids = Fluids(app, open, after, isCustomers);
    if (isCustomers) return [head, ...CustomerSheet(app, open, after, rows, fluids)];
    return [
      head,
      fluids,
      Exceptions(open, rows),
      ...ClosedUpSection(open),
      AfterSection(app, open, after),
      element("div", { class: "folds" }, Torques(open, rows), Readings(rows), Figures(open), Steps(open, rows), photos.root),
    ];
  }

  /** With its photos: a page is printed as it stands at that moment. */
  async function printSheet() {
    if (root.dataset.view === "whole") await photos?.load();
    print();
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
    photos?.dispose();
  }

  update();
  return { root, update, dispose };
}

/** The whole of it, or what a customer takes home. @param {(view: string) => void} onChoose */
function ViewChoice(onChoose) {
  const choices = Object.entries(record.views).map(([view, title]) => {
    const input = element("input", { type: "radio", name: "view", value: view, checked: view === "whole", onchange: () => onChoose(view) });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, title));
  });
  return element("fieldset", { class: "record-views", "aria-label": record.viewsLabel }, element("div", { class: "row" }, ...choices));
}

/** @param {Open} open @param {Afterwards} after @param {HTMLElement} heading @param {HTMLElement} state */
function Head(open, { corrections }, heading, state) {
  const { car, visit, composition, catalog, catalogHash } = open;
  const { opened } = visit;
  const corrected = corrections.at(-1);
  const shown = /** @param {number} metres */ (metres) => amountText(catalog, "km", metres).text;
  const first = shown(Number(opened?.payload.odometer_m ?? 0));
  const odometer = corrected ? `${shown(corrected.value)} · ${record.odometerWas(first, corrected.because)}` : first;
  const { vin = "" } = /** @type {{ vin?: string }} */ (opened?.payload.car ?? {});
  /** @type {[string, string][]} */
  const rows = [
    [record.day, opened ? dayText(opened.wall) : ""],
    [record.from, opened ? timeText(opened.wall) : ""],
    [record.closed, visit.closed ? `${dayText(visit.closed.wall)}, ${timeText(visit.closed.wall)}` : record.notClosed],
    [record.vin, vin],
    [record.odometer, odometer],
    [record.by, [opened?.payload.by, ...Object.values(visit.steps).map(({ event }) => whoMade(open, event)), visit.closed?.payload.by].filter((by, at, all) => by && all.indexOf(by) === at).join(", ")],
    [record.services, composition.jobs.map((id) => catalog.jobs[id]?.title ?? id).join(", ")],
    [record.procedures, catalogHash.slice(0, 12)],
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

/** Long lists open on demand; on paper all of them are open. @param {string} title @param {string} gist @param {Node[]} inside @param {{ isOpen?: boolean, isEmpty: boolean }} how */
function Folded(title, gist, inside, { isOpen = false, isEmpty }) {
  const section = FoldSection(title);
  section.update(gist, inside);
  section.root.open = isOpen;
  section.root.hidden = isEmpty;
  return section.root;
}

/** @param {App} app @param {Open} open @param {Afterwards} after @param {boolean} isCustomers nothing is asked on a sheet that is only read */
function Fluids(app, open, after, isCustomers) {
  const rows = findFluids(open).map(({ circuit, title, fluid, approval, grade, out, into, isNew }) => [
    element(
      "span",
      {},
      element("b", {}, title),
      element("br", {}),
      element("span", { class: "quiet" }, [isNew ? record.renewed : record.notRenewed, fluid === title ? "" : fluid, approval, grade, packText(after.fluids[circuit]), whoMade(open, after.fluids[circuit]?.event ?? "")].filter(Boolean).join(" · ")),
      !isCustomers && Button({ class: "plain no-print" }, () => openPackSheet(app, open, { circuit, title }, after.fluids[circuit]), after.fluids[circuit] ? record.packChange : record.packAdd),
    ),
    out ? record.cameOut(out) : "",
    into ? record.wentIn(into) : "",
  ]);
  const table = Table([record.fluid, record.out, record.into], rows);
  return element("section", { class: "fluids" }, element("h2", {}, record.fluids), table);
}

/** @param {Open} open @param {Row[]} rows */
function Exceptions(open, rows) {
  const exceptions = findExceptions(rows);
  const left = findLeftOpen(open);
  if (!exceptions.length && !left.length) {
    return element("section", { class: "all-well" }, TickMark(), element("p", {}, record.allWell));
  }
  return element(
    "section",
    {},
    element("h2", {}, record.exceptions),
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
    const times = from === to ? from : record.span(from, to);
    const where = [catalog.jobs[job]?.shared ? "" : catalog.jobs[job]?.title, torque.from, times].filter(Boolean).join(" · ");
    return [title, element("b", {}, torque.text || "–"), where];
  });
  return Folded(record.torques, record.rows(cells.length), [Table([record.fastener, record.torque, record.source], cells)], { isOpen: true, isEmpty: !cells.length });
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
  return Folded(record.readings, record.rows(cells.length), [Table([record.reading, record.value, record.judgement], cells)], { isOpen: true, isEmpty: !cells.length });
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
  return Folded(record.figures, record.rows(cells.length), [Table([record.figure, record.value, record.other], cells)], { isEmpty: !cells.length });
}

/** @param {Open} open @param {Row[]} rows */
function Steps(open, rows) {
  const { catalog } = open;
  const phases = catalog.phases.map((phase) => ({ ...phase, rows: rows.filter((row) => row.phase === phase.id) })).filter((phase) => phase.rows.length);
  const sections = phases.map((phase) => element("section", {}, element("h3", {}, phase.title), element("ol", {}, ...phase.rows.map((row) => StepLine(row, row.status ? whoMade(open, row.status.event) : "")))));
  return Folded(record.steps, record.rows(rows.length), [element("div", { class: "record-steps" }, ...sections)], { isEmpty: false });
}

/** @param {Row} row @param {string} who */
function StepLine({ title, status, finding, readings, torque, photos }, who) {
  const mark = !status ? WarningMark() : status.status === "done" ? TickMark() : SkipMark();
  const more = [finding, ...readings.map(({ label, value }) => `${label} ${value}`), torque?.text, photos.length ? words.work.photos(photos.length) : "", status?.reason, status?.note, who].filter(Boolean).join(" · ");
  return element(
    "li",
    {},
    mark,
    element("span", {}, title, more && element("span", { class: "quiet" }, more)),
    element("span", { class: "quiet" }, status ? timeText(status.at) : record.notDone),
  );
}
