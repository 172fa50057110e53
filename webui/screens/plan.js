/** Before the visit: which services, what they need, how the day goes, and then the start. */

/** @import { App, Car, Screen } from "../app/types.js" */
/** @import { Catalog, Value } from "../core/types.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { readAmount } from "../core/amounts.js";
import { formatNumber, fromSI, unitOf } from "../core/units.js";
import { FoldSection } from "../parts/fold-section.js";
import { keepName, lastName } from "../parts/fact-memory.js";
import { MissingLayout, MissingNumbers } from "../parts/fact-missing.js";
import { valueText } from "../parts/known.js";
import { BuyList, DayBars, ToolList } from "../parts/plan-lists.js";
import { findServices, findSettings, findSupplies, findTools, jobsOf, planVisit } from "../parts/plan-model.js";
import { Button } from "../parts/press.js";
import { ServiceRow } from "../parts/service-row.js";
import { SettingField } from "../parts/setting-field.js";
import { wantedSystem, wantedUnit } from "../parts/unit-amount.js";

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
  const chosen = new Set();
  /** @type {Record<string, Value>} */
  const settings = {};
  let isStarting = false;
  let settingsShown = "";

  const services = findServices(catalog, car, settings);
  const { knowledge } = planVisit(catalog, car, [], settings);
  const rows = services.services.map((service) => ServiceRow(knowledge, service, (isChosen) => choose(service.id, isChosen)));
  const all = Button({ class: "second all" }, chooseAll, "");
  const settingFields = FoldSection(words.plan.settings);
  const unknown = MissingNumbers(app, catalog, car, () => show());
  const buy = FoldSection(words.plan.buy);
  const tools = FoldSection(words.plan.tools);
  const day = FoldSection(words.plan.day);
  const start = StartFields(app, catalog, car);
  const later = element("div", { class: "later" }, unknown.root, element("div", { class: "folds" }, settingFields.root, buy.root, tools.root, day.root), start.root);
  const summary = element("p", { class: "summary", "aria-live": "polite" });
  const problem = element("p", { class: "trouble", role: "alert", hidden: true });
  const begin = Button({ class: "action" }, startVisit, words.plan.start);
  const heading = element("h1", { tabindex: "-1" }, words.plan.title);
  const root = element(
    "div",
    { class: "page plan" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.plan.toCars), element("span", { class: "plate" }, car.plate)),
    element("div", { class: "content" }, element("div", {}, heading, element("p", { class: "quiet" }, car.title)), MissingLayout(app, catalog, car, services.missing), all, element("ul", { class: "services" }, ...rows.map((row) => row.root)), later),
    element("footer", {}, summary, problem, begin),
  );
  show();
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));
  document.title = words.plan.documentTitle(car.title);

  /** @param {string} id @param {boolean} isChosen */
  function choose(id, isChosen) {
    if (isChosen) chosen.add(id);
    else chosen.delete(id);
    show();
  }

  function chooseAll() {
    const isAll = chosen.size === rows.length;
    chosen.clear();
    if (!isAll) for (const { id } of services.services) chosen.add(id);
    show();
  }

  /** Asked again only when other ones are wanted, so that nobody loses the field under their finger. @param {string[]} names */
  function showSettings(names) {
    const values = names.map((name) => settings[name] ?? knowledge.values[name]);
    const gist = names.flatMap((name, at) => (catalog.facts[name]?.kind === "choice" ? [valueText(catalog, name, values[at] ?? "")] : [])).join(", ");
    settingFields.root.hidden = names.length === 0;
    settingFields.update(gist);
    if (settingsShown === names.join()) return;
    settingsShown = names.join();
    const fields = names.map((name) =>
      SettingField(catalog, name, settings[name] ?? knowledge.values[name], (value) => {
        settings[name] = value;
        show();
      }),
    );
    settingFields.update(gist, fields);
  }

  function show() {
    const plan = planVisit(catalog, car, [...chosen], settings);
    services.services.forEach(({ id }, at) => rows[at]?.update(chosen.has(id)));
    all.textContent = chosen.size === rows.length ? words.plan.none : words.plan.all(rows.length);
    later.hidden = chosen.size === 0;
    begin.setAttribute("aria-disabled", String(chosen.size === 0));
    summary.textContent = chosen.size
      ? words.plan.summary(chosen.size, plan.composition.steps.length, words.timers.span(plan.total.work_s), words.timers.span(plan.total.wait_s))
      : words.plan.chooseFirst;
    if (!chosen.size) return;
    showSettings(findSettings(catalog, plan.knowledge.values, plan.composition));
    unknown.update(plan.composition);
    const supplies = findSupplies(plan.knowledge, plan.composition.jobs);
    buy.update(words.plan.buyGist(supplies.fluids.length, supplies.parts.length), BuyList(plan.knowledge, supplies));
    const needed = findTools(plan.knowledge, jobsOf(plan.composition));
    tools.update(words.plan.toolsGist(needed.tools.length, needed.equipment.length), ToolList(needed));
    const [work, wait] = [words.timers.span(plan.total.work_s), words.timers.span(plan.total.wait_s)];
    const shared = words.plan.shared(words.timers.span(plan.shared.work_s + plan.shared.wait_s));
    day.update(words.plan.dayGist(work, wait), [element("p", { class: "quiet" }, words.plan.legend, " ", shared), DayBars(plan.phases)]);
  }

  async function startVisit() {
    const values = start.read();
    if (!values || isStarting || chosen.size === 0) return;
    isStarting = true;
    try {
      const visit = await app.openVisit({ carId: car.id, jobs: [...chosen], settings, ...values });
      app.go(`#/work/${visit}`);
    } catch (error) {
      problem.hidden = false;
      problem.textContent = error instanceof Error ? error.message : words.work.notKept;
    } finally {
      isStarting = false;
    }
  }

  return { root, update: () => {} };
}

/** Odometer and name: the last two things before the start. @param {App} app @param {Catalog} catalog @param {Car} car */
function StartFields(app, catalog, car) {
  const key = wantedUnit(catalog, /\s(\S+)$/.exec(car.odometer.shown)?.[1] ?? "km");
  const unit = unitOf(catalog, key);
  const odometer = element("input", { id: "odometer", type: "text", inputmode: "decimal", autocomplete: "off", value: formatNumber(fromSI(unit, car.odometer.value), 0), "aria-describedby": "odometer-said" });
  const said = element("p", { class: "said", id: "odometer-said" }, words.plan.odometerSays);
  const field = element("div", { class: "field" }, element("label", { for: "odometer" }, words.plan.odometer), element("div", { class: "with-unit" }, odometer, element("span", { "aria-hidden": "true" }, unit.symbol)), said);
  const by = element("input", { id: "by", type: "text", autocomplete: "name", value: lastName() || app.visits()[0]?.by });
  const root = element("section", { class: "start" }, element("h2", {}, words.plan.last), field, element("div", { class: "field" }, element("label", { for: "by" }, words.plan.by), by));

  /** @returns {{ odometer_m: number, by: string } | null} null where the odometer is not a number */
  function read() {
    const understood = readAmount(catalog, key, odometer.value, wantedSystem());
    const meant = "either" in understood ? (understood.either[1] ?? { wrong: true }) : understood;
    const isGood = "value" in meant && meant.value >= 0;
    field.toggleAttribute("data-wrong", !isGood);
    said.textContent = isGood ? words.plan.odometerSays : words.quantity.notANumber;
    if (isGood) {
      keepName(by.value.trim());
      return { odometer_m: meant.value, by: by.value.trim() };
    }
    odometer.focus();
    return null;
  }
  return { root, read };
}
