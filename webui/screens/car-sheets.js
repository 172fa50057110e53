/** A car's sheet goes out as one file and comes in again: what is wrong with it is told line by line, and nothing of it is taken then. */

/** @import { App } from "../app/types.js" */
/** @import { SheetError, SheetJudgement } from "../core/sheet.js" */

import { carWords } from "../app/words/car.js";
import { words } from "../app/words.js";
import { readSheet } from "../core/sheet.js";
import { passOn } from "../device/files.js";
import { element } from "../dom/element.js";
import { lastName } from "../parts/facts/memory.js";
import { namedRemarks, remarkText } from "../parts/facts/remarks.js";
import { Button } from "../parts/controls/press.js";
import { openSheet } from "../parts/controls/sheet.js";

/** @param {App} app @param {string} car */
export async function shareSheet(app, car) {
  await passOn((await app.loadGarage()).exportSheet(car));
}

/** @param {App} app @param {(id: string) => void} onTaken */
export function SheetReader(app, onTaken) {
  const input = element("input", { type: "file", accept: ".toml,application/toml,text/plain", hidden: true, onchange: readFile });
  const button = Button({ class: "second" }, () => input.click(), carWords.files.read);
  const root = element("div", { class: "sheet-reader" }, button, input);

  async function readFile() {
    const file = input.files?.[0];
    input.value = "";
    if (!file) return;
    const text = await file.text().catch(() => null);
    if (text === null) openSheet(carWords.files.wrong, [element("p", {}, carWords.files.notRead)]);
    else await offer(text);
  }

  /** @param {string} text */
  async function offer(text) {
    const { sheet, errors } = readSheet(text);
    if (!sheet) return showErrors(errors);
    await app.loadGarage();
    const known = app.cars().find(({ id, own }) => own && id === sheet.id);
    const own = element("input", { type: "checkbox", name: "own" });
    const take = /** @param {boolean} asNew */ (asNew) => async () => {
      dialog.close();
      await takeSheet(text, { asNew, isOwn: own.checked });
    };
    const into = known && Button({ class: "action" }, take(false), carWords.files.into);
    const asNew = Button({ class: known ? "second" : "action" }, take(Boolean(known)), known ? carWords.files.asNew : carWords.files.take);
    const dialog = openSheet(
      sheet.title,
      [
        element("p", { class: "car-line" }, element("span", { class: "plate" }, sheet.plate), element("span", { class: "quiet" }, carWords.files.counts(Object.keys(sheet.facts).length))),
        known && element("p", {}, carWords.files.known(known.title)),
        element("label", { class: "choice" }, own, element("span", { class: "mark-box" }), element("span", {}, carWords.files.isOwn)),
      ],
      [into, asNew].filter((one) => one instanceof HTMLElement),
    );
  }

  /** @param {string} text @param {{ asNew: boolean, isOwn: boolean }} choice */
  async function takeSheet(text, choice) {
    try {
      const taken = await (await app.loadGarage()).importSheet(text, { ...choice, ...(lastName() ? { by: lastName() } : {}) });
      if (taken.id !== null) onTaken(taken.id);
      else if (taken.judgement) showJudgement(taken.judgement);
      else showErrors(taken.errors);
    } catch {
      openSheet(carWords.files.wrong, [element("p", { class: "trouble", role: "alert" }, words.errors.notSaved)]);
    }
  }

  /** @param {SheetJudgement} judgement */
  function showJudgement({ facts, vin, odometer }) {
    const { catalog } = app;
    if (!catalog) return;
    const refused = Object.entries(facts).filter(([, { verdict }]) => verdict === "refused");
    const lines = refused.map(([name, { remarks }]) => namedRemarks(catalog, name, remarks));
    if (vin?.verdict === "refused") lines.push(`${carWords.files.vin}: ${vin.remarks.map((remark) => remarkText(catalog, null, remark)).join(" ")}`);
    if (odometer.length > 0) lines.push(`${carWords.files.odometer}: ${odometer.map((remark) => remarkText(catalog, "km", remark)).join(" ")}`);
    openSheet(carWords.files.refusedTitle, [element("p", {}, carWords.files.refused), element("ul", { class: "sheet-errors" }, ...lines.map((line) => element("li", {}, line)))]);
  }
  return { root };
}

/** @param {SheetError[]} errors */
function showErrors(errors) {
  const rows = errors.map(({ line, message }) => element("li", {}, element("b", {}, carWords.files.line(line)), element("span", {}, message)));
  openSheet(carWords.files.wrong, [element("p", {}, carWords.files.refused), element("ul", { class: "sheet-errors" }, ...rows)]);
}
