/**
 * A car of one's own: what it is, and its numbers. Asked for in the order of the facts and only as far as the chosen
 * services need them; one question at a time on its sheet, the rest as lines in sections that open.
 */

/** @import { App, Car, Screen } from "../app/types.js" */
/** @import { Catalog, Value } from "../core/types.js" */
/** @import { CarFold } from "../core/car.js" */

import { carWords } from "../app/words/car.js";
import { words } from "../app/words.js";
import { compose } from "../core/compose.js";
import { numbersFor, questionsFor, worthKnowing } from "../core/needs.js";
import { judgeVin } from "../core/vin.js";
import { element } from "../dom/element.js";
import { DisputeCards } from "../parts/facts/dispute.js";
import { keepJobs, lastJobs } from "../parts/facts/memory.js";
import { countKnown, FactRows } from "../parts/facts/rows.js";
import { FoldSection } from "../parts/controls/fold-section.js";
import { Button } from "../parts/controls/press.js";
import { listText } from "../parts/texts/reading-words.js";
import { amountText } from "../parts/texts/unit-amount.js";
import { CarFacts } from "./car-facts.js";
import { DemoCar, MoreOfCar } from "./car-more.js";
import { NewCarScreen } from "./car-new.js";

/**
 * @param {App} app
 * @param {{ car: string }} params
 * @returns {Screen}
 */
export function CarScreen(app, { car: id }) {
  if (id === "new") return NewCarScreen(app);
  const car = app.cars().find((one) => one.id === id);
  if (!car || !app.catalog) return Page(app, carWords.unknown, []);
  return car.own ? OwnCar(app, app.catalog, id) : Page(app, car.title, DemoCar(app, car));
}

/** @param {App} app @param {string} title @param {(Node | null)[]} parts @returns {Screen} */
function Page(app, title, parts) {
  const heading = element("h1", { tabindex: "-1" }, title);
  const root = element("div", { class: "page car-page" }, element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), carWords.toCars)), element("div", { class: "content" }, heading, ...parts));
  document.title = carWords.documentTitle(title);
  return { root, update: () => {} };
}

/**
 * What the car is asked, in the light of what is known of it.
 *
 * @param {Catalog} catalog
 * @param {CarFold} own
 * @param {string[]} wanted services
 */
function findAsked(catalog, own, wanted) {
  /** @type {Record<string, Value>} */
  const facts = Object.fromEntries(Object.entries(own.facts).map(([name, { value }]) => [name, value]));
  const all = Object.keys(catalog.jobs).filter((job) => !catalog.jobs[job]?.shared);
  const questions = questionsFor(catalog, facts);
  const jobs = compose(catalog, all, facts).jobs.sort((a, b) => (catalog.jobs[a]?.order ?? 0) - (catalog.jobs[b]?.order ?? 0));
  const chosen = jobs.filter((job) => wanted.includes(job));
  const numbers = chosen.length ? numbersFor(catalog, compose(catalog, chosen, facts)) : [];
  return { questions, jobs, chosen, numbers, extras: worthKnowing(catalog, facts, [...questions, ...numbers], chosen) };
}

/** @param {App} app @param {Catalog} catalog @param {string} id @returns {Screen} */
function OwnCar(app, catalog, id) {
  let wanted = lastJobs(id);
  let drawn = "";
  const plate = element("span", { class: "plate" });
  const heading = element("h1", { tabindex: "-1" });
  const line = element("p", { class: "quiet" });
  const notices = element("div", { class: "notices" });
  const questions = FoldSection(carWords.questions);
  const services = FoldSection(carWords.services);
  const numbers = element("section", { class: "car-numbers" });
  const groups = new Map(catalog.fact_groups.map((group) => [group.id, FoldSection(group.title)]));
  const extras = FoldSection(carWords.extras);
  const more = FoldSection(carWords.more);
  const left = element("p", { class: "summary", "aria-live": "polite" });
  const next = Button({ class: "action" }, goOn);
  numbers.append(element("h2", {}, carWords.numbers), element("div", { class: "folds" }, ...[...groups.values()].map(({ root }) => root)));
  const root = element(
    "div",
    { class: "page car-page" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), carWords.toCars), plate),
    element("div", { class: "content" }, element("div", {}, heading, line), notices, element("div", { class: "folds" }, questions.root, services.root), numbers, element("div", { class: "folds" }, extras.root, more.root)),
    element("footer", {}, left, next),
  );
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  const carNow = () => /** @type {Car & { own: CarFold }} */ (app.cars().find((one) => one.id === id));
  const facts = CarFacts(app, catalog, id, carNow);

  function update() {
    const car = carNow();
    if (!car) return app.go("#/cars");
    const key = JSON.stringify([car.own, wanted, app.preferences.units]);
    if (key === drawn) return;
    drawn = key;
    showCar(car, findAsked(catalog, car.own, wanted));
  }

  /** @param {Car & { own: CarFold }} car @param {ReturnType<typeof findAsked>} asked */
  function showCar(car, asked) {
    const { own } = car;
    document.title = carWords.documentTitle(own.title);
    plate.textContent = own.plate;
    heading.textContent = own.title;
    const year = own.vin ? judgeVin(own.vin, own.market).year : null;
    const odometer = own.odometer ? amountText(catalog, own.odometer.unit, own.odometer.value).text : "";
    line.textContent = [own.vin, year && carWords.modelYear(year), odometer, own.note].filter(Boolean).join(" · ");
    notices.replaceChildren(...DisputeCards(catalog, own, facts.confirm), ...facts.Imported(own));
    questions.update(carWords.questionsGist(countKnown(own, asked.questions), asked.questions.length), [FactRows(catalog, own, asked.questions, facts.open)]);
    const hasQuestions = asked.questions.some((name) => !own.facts[name]);
    services.update(asked.chosen.length ? listText(asked.chosen.map((job) => catalog.jobs[job]?.title ?? job)) : carWords.noServices, ServiceChoices(catalog, asked, choose));
    numbers.hidden = asked.numbers.length === 0;
    for (const [group, fold] of groups) {
      const names = asked.numbers.filter((name) => catalog.facts[name]?.group === group);
      fold.root.hidden = names.length === 0;
      fold.update(carWords.groupGist(countKnown(own, names), names.length), names.length ? [FactRows(catalog, own, names, facts.open)] : []);
    }
    extras.root.hidden = asked.extras.length === 0;
    extras.update(carWords.groupGist(countKnown(own, asked.extras), asked.extras.length), [element("p", { class: "quiet" }, carWords.extrasSays), FactRows(catalog, own, asked.extras, facts.open)]);
    more.update("", MoreOfCar(app, catalog, id, own));
    const step = nextStep(catalog, own, asked);
    left.textContent = hasQuestions || asked.chosen.length ? carWords.left(asked.questions.filter((name) => !own.facts[name]).length, asked.numbers.filter((name) => !own.facts[name]).length) : "";
    next.replaceChildren(...step.label);
  }

  function goOn() {
    const { own } = carNow();
    const asked = findAsked(catalog, own, wanted);
    const { name } = nextStep(catalog, own, asked);
    if (name) return facts.ask(name, goOn);
    if (asked.chosen.length) return app.go(`#/plan/${encodeURIComponent(id)}`);
    services.root.open = true;
    return services.root.scrollIntoView();
  }

  /** @param {string} job @param {boolean} isChosen */
  function choose(job, isChosen) {
    wanted = isChosen ? [...wanted, job] : wanted.filter((one) => one !== job);
    keepJobs(id, wanted);
    const focused = document.activeElement instanceof HTMLInputElement ? document.activeElement.value : "";
    update();
    services.root.querySelector(/** @type {"input"} */ (`input[value="${focused}"]`))?.focus();
  }

  update();
  return { root, update };
}

/** What is to be done now: the first open question, then services, then the first missing number, then the plan. @param {Catalog} catalog @param {CarFold} own @param {ReturnType<typeof findAsked>} asked */
function nextStep(catalog, own, { questions, chosen, numbers }) {
  const disputed = new Set(own.disputed_facts.map(({ fact }) => fact));
  const name = [...questions, ...numbers].find((one) => !own.facts[one] && !disputed.has(one));
  const isQuestion = name !== undefined && questions.includes(name);
  if (name !== undefined && (isQuestion || chosen.length)) return { name, label: [element("span", {}, element("small", {}, carWords.next), catalog.facts[name]?.title ?? name)] };
  return { name: null, label: [chosen.length ? carWords.toPlan : carWords.chooseServices] };
}

/** @param {Catalog} catalog @param {ReturnType<typeof findAsked>} asked @param {(job: string, isChosen: boolean) => void} choose @returns {Node[]} */
function ServiceChoices(catalog, { jobs, chosen }, choose) {
  if (!jobs.length) return [element("p", {}, carWords.servicesWait)];
  const choices = jobs.map((job) => {
    const box = element("input", { type: "checkbox", name: "wanted", value: job, checked: chosen.includes(job), onchange: () => choose(job, box.checked) });
    return element("label", { class: "choice" }, box, element("span", { class: "mark-box" }), element("span", {}, catalog.jobs[job]?.title ?? job));
  });
  return [element("p", { class: "quiet" }, carWords.servicesSays), element("div", { class: "choices" }, ...choices)];
}
