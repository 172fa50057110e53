/**
 * Look, and say what you found. A good finding that needs no word is one tap; any other first says what it means.
 * A bad one makes nothing true and goes on the record: it leads back, or later steps stop where they must.
 */

/** @import { Finding } from "../../core/types.js" */
/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { NoteMark, TickMark, WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { ActionButton, fill, Foot, Pair } from "./context.js";
import { keepFinding, lastFinding } from "./unfinished.js";

/** @param {StepContext} context @returns {StepKind} */
export function InspectStep(context) {
  const { step, instance, visitId } = context;
  /** @type {Finding | null} */
  let found = step.findings.find(({ id }) => id === lastFinding(visitId, instance.id)) ?? null;
  let drawn = "";
  const panel = element("div", { class: "panel", "aria-live": "polite" });
  const foot = Foot();

  /** @param {Finding | null} finding */
  function choose(finding) {
    if (finding?.good && !finding.says) return putOnRecord(finding);
    found = finding;
    keepFinding(visitId, instance.id, finding?.id ?? "");
    return context.redraw();
  }

  /** @param {Finding} finding */
  async function putOnRecord(finding) {
    if (await context.finish({ finding: finding.id })) keepFinding(visitId, instance.id, "");
  }

  function update() {
    const key = found?.id ?? "";
    if (foot.childElementCount && key === drawn) return;
    drawn = key;
    if (found) showMeaning(found);
    else {
      panel.replaceChildren();
      const choices = step.findings.map((finding) => FindingButton(finding, choose));
      foot.replaceChildren(...(choices.length ? choices : [ActionButton(context)]));
    }
  }

  /** @param {Finding} finding */
  function showMeaning(finding) {
    panel.replaceChildren(
      element(
        "div",
        { class: "verdict", "data-holds": String(finding.good) },
        markOf(finding),
        element("p", {}, element("b", {}, finding.label), " ", finding.says),
      ),
      !finding.good && step.back ? element("p", { class: "back-says" }, fill(context, step.back.says)) : "",
    );
    const other = Button({ class: "second" }, () => choose(null), words.work.otherFinding);
    const finish = () => putOnRecord(finding);
    if (finding.good) foot.replaceChildren(Pair(ActionButton(context, step.does, finish), other));
    else if (step.back) foot.replaceChildren(Pair(Button({ class: "action" }, () => goBack(finding), step.back.to === step.id ? words.work.lookAgain : words.work.goBack), other));
    else foot.replaceChildren(Pair(ActionButton(context, words.work.putOnRecord, finish), other));
  }

  /** Where a step leads back to itself it is still on the screen, and asks afresh. @param {Finding} finding */
  async function goBack(finding) {
    found = null;
    if (await context.goBack(finding.id)) keepFinding(visitId, instance.id, "");
  }

  return { picture: null, panel, foot, update };
}

/** Well; well, with something to say; not well. @param {Finding} finding */
function markOf({ good, says }) {
  if (!good) return WarningMark();
  return says ? NoteMark() : TickMark();
}

/** @param {Finding} finding @param {(finding: Finding) => unknown} onChoose */
function FindingButton(finding, onChoose) {
  return Button({ class: "choice finding" }, () => onChoose(finding), markOf(finding), element("span", {}, finding.label));
}
