/** Before the visit: which services, whether at home, what they need, how the day goes, and then the start. */

/** @import { App, Car, Screen } from "../app/types.js" */
/** @import { Choice } from "../core/inventory.js" */
/** @import { Catalog } from "../core/types.js" */
/** @import { Draft } from "../parts/facts/memory.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { createPlanGround } from "../app/plan-ground.js";
import { carWords } from "../app/words/car.js";
import { plan as planWords } from "../app/words/plan.js";
import { guessSettings } from "../core/outfit.js";
import { AmountField } from "../parts/controls/amount-field.js";
import { keepDraft, keepName, lastDraft, lastJobs, lastName } from "../parts/facts/memory.js";
import { MissingLayout, MissingNumbers } from "../parts/facts/missing.js";
import { findServices, findSettings, plainValues, planVisit } from "../parts/plan/model.js";
import { PlanRows } from "../parts/plan/rows.js";
import { PlanSections } from "../parts/plan/sections.js";
import { PlanSettings } from "../parts/plan/settings.js";
import { Button } from "../parts/controls/press.js";
import { WarningMark } from "../parts/drawings/marks.js";
import { titleOf } from "../parts/texts/known.js";
import { dayText } from "../parts/texts/reading-words.js";
import { wantedUnit } from "../parts/texts/unit-amount.js";

/** An entry's own clock tells whole seconds. */
const WALL_MS = 1000;

/**
 * @param {App} app
 * @param {{ car: string }} params
 * @returns {Screen}
 */
export function PlanScreen(app, { car: carId }) {
  const { catalog } = app;
  const car = app.cars().find(({ id }) => id === carId);
  if (!catalog || !car) return NoCar(app);
  return Plan(app, catalog, car);
}

/** @param {App} app @returns {Screen} */
function NoCar(app) {
  const root = element("div", { class: "page" }, element("h1", {}, words.plan.noCar), Button({ class: "action" }, () => app.go("#/cars"), words.plan.toCars));
  return { root, update: () => {} };
}

/** @param {App} app @param {Catalog} catalog @param {Car} car @returns {Screen} */
function Plan(app, catalog, car) {
  /** @type {Set<string>} */
  let chosen = new Set();
  /** What must be known of the car before the chosen services can be told step by step. @type {string[]} */
  let undecided = [];
  let isStarting = false;
  let heard = "";
  /** @type {Map<string, Choice>} decided here, not yet kept */
  const pending = new Map();

  const begun = app.visits().find((visit) => visit.car.id === car.id)?.openedAt;
  const draft = lastDraft(car.id, begun ? Date.parse(begun) + WALL_MS : 0);
  const settings = PlanSettings(catalog, app.visits(), draft.settings, (typed) => {
    keepDraft(car.id, { settings: typed });
    show();
  });
  const services = findServices(catalog, car, settings.values());
  // The services for which the car's form was filled in; what was decided for it since counts for more.
  chosen = new Set(lastJobs(car.id).filter((id) => services.services.some((one) => one.id === id)));
  const ground = createPlanGround(app, car);
  const rows = PlanRows(app, catalog, car, services, ground, (id, choice) => decide([id], choice));
  const all = Button({ class: "second all" }, chooseAll, "");
  const unknown = MissingNumbers(app, catalog, car, () => show());
  const sections = PlanSections(app, catalog, car, ground, attempt);
  const start = StartFields(app, catalog, car, draft);
  const later = element("div", { class: "later" }, unknown.root, element("div", { class: "folds" }, settings.root, ...sections.roots), start.root);
  const summary = element("p", { class: "summary", "aria-live": "polite" });
  const problem = element("p", { class: "trouble", role: "alert", hidden: true });
  const begin = Button({ class: "action" }, startVisit, words.plan.start);
  const heading = element("h1", { tabindex: "-1" }, words.plan.title);
  const root = element(
    "div",
    { class: "page plan" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.plan.toCars), element("span", { class: "plate" }, car.plate)),
    element("div", { class: "content" }, element("div", {}, heading, element("p", { class: "quiet" }, car.title)), element("p", { class: "on-paper" }, planWords.listTitle([car.title, car.plate].filter(Boolean).join(", "))), MissingLayout(app, catalog, car, services.missing), all, rows.root, later),
    element("footer", {}, summary, problem, begin),
  );
  show();
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));
  document.title = words.plan.documentTitle(car.title);
  const loaded = ground.load();
  void loaded.then(takeGround).catch((error) => console.warn("The garage did not load.", error));

  /** What was decided before, on this phone or another, and how this house works. */
  function takeGround() {
    takeDecisions();
    settings.guess(guessSettings(catalog, plainValues(car.facts), services.services.map(({ id }) => id), ground.inventory()));
    show();
    void ground.loadDue().then(show).catch((error) => console.warn("What is due was not read.", error));
    void ground.learn().then(show).catch((error) => console.warn("Own visits were not read.", error));
  }

  function takeDecisions() {
    const { decisions } = ground.plan();
    const choiceOf = /** @param {string} id */ (id) => pending.get(id) ?? decisions[id]?.choice;
    const isHome = /** @param {string} id */ (id) => (choiceOf(id) ? choiceOf(id) === "home" : chosen.has(id));
    chosen = new Set(services.services.map(({ id }) => id).filter(isHome));
  }

  /** Shown at once, kept as soon as the phone can. @param {string[]} ids @param {Choice} choice */
  async function decide(ids, choice) {
    for (const id of ids) {
      pending.set(id, choice);
      if (choice === "home") chosen.add(id);
      else chosen.delete(id);
    }
    show();
    await attempt(async () => {
      await loaded;
      for (const id of ids) await ground.actions()?.decide(car.id, id, choice, { verdict: rows.verdict(id), by: lastName() });
    });
    for (const id of ids) pending.delete(id);
    show();
  }

  /** @param {() => Promise<unknown>} action */
  async function attempt(action) {
    try {
      await action();
      problem.hidden = true;
    } catch {
      problem.hidden = false;
      problem.textContent = words.errors.notSaved;
    }
  }

  function chooseAll() {
    const ids = services.services.map(({ id }) => id);
    const choice = chosen.size === ids.length ? "leave" : "home";
    return decide(ids.filter((id) => chosen.has(id) !== (choice === "home")), choice);
  }

  function show() {
    const plan = planVisit(catalog, car, [...chosen], settings.values(), ground.learned());
    rows.update(chosen, settings.values());
    all.hidden = services.services.length < 2;
    all.textContent = chosen.size === services.services.length ? words.plan.none : words.plan.all(services.services.length);
    later.hidden = chosen.size === 0;
    // Without these facts steps would be left out, and what was proved is each visit with all of its steps.
    undecided = plan.composition.missing.map((name) => titleOf(catalog, name));
    const isAsking = chosen.size > 0 && undecided.length > 0 && car.own !== null;
    begin.textContent = isAsking ? carWords.plan.answer : words.plan.start;
    begin.setAttribute("aria-disabled", String(chosen.size === 0 || (undecided.length > 0 && !isAsking)));
    if (!chosen.size) summary.textContent = words.plan.chooseFirst;
    else if (undecided.length) summary.textContent = carWords.plan.sayFirst(undecided);
    else summary.textContent = words.plan.summary(chosen.size, plan.composition.steps.length, words.timers.span(plan.total.work_s), words.timers.span(plan.total.wait_s));
    if (!chosen.size) return;
    settings.update(findSettings(catalog, plan.knowledge.values, plan.composition));
    unknown.update(plan.composition);
    sections.update(plan);
  }

  function answerFirst() {
    if (car.own) app.go(`#/car/${encodeURIComponent(car.id)}`);
  }

  async function startVisit() {
    if (isStarting || chosen.size === 0) return;
    if (undecided.length) return answerFirst();
    if (settings.showWrong()) return;
    const values = start.read();
    if (!values) return;
    isStarting = true;
    try {
      const visit = await app.openVisit({ carId: car.id, jobs: [...chosen], settings: settings.values(), ...values });
      app.go(`#/work/${visit}`);
    } catch (error) {
      problem.hidden = false;
      problem.textContent = error instanceof Error ? error.message : words.errors.notSaved;
    } finally {
      isStarting = false;
    }
  }

  /** The other phone of the house may have decided or ticked something; most news is of other things. */
  function update() {
    if (!ground.actions()) return;
    const news = JSON.stringify([ground.plan(), ground.inventory()]);
    if (news === heard) return;
    heard = news;
    takeDecisions();
    show();
  }

  return { root, update, dispose: sections.dispose };
}

/** A second visit begins with the car closed and full, whatever the first has open. @param {App} app @param {string} visit */
function GoingOn(app, visit) {
  const go = Button({ class: "second" }, () => app.go(`#/open/${visit}`), planWords.goOnWithIt);
  return element("div", { class: "caution" }, WarningMark(), element("p", {}, planWords.isGoingOn), go);
}

/** Odometer and name: the last two things before the start. @param {App} app @param {Catalog} catalog @param {Car} car @param {Draft} draft */
function StartFields(app, catalog, car, { odometer_m: typed }) {
  const key = wantedUnit(catalog, /\s(\S+)$/.exec(car.odometer.shown)?.[1] ?? "km");
  // Yesterday's reading is none of today's, and of a car that nobody has read yet nought is none either.
  const today = typed && dayText(typed.at) === dayText(Date.now()) ? Number(typed.value) : null;
  const known = today ?? (car.odometer.shown ? car.odometer.value : null);
  const odometer = AmountField(catalog, { id: "odometer", label: words.plan.odometer, unit: key, from: 0, to: null, where: words.plan.odometerSays, isWhole: true }, known === null ? null : { value: known, unit: key }, () => {
    const read = odometer.read();
    if (read && read !== "wrong") keepDraft(car.id, { odometer_m: { value: read.value, at: Date.now() } });
  });
  const by = element("input", { id: "by", type: "text", autocomplete: "name", onchange: () => keepName(by.value.trim()), value: lastName() || app.visits()[0]?.by });
  const root = element("section", { class: "start" }, element("h2", {}, words.plan.last), car.openVisit && GoingOn(app, car.openVisit.id), odometer.root, element("div", { class: "field" }, element("label", { for: "by" }, words.plan.by), by));

  /** @returns {{ odometer_m: number, by: string } | null} null where the odometer is not a number */
  function read() {
    const read = odometer.read();
    odometer.show();
    if (read === "wrong" || read === null) {
      odometer.root.toggleAttribute("data-wrong", true);
      odometer.input.focus();
      return null;
    }
    keepName(by.value.trim());
    return { odometer_m: read.value, by: by.value.trim() };
  }
  return { root, read };
}
