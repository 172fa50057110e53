/** Do it, tick it. */

/** @import { StepContext, StepKind } from "./step-context.js" */

import { ActionButton, Foot } from "./step-context.js";

/** @param {StepContext} context @returns {StepKind} */
export function ActStep(context) {
  return { picture: null, panel: null, foot: Foot(ActionButton(context)), update: () => {} };
}
