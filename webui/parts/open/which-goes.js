/** Where one phone closes the car up while another goes on: both are shown, and a person settles it. */

/** @import { Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { closedUpWords as words } from "../../app/words/closed-up.js";
import { WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { disputeLines } from "../texts/closed-up.js";

/** @param {{ onCloseUp: () => unknown, onGoOn: () => unknown }} actions */
export function WhichGoes({ onCloseUp, onGoOn }) {
  const lines = element("ul", {});
  const answers = element("div", { class: "row" }, Button({ class: "second" }, onCloseUp, words.closeUp), Button({ class: "second" }, onGoOn, words.goOn));
  const root = element("section", { class: "contradiction which-goes", role: "alert", hidden: true }, element("h2", {}, WarningMark(), words.disputed), element("p", {}, words.disputedSays), lines, answers);

  /** @param {Open} open */
  function update(open) {
    root.hidden = open.visit.disputed_closing.length === 0 || Boolean(open.visit.closed);
    if (!root.hidden) lines.replaceChildren(...disputeLines(open).map((says) => element("li", {}, says)));
  }
  return { root, update };
}
