/** Who did what on one car, told from the entries themselves. */

/** @import { Open } from "../../app/types.js" */

import { personOf } from "../../core/people.js";
import { together as words } from "../../app/words/together.js";

/**
 * The person an entry names, else the one whom its phone named first in this visit; "another phone" while it named nobody.
 *
 * @param {Pick<Open, "events">} open
 * @param {{ device: string, by?: string | null }} entry
 */
export function whoText({ events }, entry) {
  return personOf(events, entry) ?? words.someone;
}

/** @param {Open["events"]} events @param {string} device @returns {string} "" while it named nobody */
export function nameOf(events, device) {
  return personOf(events, { device }) ?? "";
}

/** More than one phone has made entries: only then is it told who. @param {Open} open */
export function isShared({ events }) {
  return events.some(({ device }) => device !== events[0]?.device);
}

/** Who made an entry, where more than one phone is on the car; "" where one is. @param {Open} open @param {string} id */
export function whoMade(open, id) {
  const event = isShared(open) && open.events.find((one) => one.id === id);
  return event ? whoText(open, { device: event.device, by: event.payload.by }) : "";
}
