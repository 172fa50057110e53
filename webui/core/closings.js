/**
 * When a car was closed up in the middle of its visit, and when the visit was taken up again.
 *
 * The state of the car does not depend on it: each step of the list is an entry by itself. What is kept here is that
 * somebody meant to close the car up, how it was to be left, and which steps that asked for; so every phone knows of
 * it, and the steps done before their turn come again. The same vectors (tests/agreement) drive this file and
 * server/fillfirst/visits/closings.py.
 */

/** @import { Aim, Closings, ClosingUp, Event } from "./types.js" */

import { isBefore } from "./events.js";

/** @type {Aim[]} */
export const AIMS = ["to-stand", "to-drive"];

/**
 * What entries say of closing up. Of entries unseen by each other that say two things the less safe one holds: the
 * visit goes on, or else the car is closed up to stand.
 *
 * @param {Event[]} known in clock order
 * @param {Set<string>} undone
 * @returns {Closings}
 */
export function settleClosings(known, undone) {
  const log = known.filter((event) => isClosing(event) && !undone.has(event.id));
  /** @type {ClosingUp[]} */
  const closings = [];
  for (const event of log) {
    const last = closings.at(-1);
    const going = last && !last.again ? last : null;
    if (event.kind !== "closing-up") {
      if (going) going.again = whoOf(event);
    } else if (going) {
      going.aim = event.payload.aim;
      going.steps = [...new Set([...going.steps, ...event.payload.steps])];
    } else {
      closings.push({ ...whoOf(event), aim: event.payload.aim, steps: [...new Set(/** @type {string[]} */ (event.payload.steps))], again: null });
    }
  }
  const standing = log.filter((event) => !log.some((other) => isBefore(event, other)));
  const said = new Set(standing.map(({ kind, payload }) => (kind === "closing-up" ? payload.aim : kind)));
  const going = said.has("taken-up-again") ? null : (closings.at(-1) ?? null);
  if (going && said.has("to-stand")) going.aim = "to-stand";
  return { closings, closing_up: going, disputed_closing: said.size > 1 ? standing.map(({ id }) => id) : [] };
}

/** Whether an entry is one of these, and its aim one that this version knows. @param {Event} event */
export function isClosing({ kind, payload }) {
  return kind === "closing-up" ? AIMS.includes(payload.aim) : kind === "taken-up-again";
}

/** @param {Event} event */
function whoOf({ id, wall, device, payload }) {
  return { event: id, at: wall, device, by: payload.by ?? null };
}
