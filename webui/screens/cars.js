/** The first screen at a table: the cars, the visits in progress before all else, and how this phone stands. */

/** @import { App, Car, Open, Screen, Summary } from "../app/types.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { stepOf } from "../core/compose.js";
import { fluidColour, findProgress } from "../parts/texts/open-things.js";
import { Button } from "../parts/controls/press.js";
import { SightGlass } from "../parts/drawings/sight-glass.js";
import { PhoneState } from "../parts/phone/state.js";
import { placeOf } from "../parts/step/place.js";
import { Places } from "../parts/frame/places.js";
import { dayText } from "../parts/texts/reading-words.js";
import { fixedText } from "../parts/texts/unit-amount.js";

/** @param {App} app @returns {Screen} */
export function CarsScreen(app) {
  const heading = element("h1", { tabindex: "-1" }, words.cars.title);
  const going = element("section", { class: "going" });
  const list = element("ul", { class: "cars" });
  const finished = element("section", { class: "finished" });
  const add = Button({ class: "second" }, () => app.go("#/car/new"), words.cars.add);
  const state = PhoneState(app);
  const root = element("div", { class: "page cars-page" }, element("div", { class: "content" }, heading, going, list, add, finished, Places(app), state.root));
  document.title = words.cars.documentTitle;
  let drawn = "";
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  function update() {
    state.update();
    const [cars, visits] = [app.cars(), app.visits()];
    const open = visits.filter(({ closedAt }) => closedAt === null);
    const key = JSON.stringify([cars.map(({ id, title, plate, odometer }) => [id, title, plate, odometer]), app.preferences.units, visits, open.map(({ id }) => app.visit(id)?.visit.next)]);
    if (key === drawn) return;
    drawn = key;
    going.replaceChildren(...open.map(GoingCard));
    list.replaceChildren(...cars.map(CarCard));
    add.className = cars.length ? "second" : "action";
    if (!cars.length) list.append(element("li", { class: "empty" }, element("h2", {}, words.cars.none), element("p", {}, words.cars.noneSays)));
    const closed = visits.filter(({ closedAt }) => closedAt !== null);
    finished.hidden = closed.length === 0;
    finished.replaceChildren(element("h2", {}, words.cars.finished), element("ul", {}, ...closed.map(FinishedRow)));
    for (const { id } of open) if (!app.visit(id)) void app.loadVisit(id).then((loaded) => loaded && update());
  }

  /** @param {Summary} visit */
  function GoingCard(visit) {
    const open = app.visit(visit.id);
    const next = open && placeOf(open);
    const at = open ? open.composition.steps.findIndex(({ id }) => id === next) : -1;
    const total = open?.composition.steps.length ?? 0;
    const where = !open ? words.cars.goOnPlain : at < 0 ? words.cars.goOnClose : words.cars.goOn(at + 1, total);
    return element(
      "article",
      { class: "going-card" },
      open && GoingGlass(open, at),
      element("p", { class: "car-line" }, element("b", {}, visit.car.title), Plate(visit.car.plate)),
      Button({ class: "action" }, () => app.go(`#/open/${visit.id}`), where),
    );
  }

  /** @param {Car} car */
  function CarCard(car) {
    const last = car.lastVisit?.closedAt;
    return element(
      "li",
      { class: "car-card" },
      element("h2", {}, car.title),
      element("p", { class: "car-line" }, Plate(car.plate), !car.own && element("span", { class: "tag" }, words.cars.invented), element("span", { class: "quiet" }, app.catalog ? fixedText(app.catalog, car.odometer.shown) : car.odometer.shown)),
      element("p", { class: "quiet" }, car.note),
      last && element("p", { class: "quiet" }, words.cars.lastVisit(dayText(last))),
      Button({ class: "second" }, () => app.go(`#/plan/${encodeURIComponent(car.id)}`), words.cars.plan),
      car.own && Button({ class: "second" }, () => app.go(`#/car/${encodeURIComponent(car.id)}`), words.cars.numbers),
    );
  }

  /** @param {Summary} visit */
  function FinishedRow(visit) {
    const closed = visit.closedAt ? dayText(visit.closedAt) : "";
    const says = words.cars.services(visit.jobs.length);
    return element(
      "li",
      {},
      Button({ class: "record-link" }, () => app.go(`#/record/${visit.id}`), element("b", {}, closed), element("span", {}, visit.car.title), element("span", { class: "quiet" }, [visit.car.plate, says].join(" · "))),
    );
  }

  update();
  return { root, update };
}

/** How far it has come, in the colour of the fluid at hand. @param {Open} open @param {number} at */
function GoingGlass(open, at) {
  const glass = SightGlass();
  const instance = open.composition.steps[at];
  glass.update(findProgress(open), instance ? fluidColour(open.catalog, stepOf(open.catalog, instance).job) : "none");
  return glass.root;
}

/** @param {string} plate */
function Plate(plate) {
  return element("span", { class: "plate" }, plate);
}
