/**
 * Who made an entry. The same vectors (tests/agreement) drive this file and server/fillfirst/visits/people.py.
 */

/** @import { Event } from "./types.js" */

/**
 * The person an entry names, else the one whom its device named first in this visit.
 *
 * @param {Event[]} events of one visit, in clock order
 * @param {{ device: string, by?: string | null }} entry
 * @returns {string | null} null while the device named nobody
 */
export function personOf(events, { device, by }) {
  if (by) return by;
  const named = events.find((event) => event.device === device && typeof event.payload.by === "string" && event.payload.by);
  return named?.payload.by ?? null;
}
