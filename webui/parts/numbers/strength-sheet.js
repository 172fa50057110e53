/**
 * The strength of a coolant by another instrument than the one with a scale of freezing points, turned into the freezing
 * point that the step asks for.
 */

/** @import { StepContext } from "../step/context.js" */
/** @import { Worked } from "./worked.js" */

import { element } from "../../dom/element.js";
import { numbers as words } from "../../app/words/numbers.js";
import { formatNumber, fromSI, unitOf } from "../../core/units.js";
import { FormulaForm } from "./formula-form.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { givenBy, workOut } from "./worked.js";

const ROOM = 293.15;

/**
 * @param {StepContext} context
 * @param {string} reading the freezing point that is asked for
 * @param {string} glycol what the coolant is made of, "" where nobody said
 */
export function openStrengthSheet(context, reading, glycol) {
  const { catalog } = context.open();
  if (glycol === "propylene" || glycol === "glycerol") return void openSheet(words.strength.title, [element("p", {}, words.strength[glycol])]);
  /** @type {Worked | null} */
  let found = null;
  const take = Button({ class: "action" }, keep, "");
  take.hidden = true;
  /** The freezing point that a strength stands for. @param {Worked} strength */
  const results = (strength) => [strength, strength.value === null ? null : workOut(catalog, "freeze-protection", { strength: givenBy(strength) })];
  /** @param {(Worked | null)[]} shown */
  const onWorked = (shown) => {
    const protection = shown[1];
    if (!protection) return;
    found = protection.value === null ? null : protection;
    take.hidden = !found;
    take.textContent = found ? words.strength.take(found.text) : "";
  };
  const sheet = openSheet(words.strength.title, [
    element("h3", {}, words.strength.brix),
    FormulaForm(catalog, "coolant-strength-refraction", {}, { starts: { temperature: ROOM }, hints: { temperature: words.strength.brixHint }, results, onWorked }),
    element("h3", {}, words.strength.density),
    FormulaForm(catalog, "coolant-strength-density", {}, { hints: { density: words.strength.densityHint }, results, onWorked }),
  ], [take]);

  async function keep() {
    const value = found?.value;
    if (value === null || value === undefined) return;
    const unit = catalog.readings[reading]?.unit ?? "degC";
    const typed = formatNumber(fromSI(unitOf(catalog, unit), value), 1);
    if (await context.record("reading-taken", { step: context.instance.id, reading, value, typed, unit })) sheet.close();
    context.redraw();
  }
}
