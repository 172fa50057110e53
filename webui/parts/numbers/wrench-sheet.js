/** Which wrench for this torque: those of the garage, any other, and what to set with an adapter that sticks out. */

/** @import { App } from "../../app/types.js" */
/** @import { Catalog } from "../../core/types.js" */
/** @import { Thing } from "../../core/inventory.js" */
/** @import { Given, Worked } from "./worked.js" */

import { element } from "../../dom/element.js";
import { numbers as words } from "../../app/words/numbers.js";
import { thingsOf } from "../../core/inventory.js";
import { FormulaForm, WorkedLine } from "./formula-form.js";
import { openSheet } from "../controls/sheet.js";
import { givenBy, workOut } from "./worked.js";

const KIND = "torque-wrench";
const SUITS = "wrench-suits-torque";
const ADAPTER = "wrench-with-adapter";

/** @param {App} app @param {Catalog} catalog @param {Given} torque */
export async function openWrenchSheet(app, catalog, torque) {
  const inventory = await app.loadGarage().then((garage) => garage.inventory.get()).catch(() => null);
  const own = inventory ? thingsOf(inventory, KIND) : [];
  const suits = own.flatMap((thing) => SuitsLine(catalog, thing, torque) ?? []);
  const [lever] = own.filter((thing) => thing.marks.reach && verdict(catalog, thing, torque)?.holds);
  openSheet(words.wrench.title, [
    element("p", {}, words.wrench.torque(torque.text ?? "")),
    suits.length > 0 && element("h3", {}, words.wrench.own),
    suits.length > 0 && element("div", { class: "number-lines" }, ...suits),
    element("h3", {}, suits.length ? words.wrench.other : words.wrench.any),
    FormulaForm(catalog, SUITS, { bolt_torque: torque }),
    element("h3", {}, words.wrench.adapter),
    FormulaForm(catalog, ADAPTER, { bolt_torque: torque }, {
      order: ["wrench_length", "adapter_length", "adapter_angle"],
      starts: { adapter_angle: 0, ...(lever?.marks.reach ? { wrench_length: lever.marks.reach.value } : {}) },
      hints: { wrench_length: words.wrench.lengthHint },
      results: (worked) => [worked, lever ? verdict(catalog, lever, givenBy(worked)) : null],
    }),
  ]);
}

/** @param {Catalog} catalog @param {Thing} thing @param {Given} torque @returns {Worked | null} */
function verdict(catalog, { marks, title }, torque) {
  if (!marks.most) return null;
  return workOut(catalog, SUITS, { bolt_torque: torque, wrench_maximum: { value: marks.most.value, unit: marks.most.unit, from: title || words.wrench.own } });
}

/** @param {Catalog} catalog @param {Thing} thing @param {Given} torque */
function SuitsLine(catalog, thing, torque) {
  const worked = verdict(catalog, thing, torque);
  return worked ? WorkedLine(worked, thing.title || catalog.equipment?.[KIND]?.title) : null;
}
