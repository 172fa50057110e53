/** What is done with a car as a whole: its names, its sheet as a file, taking it off the list; and what may be done with an invented one. */

/** @import { App, Car } from "../app/types.js" */
/** @import { CarFold } from "../core/car.js" */
/** @import { Catalog } from "../core/types.js" */

import { carWords } from "../app/words/car.js";
import { words } from "../app/words.js";
import { element } from "../dom/element.js";
import { HoldButton, Button } from "../parts/controls/press.js";
import { openSheet } from "../parts/controls/sheet.js";
import { CarNames } from "./car-new.js";
import { shareSheet, SheetReader } from "./car-sheets.js";

/** @param {App} app @param {Catalog} catalog @param {string} id @param {CarFold} own @returns {Node[]} */
export function MoreOfCar(app, catalog, id, own) {
  const remove = async () => {
    if (!own.added) return;
    await (await app.loadGarage()).undoInCar(id, own.added.event);
    app.go("#/cars");
  };
  return [
    Button({ class: "second" }, () => openNames(app, catalog, id, own), carWords.names),
    Button({ class: "second" }, () => app.go(`#/plan/${encodeURIComponent(id)}`), carWords.toPlan),
    element("p", { class: "quiet" }, carWords.shareSays),
    Button({ class: "second" }, () => shareSheet(app, id), carWords.share),
    SheetReader(app, (taken) => app.go(`#/car/${encodeURIComponent(taken)}`)).root,
    element("p", { class: "quiet" }, carWords.removeSays),
    HoldButton({ class: "second", tone: "warning", confirm: carWords.removeConfirm }, remove, carWords.remove).root,
  ];
}

/** @param {App} app @param {Catalog} catalog @param {string} id @param {CarFold} own */
function openNames(app, catalog, id, own) {
  const form = CarNames(catalog, own);
  const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
  const sheet = openSheet(carWords.names, [form.root, trouble], [Button({ class: "action" }, keep, carWords.keep)]);

  async function keep() {
    const told = form.read();
    if (!told) return;
    const { odometer, ...names } = told;
    try {
      const garage = await app.loadGarage();
      await garage.describeCar(id, names);
      if (odometer) await garage.readOdometer(id, { ...odometer, ...(names.by ? { by: names.by } : {}) });
      sheet.close();
    } catch {
      trouble.hidden = false;
      trouble.textContent = words.errors.notSaved;
    }
  }
}

/** An invented car cannot be changed; it may be the beginning of one's own. @param {App} app @param {Car} car @returns {Node[]} */
export function DemoCar(app, car) {
  async function copy() {
    const garage = await app.loadGarage();
    const { id } = await garage.importSheet(await garage.exportSheet(car.id).text(), { asNew: true });
    if (id) app.go(`#/car/${encodeURIComponent(id)}`);
  }
  return [
    element("p", { class: "car-line" }, element("span", { class: "plate" }, car.plate), element("span", { class: "tag" }, words.cars.invented)),
    element("p", {}, carWords.demo),
    Button({ class: "second" }, copy, carWords.copy),
    Button({ class: "second" }, () => shareSheet(app, car.id), carWords.share),
  ];
}
