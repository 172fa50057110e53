/** Do it, or pull it to its torque, and tick it; where there are several, the drawing says which. */

/** @import { StepContext, StepKind } from "./context.js" */

import { Pattern } from "./pattern.js";
import { ActionButton, Foot } from "./context.js";

/** @param {StepContext} context @returns {StepKind} */
export function ActStep(context) {
  const pattern = Pattern(context);
  return { picture: pattern?.root ?? null, panel: null, foot: Foot(ActionButton(context)), update: () => pattern?.update() };
}
