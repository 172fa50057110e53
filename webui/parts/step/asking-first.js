/** What a tap may not do at once: pass a step over, overrule a stop, take back what another person did. */

/** @import { Open } from "../../app/types.js" */
/** @import { Instance, StepStatus, Stop } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { together } from "../../app/words/together.js";
import { words } from "../../app/words.js";
import { stepOf } from "../../core/compose.js";
import { askReason } from "../controls/reason-sheet.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { stepTitle } from "../texts/known.js";
import { whoText } from "../texts/people.js";
import { momentText } from "../texts/reading-words.js";
import { unfinishedReason } from "./unfinished.js";

/** @param {Open} open @param {Instance} instance @param {(reason: string) => Promise<boolean>} onReason */
export function askSkip({ catalog, id }, instance, onReason) {
  // What came in low or too full before is the one good reason why out and in do not agree.
  const compares = stepOf(catalog, instance).judges.some((name) => ["drained", "filled"].every((input) => catalog.figures[name]?.with[input]));
  askReason({
    title: words.work.skipTitle,
    says: words.work.skipSays,
    label: words.work.skipReason,
    offers: compares ? [words.work.skipLevelBefore, ...words.work.skipReasons] : words.work.skipReasons,
    does: words.work.skipDoes,
    begun: unfinishedReason(id, instance.id),
    onReason,
  });
}

/** @param {Open} open @param {Instance} instance @param {Stop[]} blocked @param {(stops: string[], reason: string) => Promise<boolean>} onReason */
export function askOverride(open, instance, blocked, onReason) {
  const ids = [...new Set(blocked.map(({ id }) => id))];
  askReason({
    title: words.stops.overrideTitle,
    says: words.stops.overrideSays,
    label: words.stops.overrideReason,
    does: words.stops.overrideDoes,
    confirm: words.stops.overrideConfirm,
    begun: unfinishedReason(open.id, instance.id),
    onReason: (reason) => onReason(ids, reason),
  });
}

/** @param {Open} open @param {Instance} instance @param {StepStatus} status @param {() => Promise<unknown>} onTakeBack */
export function askTakeBack(open, instance, status, onTakeBack) {
  const who = whoText(open, status);
  const told = (status.status === "done" ? together.doneBy : together.skippedBy)(who, momentText(status.at));
  const takeBack = Button({ class: "action" }, () => onTakeBack().then(() => sheet.close()), together.takeBack(who));
  const sheet = openSheet(together.takeBackTitle, [element("p", {}, element("b", {}, stepTitle(open, instance))), element("p", {}, told), element("p", {}, together.takeBackSays)], [takeBack]);
}
