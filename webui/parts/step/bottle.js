/** At a step that fills a circuit: what is on the bottle, noted while it is in the hand. One quiet button; nobody must. */

/** @import { Step } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */

import { element } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { foldAfterwards } from "../../core/history.js";
import { Button } from "../controls/press.js";
import { openPackSheet, packText } from "../record/pack.js";
import { variableText } from "../texts/known.js";

/**
 * The circuit that new fluid is poured into at this step.
 *
 * @param {StepContext} context
 * @returns {string | null}
 */
function pouredInto({ step, open }) {
  const { catalog } = open();
  const renewed = catalog.jobs[step.job]?.renews ?? [];
  return renewed.find((circuit) => step.makes[circuit] === "filled" || (circuit in step.makes && step.makes[`${circuit}.fluid`] === "new")) ?? null;
}

/**
 * @param {StepContext} context
 * @returns {{ root: HTMLElement, update: () => void } | null} null at every other step
 */
export function BottleNote(context) {
  const circuit = pouredInto(context);
  if (!circuit) return null;
  const title = variableText(context.open().catalog, circuit);
  const noted = () => foldAfterwards(context.open().events).fluids[circuit];
  const button = Button({ class: "plain" }, () => openPackSheet(context.app, context.open(), { circuit, title }, noted()), words.noteBottle);
  const said = element("span", { class: "quiet", role: "status" });
  const root = element("div", { class: "aids bottle" }, button, said);

  function update() {
    const says = packText(noted());
    button.textContent = says ? words.packChange : words.noteBottle;
    said.textContent = says;
  }
  update();
  return { root, update };
}
