/** What the readings mean, in the formula's own words: a tick where it holds, a warning sign where it does not. */

/** @import { Judgement } from "../../core/types.js" */
/** @typedef {Pick<Judgement, "holds" | "says">} Said */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { TickMark, WarningMark } from "../drawings/marks.js";

export function Judgements() {
  const list = element("div", { class: "verdicts" });
  const root = element("div", { class: "judgements", "aria-live": "polite" }, list);

  /** @param {Judgement[]} judgements */
  function update(judgements) {
    root.hidden = judgements.length === 0;
    root.toggleAttribute("data-failed", judgements.some(({ holds }) => holds === false));
    list.replaceChildren(...judgements.filter(isFirst).map(Verdict));
  }
  return { root, update };
}

/** Two judgements that say the same are said once. @param {Said} judgement @param {number} at @param {Said[]} all */
export function isFirst({ holds, says }, at, all) {
  return all.findIndex((other) => other.says === says && other.holds === holds) === at;
}

/** @param {Judgement} judgement */
export function Verdict({ holds, says }) {
  return element(
    "div",
    { class: "verdict", "data-holds": String(holds) },
    holds === true ? TickMark() : WarningMark(),
    element("p", {}, says ?? (holds === null ? words.work.cannotJudge : words.yesNo(holds))),
  );
}
