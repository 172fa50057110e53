/**
 * Which small picture a step shows beside its readings: chosen by what the step judges and shows, so that a new job in
 * the specs gets its instrument without code.
 */

/** @import { StepContext } from "./step-context.js" */

import { Balance } from "./balance.js";
import { lookUp } from "./known.js";
import { MixJug } from "./mix-jug.js";
import { VacuumHold } from "./vacuum-hold.js";

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
  const holds = find(/vacuum-holds/);
  if (!holds) return null;
  const gauges = [...boundNames(context, holds), ...step.readings].filter((name) => isPressure(context, name));
  return gauges.length ? VacuumHold(context, [...new Set(gauges)]) : null;
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
  return Balance(() => [lookUp(context.knowledge(), nameOf("drained")), lookUp(context.knowledge(), nameOf("filled"))]);
}
