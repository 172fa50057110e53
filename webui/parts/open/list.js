/** What is open, as a list under the drawing: the same numbers, the state in words, since when, and its torque. */

/** @import { Open } from "../../app/types.js" */
/** @import { OpenThing } from "../texts/open-things.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { CarPlan } from "../drawings/car-plan.js";
import { Mark, TickMark } from "../drawings/marks.js";
import { findConditions, findOpenThings } from "../texts/open-things.js";
import { momentText } from "../texts/reading-words.js";

export function OpenList() {
  const plan = CarPlan();
  const list = element("ol", { class: "open-list" });
  const nothing = element("div", { class: "nothing-open" }, TickMark(), element("p", {}, element("b", {}, words.open.nothing), " ", words.open.nothingSays));
  const states = element("ul", { class: "car-states", "aria-label": words.open.carNow });
  const parts = [plan.root, states, nothing, list];

  /** @param {Open} open */
  function update(open) {
    const things = findOpenThings(open);
    plan.update(open.catalog, things);
    list.replaceChildren(...things.map(Row));
    nothing.hidden = things.length > 0;
    states.replaceChildren(...findConditions(open).map(State));
  }
  return { parts, update };
}

/** @param {OpenThing} thing @param {number} at */
function Row(thing, at) {
  const since = thing.since ? words.open.since(thing.says, momentText(thing.since)) : thing.says;
  const says = [since, thing.by].filter(Boolean).join(" · ");
  return element(
    "li",
    {},
    Mark(thing.shape, at + 1),
    element("span", {}, element("span", { class: "what" }, thing.title), element("span", { class: "quiet" }, says)),
    element("span", { class: "torque quiet" }, thing.torque),
  );
}

/** @param {{ title: string, says: string, isSafe: boolean }} state */
function State({ title, says, isSafe }) {
  return element("li", { "data-safe": String(isSafe) }, title, " ", element("b", {}, says));
}
