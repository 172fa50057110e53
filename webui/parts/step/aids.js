/**
 * What else a step can be told by: another instrument, another wrench, another temperature. Chosen by the formulas its
 * readings feed, by its torque and by what it fills, so that a new job in the specs gets them without code.
 */

/** @import { StepContext } from "./context.js" */
/** @import { Given } from "../numbers/worked.js" */

import { element } from "../../dom/element.js";
import { numbers as words } from "../../app/words/numbers.js";
import { FormulaForm, WorkedLine } from "../numbers/formula-form.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { givenOf, workOut } from "../numbers/worked.js";

/** Oils at 15 °C, where no data sheet says: kg/m³. Common practice. */
const OIL_DENSITY = 850;
/** What a reading feeds where it is the freezing point of a coolant, and under which input. @type {Record<string, string>} */
const FREEZING = { "coolant-strength": "freezing_point", "coolant-strength-judgement": "measured_freezing_point" };

/**
 * One line each, to stand below what the step shows; none for most steps.
 *
 * @param {StepContext} context
 * @returns {HTMLElement | null}
 */
export function StepAids(context) {
  const aids = [StrengthAid, TorqueAid, AngleAid, WarmthAid, LeanAid].flatMap((make) => make(context) ?? []);
  return aids.length ? element("div", { class: "aids" }, ...aids) : null;
}

/** @param {StepContext} context */
function StrengthAid(context) {
  const { figures } = context.open().catalog;
  const feeds = /** @param {string} reading */ (reading) =>
    Object.values(figures).some(({ formula, with: bound }) => {
      const amount = bound[FREEZING[formula] ?? ""];
      return amount && "name" in amount && amount.name === reading;
    });
  const reading = context.step.readings.find(feeds);
  if (!reading) return null;
  const open = async () => (await import("../numbers/strength-sheet.js")).openStrengthSheet(context, reading, glycolOf(context));
  return Aid(words.strength.offer, open);
}

/** What the coolant of this step is made of. @param {StepContext} context */
function glycolOf(context) {
  const { catalog, visit } = context.open();
  const circuit = (catalog.jobs[context.step.job]?.renews ?? [])[0] ?? "";
  return String(visit.values[`${named(circuit)}_glycol`] ?? "");
}

/** @param {StepContext} context */
function TorqueAid(context) {
  const { torque } = context.step;
  if (!torque) return null;
  const given = givenOf(context.knowledge(), torque);
  if (typeof given.value !== "number") return null;
  return Aid(words.wrench.offer, async () => (await import("../numbers/wrench-sheet.js")).openWrenchSheet(context.app, context.open().catalog, givenOf(context.knowledge(), torque)));
}

/** A turn after the torque or after contact, for whoever has no gauge for angles. @param {StepContext} context */
function AngleAid(context) {
  const { catalog } = context.open();
  const turn = context.step.shows.find((name) => catalog.facts[name]?.unit === "degree");
  const worked = turn ? workOut(catalog, "turn-in-flats", { angle: givenOf(context.knowledge(), turn) }) : null;
  return worked?.text ? WorkedLine(worked, words.flats.offer) : null;
}

/** @param {StepContext} context */
function WarmthAid(context) {
  const filled = filledBy(context);
  if (!filled) return null;
  const { catalog } = context.open();
  const volume = capacityOf(context, filled);
  const open = () => {
    const form = isCoolant(context, filled)
      ? FormulaForm(catalog, "coolant-growth", { volume })
      : FormulaForm(catalog, "level-error-with-temperature", { volume }, { starts: { density: OIL_DENSITY }, hints: { density: words.warmth.density } });
    openSheet(isCoolant(context, filled) ? words.warmth.coolant : words.warmth.title, [form]);
  };
  return Aid(words.warmth.offer, open);
}

/** Only where the level is a plug's lip: a tank has marks, and stands upright. @param {StepContext} context */
function LeanAid(context) {
  const filled = filledBy(context);
  if (!filled || isCoolant(context, filled)) return null;
  const open = async () => {
    const { LevelTilt } = await import("../numbers/level-tilt.js");
    const { catalog, visit } = context.open();
    const tilt = LevelTilt(catalog, { onPlug: () => {} });
    const angle = /** @param {string} name */ (name) => (typeof visit.values[name] === "number" ? Number(visit.values[name]) : null);
    tilt.update({ lengthwise: angle("tilt_lengthwise"), crosswise: angle("tilt_crosswise") });
    openSheet(words.lean.title, [tilt.root, element("p", { class: "quiet" }, words.lean.says)]);
  };
  return Aid(words.lean.offer, open);
}

/** The circuit that this step brings to its level; brakes have marks on a tank and no window. @param {StepContext} context */
function filledBy(context) {
  const { catalog } = context.open();
  const full = Object.entries(context.step.makes).find(([id, value]) => value === "full" && catalog.variables[id]?.kind === "circuit");
  return full && colourOf(context, full[0]) !== "brake" ? full[0] : null;
}

/** @param {StepContext} context @param {string} circuit */
function colourOf(context, circuit) {
  const { catalog } = context.open();
  return catalog.fluids[catalog.variables[circuit]?.fluid ?? ""]?.colour ?? "";
}

/** @param {StepContext} context @param {string} circuit */
function isCoolant(context, circuit) {
  return colourOf(context, circuit).startsWith("coolant");
}

/** @param {StepContext} context @param {string} circuit @returns {Given} */
function capacityOf(context, circuit) {
  return givenOf(context.knowledge(), `${named(circuit)}_capacity`);
}

/** Facts are named after their circuit. @param {string} circuit */
function named(circuit) {
  return circuit.replaceAll("-", "_");
}

/** @param {string} text @param {() => unknown} open */
function Aid(text, open) {
  return Button({ class: "plain" }, open, text);
}
