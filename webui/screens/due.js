/** When what is due again: every car and service as a range of days, what was done before, and what to look at again. */

/** @import { App, Car, Screen } from "../app/types.js" */
/** @import { Catalog } from "../core/types.js" */
/** @import { CarDue, RecheckDue, ServiceDue } from "../core/due-list.js" */

import { element } from "../dom/element.js";
import { findToday, gatherCar, listAllDue } from "../app/due.js";
import { words as common } from "../app/words.js";
import { due as words } from "../app/words/due.js";
import { countsHours } from "../core/history.js";
import { DueRow, UnknownRow } from "../parts/due/row.js";
import { openDueSheet } from "../parts/due/sheet.js";
import { DueAxis, findStretch } from "../parts/due/track.js";
import { openHoursSheet, openNoteSheet, openOdometerSheet, openRecheckSheet } from "../parts/due/notes.js";
import { dateText, distanceText, rateText, whenText } from "../parts/due/words.js";
import { CalendarSection } from "../parts/due/calendar.js";
import { keepJobs } from "../parts/facts/memory.js";
import { FoldSection } from "../parts/controls/fold-section.js";
import { filledText, knowledgeOf } from "../parts/texts/known.js";
import { Button } from "../parts/controls/press.js";
import { listText } from "../parts/texts/reading-words.js";

/** In which order services stand: what presses first. @type {ServiceDue["state"][]} */
const ORDER = ["due", "maybe", "soon", "later"];

/** @param {App} app @returns {Screen} */
export function DueScreen(app) {
  const heading = element("h1", { tabindex: "-1" }, words.title);
  const cars = element("div", { class: "due-cars" }, element("p", { class: "quiet", role: "status" }, words.gathering));
  const calendar = CalendarSection(app);
  const root = element(
    "div",
    { class: "page due-page" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.toCars)),
    element("div", { class: "content" }, heading, cars, element("div", { class: "folds" }, calendar.root)),
  );
  document.title = words.documentTitle;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));
  let drawn = "";
  let isGathering = false;
  let isStale = false;

  /** Gathered again after every change; drawn again only where something is other than before. */
  async function gather() {
    isStale = true;
    if (isGathering) return;
    isGathering = true;
    try {
      while (isStale) {
        isStale = false;
        const today = findToday();
        draw(await listAllDue(app, today), today);
      }
    } finally {
      isGathering = false;
    }
  }

  /** @param {CarDue[]} lists @param {string} today */
  function draw(lists, today) {
    const { catalog } = app;
    const key = JSON.stringify([lists, document.documentElement.dataset.units]);
    if (!catalog || key === drawn) return;
    drawn = key;
    const focused = document.activeElement?.id;
    const isKnown = /** @param {CarDue} list */ (list) => list.services.some(({ last }) => last !== null) || list.rechecks.length > 0;
    const sorted = [...lists.filter(isKnown), ...lists.filter((list) => !isKnown(list))];
    cars.replaceChildren(...sorted.map((list) => CarSection(app, catalog, list, today)));
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  }

  function update() {
    void gather();
    calendar.update();
  }
  return { root, update };
}

/** @param {App} app @param {Catalog} catalog @param {CarDue} list @param {string} today */
function CarSection(app, catalog, list, today) {
  const car = app.cars().find(({ id }) => id === list.car);
  const told = list.services.filter(({ state }) => state !== "unknown").sort((a, b) => ORDER.indexOf(a.state) - ORDER.indexOf(b.state) || ((a.date ?? "") < (b.date ?? "") ? -1 : 1));
  const unknown = list.services.filter(({ state }) => state === "unknown");
  const stretch = findStretch(told, today);
  const open = /** @param {ServiceDue} service */ (service) => () => openService(app, catalog, car, list, service, today);
  return element(
    "section",
    { class: "due-car", "data-car": list.car },
    element("h2", {}, list.title, " ", list.plate && element("span", { class: "plate" }, list.plate)),
    Meter(app, catalog, list),
    list.rechecks.length > 0 && Rechecks(app, catalog, list),
    told.length > 0 && element("div", { class: "due-chart" }, DueAxis(stretch), element("ul", { class: "due-rows" }, ...told.map((service) => DueRow(catalog, service, stretch, open(service))))),
    told.length === 0 && element("p", { class: "quiet" }, words.noneSays),
    ...list.together.map((group) => Together(app, catalog, list, group)),
    Unknown(unknown, open),
  );
}

/** How far it has gone and goes, and what cannot be right. @param {App} app @param {Catalog} catalog @param {CarDue} list */
function Meter(app, catalog, { car, odometer, rate, doubtful }) {
  const says = [odometer && words.odometer(distanceText(catalog, odometer.value), dateText(odometer.date)), rate ? rateText(catalog, rate) : words.noRate];
  const note = /** @param {string} kind */ (kind) => /** @param {import("../parts/controls/amount-field.js").Typed} typed */ async (typed) => (await app.loadGarage()).note(car, kind, { ...typed });
  const facts = app.cars().find(({ id }) => id === car)?.facts ?? {};
  async function showRate() {
    const known = app.cars().find(({ id }) => id === car);
    const { openRate } = await import("../parts/due/numbers.js");
    if (known) openRate(catalog, (await gatherCar(app, known)).odometers);
  }
  return element(
    "div",
    { class: "due-meter" },
    element("p", { class: "quiet" }, says.filter(Boolean).join("; ")),
    rate && Button({ class: "plain" }, showRate, words.whyRate),
    ...doubtful.map(({ value, date, visit }) => element("p", { class: "due-doubt" }, words.doubtful(distanceText(catalog, value), dateText(date)), visit && Button({ class: "plain" }, () => app.go(`#/record/${visit}`), words.doubtfulVisit))),
    element("div", { class: "due-meters" }, Button({ class: "second" }, () => openOdometerSheet(catalog, note("odometer-read")), words.readOdometer), countsHours(catalog, facts) && Button({ class: "second" }, () => openHoursSheet(catalog, note("hours-read")), words.readHours)),
  );
}

/** @param {App} app @param {Catalog} catalog @param {CarDue} list */
function Rechecks(app, catalog, { rechecks }) {
  // One that goes by distance alone comes first: it may be due at any time.
  const firstFirst = [...rechecks].sort((one, other) => ((one.date ?? "") < (other.date ?? "") ? -1 : 1));
  return element("section", { class: "due-rechecks" }, element("h3", {}, words.rechecks), element("ul", {}, ...firstFirst.map((recheck) => RecheckRow(app, catalog, recheck))));
}

/** @param {App} app @param {Catalog} catalog @param {RecheckDue} recheck */
function RecheckRow(app, catalog, recheck) {
  const visit = app.visit(recheck.visit);
  const [job = "", id] = recheck.id.split("/");
  const says = (visit?.catalog ?? catalog).jobs[job]?.rechecks?.find((each) => each.id === id)?.says ?? "";
  const filled = visit ? filledText(knowledgeOf(visit), says, "") : says;
  const where = [words.states[recheck.state], whenText(recheck).gist, recheck.at === null ? "" : words.recheckAt(distanceText(catalog, recheck.at)), visit?.visit.closed ? words.recheckOf(dateText(visit.visit.closed.wall.slice(0, 10))) : ""].filter(Boolean).join(" · ");
  const keep = /** @param {Record<string, unknown>} payload */ (payload) => app.record(recheck.visit, "recheck-done", payload);
  return element("li", { "data-state": recheck.state }, Button({ class: "due-open" }, () => openRecheckSheet(recheck, filled, keep), element("b", {}, recheck.title), element("span", { class: "quiet" }, where)));
}

/** @param {App} app @param {Catalog} catalog @param {CarDue} list @param {CarDue["together"][number]} group */
function Together(app, catalog, { car }, { jobs, date, saves_s }) {
  const names = listText(jobs.map((job) => catalog.jobs[job]?.title ?? job));
  const plan = () => {
    keepJobs(car, jobs); // a plan begins with the services that were last asked for
    app.go(`#/plan/${encodeURIComponent(car)}`);
  };
  return element(
    "article",
    { class: "due-together" },
    element("h3", {}, `${words.together}, ${dateText(date)}`),
    element("p", {}, words.togetherSays(names, common.timers.span(saves_s))),
    Button({ class: "second" }, plan, words.plan),
  );
}

/** @param {ServiceDue[]} services @param {(service: ServiceDue) => () => void} open */
function Unknown(services, open) {
  if (!services.length) return null;
  const fold = FoldSection(words.unknownTitle);
  fold.update(words.unknownGist(services.length), [element("ul", { class: "due-rows" }, ...services.map((service) => UnknownRow(service, open(service))))]);
  return element("div", { class: "folds" }, fold.root);
}

/** @param {App} app @param {Catalog} catalog @param {Car | undefined} car @param {CarDue} list @param {ServiceDue} service @param {string} today */
function openService(app, catalog, car, { rate }, service, today) {
  if (!car) return;
  const note = /** @param {string} kind */ (kind) => /** @param {Record<string, unknown>} payload */ async (payload) => (await app.loadGarage()).note(car.id, kind, payload);
  openDueSheet(catalog, car.facts, service, {
    choose: (policy, job) => note("policy-chosen")({ policy, ...(job ? { job } : {}) }),
    note: (chosen) => openNoteSheet(catalog, chosen, today, note("service-noted")),
    show: (visit) => app.go(`#/record/${visit}`),
    rate,
    enter: car.own ? () => app.go(`#/car/${encodeURIComponent(car.id)}`) : null,
  });
}
