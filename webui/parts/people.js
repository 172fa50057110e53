/** Who did what on one car, told from the entries themselves. */

/** @import { Open } from "../app/types.js" */

import { element } from "../dom/element.js";
import { together as words } from "../app/words/together.js";
import { stepOf } from "../core/compose.js";
import { filledText, itemText, knowledgeOf } from "./known.js";
import { dayText, timeText } from "./reading-words.js";

/**
 * The person an entry names, else the one whom its phone named first in this visit; "another phone" while it named nobody.
 *
 * @param {Pick<Open, "events">} open
 * @param {{ device: string, by?: string | null }} entry
 */
export function whoText({ events }, { device, by }) {
  return by || nameOf(events, device) || words.someone;
}

/** @param {Open["events"]} events @param {string} device @returns {string} "" while it named nobody */
export function nameOf(events, device) {
  return String(events.find((event) => event.device === device && event.payload.by)?.payload.by ?? "");
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

/** The others on this car, each with the last step they did. @param {() => string | null} device this phone's */
export function Others(device) {
  const root = element("ul", { class: "others quiet" });

  /** @param {Open} open @param {{ isBegun?: boolean }} [tells] isBegun: also who began the visit */
  function update(open, { isBegun = false } = {}) {
    const { opened } = open.visit;
    const begun = isBegun && opened ? [words.begun(whoText(open, { device: opened.device, by: opened.payload.by }), `${dayText(opened.wall)}, ${timeText(opened.wall)}`)] : [];
    const others = [...new Set(open.events.map((event) => event.device))].filter((one) => one !== device());
    const lines = [...begun, ...others.map((one) => lastText(open, one))];
    const drawn = [...root.children].map((line) => line.textContent);
    root.hidden = lines.length === 0;
    if (lines.join("\n") !== drawn.join("\n")) root.replaceChildren(...lines.map((line) => element("li", {}, line)));
  }
  return { root, update };
}

/** @param {Open} open @param {string} device */
function lastText(open, device) {
  const { catalog, composition, visit } = open;
  const who = whoText(open, { device });
  const last = open.events.findLast(({ id }) => Object.values(visit.steps).some((status) => status.event === id && status.device === device));
  const instance = last && [...composition.steps, ...composition.standby].find(({ id }) => id === last.payload.step);
  if (!last || !instance) return words.joined(who);
  const step = stepOf(catalog, instance);
  const item = itemText(catalog, step.each, instance.item);
  const title = filledText(knowledgeOf(open), step.title, item);
  return words.last(who, timeText(last.wall), item && !step.title.includes("{item}") ? `${title}: ${item}` : title);
}
