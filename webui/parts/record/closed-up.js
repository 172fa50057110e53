/** On the sheet: when the car was closed up before the end of the visit, and when that was taken up again. */

/** @import { Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { closedUpWords as words } from "../../app/words/closed-up.js";
import { closingLines } from "../texts/closed-up.js";

/** Nothing where it never was. @param {Open} open @returns {Node[]} */
export function ClosedUpSection(open) {
  const lines = closingLines(open);
  if (!lines.length) return [];
  return [element("section", { class: "closed-up" }, element("h2", {}, words.title), element("ul", {}, ...lines.map((line) => element("li", {}, line))))];
}
