/** The others on one car, drawn from the entries themselves. */

/** @import { Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { together as words } from "../../app/words/together.js";
import { stepTitleWithItem } from "../texts/known.js";
import { whoText } from "../texts/people.js";
import { dayText, momentText, timeText } from "../texts/reading-words.js";

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
  const { composition, visit } = open;
  const who = whoText(open, { device });
  const last = open.events.findLast(({ id }) => Object.values(visit.steps).some((status) => status.event === id && status.device === device));
  const instance = last && [...composition.steps, ...composition.standby].find(({ id }) => id === last.payload.step);
  if (!last || !instance) return words.joined(who);
  return words.last(who, momentText(last.wall), stepTitleWithItem(open, instance));
}
