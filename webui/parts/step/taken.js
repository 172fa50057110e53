/** What was read at a step and stands: going back over the step takes it away. */

/** @import { Open } from "../../app/types.js" */
/** @import { Instance, Taken } from "../../core/types.js" */

/** @param {Open} open @param {Instance} instance @param {string} name of the reading @returns {Taken | undefined} the last one */
export function takenAt(open, instance, name) {
  return open.visit.readings[name]?.findLast((taken) => taken.step === instance.id && isStanding(open, instance, taken.event));
}

/** @param {Open} open @param {Instance} instance @param {string} event */
function isStanding({ events, composition, visit }, instance, event) {
  /** @param {string} id */
  const placeOf = (id) => composition.steps.findIndex((other) => other.id === id);
  const at = events.findIndex(({ id }) => id === event);
  const index = placeOf(instance.id);
  return !events.slice(at + 1).some(({ id, kind, payload }) => {
    if (kind !== "went-back" || visit.undone.includes(id)) return false;
    return index >= placeOf(payload.to) && index <= placeOf(payload.from);
  });
}
