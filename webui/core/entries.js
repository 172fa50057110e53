/** The entries of a log that stand, and who made each; for folds that take what stands one after the other. */

/** @import { Event } from "./types.js" */

import { inOrder, isKnown, readEvent } from "./events.js";
import { findUndone } from "./fold.js";

/** @typedef {{ event: string, at: string, device: string, by: string | null }} Mark who did something, when, by which entry */

/** Known entries that were not taken back, in clock order. @param {Iterable<Event>} events @throws {import("./events.js").EventError} */
export function standing(events) {
  const known = inOrder([...events].map(readEvent)).filter(isKnown);
  const undone = findUndone(known);
  return known.filter(({ id }) => !undone.has(id));
}

/** @param {Event} event @returns {Mark} */
export function markOf({ id, wall, device, payload }) {
  return { event: id, at: wall, device, by: payload.by ?? null };
}
