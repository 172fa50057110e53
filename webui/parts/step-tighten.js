/** A fastener to its torque; where there are several, the drawing says which is done, which is next and which is later. */

/** @import { StepContext, StepKind } from "./step-context.js" */

import { BoltPattern } from "./bolt-pattern.js";
import { cornerOf } from "./open-things.js";
import { ActionButton, Foot } from "./step-context.js";
import { itemText } from "./known.js";
import { WheelPattern } from "./wheel-pattern.js";

/** @param {StepContext} context @returns {StepKind} */
export function TightenStep(context) {
  const { instance } = context;
  const pattern = instance.of > 1 ? patternFor(context) : null;

  function update() {
    const { composition, visit } = context.open();
    const siblings = composition.steps.filter(({ step }) => step === instance.step);
    pattern?.update(siblings.map(({ id }) => (id === instance.id ? "next" : visit.steps[id]?.status === "done" ? "done" : "later")));
  }
  return { picture: pattern?.root ?? null, panel: null, foot: Foot(ActionButton(context)), update };
}

/** @param {StepContext} context */
function patternFor({ open, instance, step }) {
  const { catalog, composition } = open();
  const items = composition.steps.filter((other) => other.step === instance.step).map((other) => other.item ?? "");
  const labels = items.map((item) => itemText(catalog, step.each, item));
  return items.every(cornerOf) ? WheelPattern(items, labels) : BoltPattern(items, labels);
}
