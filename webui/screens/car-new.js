/** A car of one's own: its names, asked for once at the beginning and changed here later. A bad VIN goes no further. */

/** @import { App, Screen } from "../app/types.js" */
/** @import { CarFold } from "../core/car.js" */
/** @import { Catalog } from "../core/types.js" */

import { carWords } from "../app/words/car.js";
import { words } from "../app/words.js";
import { readAmount } from "../core/amounts.js";
import { judgeVin } from "../core/vin.js";
import { element } from "../dom/element.js";
import { keepName, lastName } from "../parts/facts/memory.js";
import { remarkText } from "../parts/facts/remarks.js";
import { Button } from "../parts/controls/press.js";
import { wantedSystem, wantedUnit } from "../parts/texts/unit-amount.js";
import { UnitPicker } from "../parts/controls/unit-picker.js";
import { SheetReader } from "./car-sheets.js";

/** @param {App} app @returns {Screen} */
export function NewCarScreen(app) {
  const say = carWords.new;
  const { catalog } = app;
  const heading = element("h1", { tabindex: "-1" }, say.title);
  const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
  const form = catalog ? CarNames(catalog, null) : null;
  const reader = SheetReader(app, (id) => app.go(`#/car/${encodeURIComponent(id)}`));
  const root = element(
    "div",
    { class: "page car-page" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), carWords.toCars)),
    element("div", { class: "content" }, heading, element("p", {}, say.says), form?.root ?? words.errors.noCatalog, element("section", { class: "from-sheet" }, element("h2", {}, say.fromSheet), element("p", { class: "quiet" }, say.fromSheetSays), reader.root)),
    element("footer", {}, trouble, Button({ class: "action" }, add, say.does)),
  );
  document.title = say.documentTitle;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));

  async function add() {
    const told = form?.read();
    if (!told) return;
    const { odometer, by, ...names } = told;
    try {
      const garage = await app.loadGarage();
      const id = await garage.addCar({ ...names, by });
      if (odometer) await garage.readOdometer(id, { ...odometer, by });
      app.go(`#/car/${encodeURIComponent(id)}`);
    } catch {
      trouble.hidden = false;
      trouble.textContent = words.errors.notSaved;
    }
  }
  return { root, update: () => {} };
}

/**
 * The fields of a car's names, plate, VIN and odometer.
 *
 * @param {Catalog} catalog
 * @param {CarFold | null} car as it is, or null for a new one
 */
export function CarNames(catalog, car) {
  const say = carWords.new;
  const title = Field("car-title", say.name, car?.title ?? "", say.nameSays);
  const plate = Field("car-plate", say.plate, car?.plate ?? "", "");
  const vin = Field("car-vin", say.vin, car?.vin ?? "", say.vinSays);
  const note = Field("car-note", say.note, car?.note ?? "", "");
  const by = Field("car-by", say.by, lastName(), say.bySays);
  const market = Market(car?.market ?? "", judge);
  const odometer = OdometerField(catalog, car);
  vin.input.autocapitalize = "characters";
  vin.input.addEventListener("input", judge);
  by.input.setAttribute("autocomplete", "name");
  const whyVin = Button({ class: "plain" }, async () => (await import("../parts/due/numbers.js")).openVinCheck(catalog, vin.input.value.trim().toUpperCase()), say.vinWhy);
  const root = element("div", { class: "car-names" }, title.root, plate.root, vin.root, whyVin, market.root, odometer.root, note.root, by.root);

  /** Whether the VIN may stand, and what is said of it. */
  function judge() {
    const text = vin.input.value.trim();
    const judgement = text === "" ? null : judgeVin(text, market.read());
    const year = judgement?.year ? carWords.modelYear(judgement.year) : "";
    const remarks = judgement?.remarks.map((remark) => remarkText(catalog, null, remark)) ?? [];
    whyVin.hidden = judgement === null || judgement.verdict === "refused";
    vin.tell([...remarks, year].filter(Boolean).join(" ") || say.vinSays, judgement?.verdict === "refused");
    return judgement?.verdict !== "refused";
  }

  /** @returns {{ title: string, plate: string, note?: string, vin?: string, market?: string, by?: string, odometer: { value: number, typed: string, unit: string } | null } | null} null, and said so, where something is wrong */
  function read() {
    const names = { title: title.input.value.trim(), plate: plate.input.value.trim() };
    title.tell(names.title ? say.nameSays : say.needsName, !names.title);
    plate.tell(names.plate ? "" : say.needsPlate, !names.plate);
    const isVinGood = judge();
    const read = odometer.read();
    const wrong = !names.title ? title : !names.plate ? plate : !isVinGood ? vin : read === null ? odometer : null;
    wrong?.input.focus();
    if (wrong || read === null) return null;
    keepName(by.input.value.trim());
    const said = { note: note.input.value.trim(), vin: vin.input.value.trim().toUpperCase(), market: market.read(), by: by.input.value.trim() };
    const isTold = /** @param {string} key */ (key) => Boolean(said[/** @type {"vin"} */ (key)] || car?.[/** @type {"vin"} */ (key)]);
    return { ...names, ...Object.fromEntries(Object.entries(said).filter(([key]) => isTold(key))), odometer: "empty" in read ? null : read };
  }

  judge();
  return { root, read };
}

/** @param {string} id @param {string} label @param {string} value @param {string} says */
function Field(id, label, value, says) {
  const input = element("input", { id, type: "text", autocomplete: "off", value, dir: "auto", "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, says);
  const root = element("div", { class: "field" }, element("label", { for: id }, label), input, said);

  /** @param {string} text @param {boolean} isWrong */
  function tell(text, isWrong) {
    said.textContent = text;
    root.toggleAttribute("data-wrong", isWrong);
  }
  return { root, input, tell };
}

/** Where it was sold new: there the check digit is a duty or a custom. @param {string} known @param {() => void} onChange */
function Market(known, onChange) {
  const choices = Object.entries(carWords.new.markets).map(([id, label]) => {
    const input = element("input", { type: "radio", name: "market", value: id, checked: id === known, onchange: onChange });
    return { input, root: element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label)) };
  });
  const root = element("fieldset", { class: "field" }, element("legend", {}, carWords.new.market), element("div", { class: "row" }, ...choices.map((choice) => choice.root)));
  return { root, read: () => choices.find(({ input }) => input.checked)?.input.value ?? known };
}

/** @param {Catalog} catalog @param {CarFold | null} car */
function OdometerField(catalog, car) {
  const say = carWords.new;
  const picker = UnitPicker(catalog, car?.odometer?.unit ?? wantedUnit(catalog, "km"), () => {});
  const field = Field("car-odometer", say.odometer, car?.odometer?.typed ?? "", say.odometerSays);
  const held = element("div", { class: "number-and-unit" });
  field.input.replaceWith(held);
  held.append(field.input, picker.root);
  field.input.inputMode = "decimal";
  const before = field.input.value;

  /** @returns {{ value: number, typed: string, unit: string } | { empty: true } | null} null where it is no distance */
  function read() {
    if (field.input.value === before && car) return { empty: true };
    const understood = readAmount(catalog, picker.unit(), field.input.value, wantedSystem());
    // "84.210" on an odometer is thousands: no display shows metres.
    const meant = "either" in understood ? (understood.either[1] ?? null) : understood;
    if (meant && "empty" in meant) return meant;
    const isGood = meant !== null && "value" in meant && meant.value >= 0;
    field.tell(isGood ? say.odometerSays : words.quantity.notANumber, !isGood);
    return isGood ? { value: meant.value, typed: meant.typed, unit: meant.unit } : null;
  }
  return { root: field.root, input: field.input, read };
}
