/** The drawing of a step that is done for each of several: wheels at their corners, screws round their pan. */

/** @import { StepContext } from "./context.js" */
/** @import { Instrument } from "./instruments.js" */

import { stepOf } from "../../core/compose.js";
import { BoltPattern } from "../drawings/bolt-pattern.js";
import { itemText } from "../texts/known.js";
import { cornerOf } from "../texts/open-things.js";
import { WheelPattern } from "../drawings/wheel-pattern.js";

/** @param {StepContext} context @returns {Instrument | null} null for a step that is done once */
export function Pattern({ open, instance, step }) {
  if (instance.of < 2) return null;
  const siblings = open().composition.steps.filter((other) => other.step === instance.step);
  const items = siblings.map(({ item }) => item ?? "");
  const labels = items.map((item) => itemText(open().catalog, step.each, item));
  const drawing = items.every(cornerOf) ? WheelPattern(items, labels) : BoltPattern(items, labels, passOf());

  /** Steps that tighten the same screws, one after the other, are passes. */
  function passOf() {
    const { catalog, composition } = open();
    const each = composition.steps.map((other) => stepOf(catalog, other)).filter((other) => other.kind === "tighten" && other.each === step.each && other.job === step.job);
    const ids = [...new Set(each.map(({ id }) => id))];
    return { pass: Math.max(1, ids.indexOf(step.id) + 1), of: Math.max(1, ids.length) };
  }

  function update() {
    const { steps } = open().visit;
    drawing.update(siblings.map(({ id }) => (id === instance.id ? "next" : steps[id]?.status === "done" ? "done" : "later")));
  }
  return { root: drawing.root, update };
}
