/**
 * Which small picture a step shows beside its readings: chosen by what the step judges and shows, so that a new job in
 * the specs gets its instrument without code.
 */

/** @import { StepContext } from "./context.js" */

import { words } from "../../app/words.js";
import { Balance } from "../drawings/balance.js";
import { lookUp } from "../texts/known.js";
import { MixJug } from "../drawings/mix-jug.js";
import { amountText } from "../texts/unit-amount.js";
import { VacuumHold } from "../drawings/vacuum-hold.js";

/** @typedef {{ root: Element, update: () => void, hasOwnNumber?: boolean }} Instrument hasOwnNumber: the drawing carries the numbers, none stands under it */

/** @param {StepContext} context @returns {Instrument | null} */
export function chooseInstrument(context) {
  const { step } = context;
  const named = [...step.shows, ...step.judges];
  const find = /** @param {RegExp} pattern */ (pattern) => named.find((name) => pattern.test(formulaName(context, name)));
  const [concentrate, water] = [find(/concentrate/), find(/water/)];
  if (concentrate && water) return MixJug(context, concentrate, water);
  const balance = find(/^balance-in-out/);
  if (balance) return balanceOf(context, balance);
  const vacuum = find(/^vacuum-(holds|reached)$/);
  return vacuum ? vacuumOf(context, vacuum) : null;
}

/** @param {StepContext} context @param {string} judged figure that judges the gauge */
function vacuumOf(context, judged) {
  const { step } = context;
  const { figures } = context.open().catalog;
  const gauges = [...boundNames(context, judged), ...step.readings].filter((name) => isPressure(context, name));
  /** @param {string} formula */
  const ofJob = (formula) => Object.keys(figures).find((name) => figures[name]?.job === step.job && figures[name]?.formula === formula);
  const isHeld = formulaName(context, judged) === "vacuum-holds";
  const marks = { target: ofJob("vacuum-target"), passMark: isHeld ? ofJob("vacuum-pass-mark") : undefined, possible: ofJob("vacuum-possible") };
  return gauges.length ? VacuumHold(context, { gauges: [...new Set(gauges)], ...marks }) : null;
}

/** @param {StepContext} context @param {string} figure */
function formulaName(context, figure) {
  return context.open().catalog.figures[figure]?.formula ?? "";
}

/** @param {StepContext} context @param {string} figure what it takes in */
function boundNames(context, figure) {
  const bound = context.open().catalog.figures[figure]?.with ?? {};
  return Object.values(bound).flatMap((amount) => ("name" in amount ? [amount.name] : []));
}

/** @param {StepContext} context @param {string} reading */
function isPressure(context, reading) {
  const { catalog } = context.open();
  return catalog.units[catalog.readings[reading]?.unit ?? ""]?.measure === "pressure";
}

/** @param {StepContext} context @param {string} figure */
function balanceOf(context, figure) {
  const bound = context.open().catalog.figures[figure]?.with ?? {};
  const nameOf = /** @param {string} input */ (input) => {
    const amount = bound[input];
    return amount && "name" in amount ? amount.name : input;
  };
  const known = () => ({ out: lookUp(context.knowledge(), nameOf("drained")), into: lookUp(context.knowledge(), nameOf("filled")) });
  return Balance(() => ({ ...known(), ...jugError(context) }));
}

/**
 * What the jugs can be wrong by: worked out where the step does so, else what its judgement allows them.
 *
 * @param {StepContext} context
 */
function jugError(context) {
  const { catalog } = context.open();
  const named = [...context.step.shows, ...context.step.judges];
  const worked = named.find((name) => formulaName(context, name) === "balance-uncertainty");
  if (worked) {
    const { outcome, text } = lookUp(context.knowledge(), worked);
    return { error: typeof outcome.value === "number" ? outcome.value : null, errorText: text && words.work.giveOrTake(text) };
  }
  const allowed = named.map((name) => catalog.formulas[formulaName(context, name)]?.constants["jug_error"]).find((constant) => constant);
  return { error: allowed?.value ?? null, errorText: allowed ? words.work.giveOrTake(amountText(catalog, allowed.unit, allowed.value).text) : "" };
}
