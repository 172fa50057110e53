/** When the car was closed up before the end of the visit and when that went on, by whom, as text. */

/** @import { Open } from "../../app/types.js" */
/** @import { ClosingUp, Who } from "../../core/types.js" */

import { closedUpWords as words } from "../../app/words/closed-up.js";
import { nameOf, whoText } from "./people.js";
import { dayText, timeText } from "./reading-words.js";

/** Every time, oldest first: when, and by whom if the entries name somebody. @param {Open} open */
export function closingLines(open) {
  return open.visit.closings.map(({ again, ...begun }) => {
    const closed = words.closed(momentOf(begun), byOf(open, begun));
    if (!again) return closed;
    const isSameDay = dayText(again.at) === dayText(begun.at);
    return `${closed} · ${words.again(isSameDay ? timeText(again.at) : momentOf(again), byOf(open, again))}`;
  });
}

/** Since when it is being closed up, and by whom if the entries name somebody. @param {Open} open @param {ClosingUp} closing */
export function sinceText(open, closing) {
  return words.since(momentOf(closing), byOf(open, closing));
}

/** What two phones say that had not seen each other, each in a line. @param {Open} open */
export function disputeLines(open) {
  return open.events
    .filter(({ id }) => open.visit.disputed_closing.includes(id))
    .map(({ kind, device, wall, payload }) => words.says(whoText(open, { device, by: payload.by }), kind === "closing-up" ? words.closes : words.goesOn, timeText(wall)));
}

/** @param {Who} who */
const momentOf = ({ at }) => `${dayText(at)}, ${timeText(at)}`;

/** @param {Open} open @param {Who} who */
const byOf = ({ events }, { by, device }) => by || nameOf(events, device);
