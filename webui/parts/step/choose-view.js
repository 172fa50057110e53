/** What a step shows, as the car stands: the step itself, what stops it, what must be known first, or the end of the visit. */

/** @import { Open } from "../../app/types.js" */
/** @import { Instance, Override, Stop } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */
/** @import { View } from "./card.js" */

import { fold } from "../../core/fold.js";
import { stops } from "../../core/gate.js";
import { makeStepView } from "./card.js";

/**
 * @param {StepContext} context
 * @param {{ blocked: Stop[], missing: string[] }} standing
 * @param {{ onCure: (instance: string) => void, onOverride: () => void, onSkip: () => void, onWithout: () => void }} actions
 * @returns {Promise<View>}
 */
export async function chooseView(context, { blocked, missing }, { onCure, onOverride, onSkip, onWithout }) {
  if (blocked.length) {
    const { StopCard } = await import("./stop-card.js");
    const card = StopCard(context, blocked, { onCure, onOverride, onSkip });
    return { ...still(), spoken: () => card.parts.map((part) => /** @type {HTMLElement} */ (part).innerText), ...card };
  }
  if (missing.length) return (await import("./fact-asking.js")).AskingCard(context, missing, onWithout);
  return makeStepView(context);
}

/**
 * @param {import("../../app/types.js").App} app
 * @param {Open} open
 * @param {StepContext["record"]} record
 * @returns {Promise<View>}
 */
export async function endView(app, open, record) {
  const { ClosingCard } = await import("./closing-card.js");
  const card = ClosingCard(app, open, record);
  return { ...still(), title: "", spoken: () => [card.heading.textContent ?? ""], ...card };
}

function still() {
  return { update: () => {}, dispose: () => {}, isEntering: () => false };
}

/** What stops a step as the car is now, without what somebody has overruled. @param {Open} open @param {Instance} instance @returns {Stop[]} */
export function stopsNow(open, instance) {
  const { catalog, composition, visit } = open;
  const found = stops(catalog, composition, visit.variables, instance);
  const overrides = found.length ? visit.overrides.filter(({ step }) => step === instance.id) : [];
  const overruled = overrides.flatMap((one) => stopsOverruled(open, instance, one));
  return found.filter((stop) => stop.never || !overruled.some((other) => other.id === stop.id && other.variable === stop.variable));
}

/** What stood in the way when somebody went on all the same: a rule that is broken elsewhere since then stops again. @param {Open} open @param {Instance} instance @param {Override} override */
function stopsOverruled({ catalog, composition, events }, instance, override) {
  const before = events.slice(0, events.findIndex(({ id }) => id === override.event));
  return stops(catalog, composition, fold(catalog, composition, before).variables, instance).filter(({ id }) => override.stops.includes(id));
}
