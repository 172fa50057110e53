/**
 * A step that needs a number nobody has said yet asks for it before it shows itself, with its source. It is given with one
 * hand at the car, or the step is done without it; nothing is guessed.
 */

/** @import { StepContext } from "./context.js" */

import { element } from "../../dom/element.js";
import { carWords } from "../../app/words/car.js";
import { openFactSheet } from "../facts/sheet.js";
import { titleOf } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { fill, Foot } from "./context.js";
import { unfinishedText } from "./unfinished.js";

/**
 * @param {StepContext} context
 * @param {string[]} missing facts, in the order in which they are asked
 * @param {() => void} onWithout
 */
export function AskingCard(context, missing, onWithout) {
  const say = carWords.work;
  const { catalog } = context.open();
  const step = fill(context, context.step.title);
  const heading = element("h1", { tabindex: "-1" }, say.title(missing.length));
  const rows = missing.map((name) => element("li", {}, element("b", {}, titleOf(catalog, name)), element("span", { class: "quiet" }, catalog.facts[name]?.where ?? "")));
  const card = element("article", { class: "asking-card", "data-step": context.instance.id }, heading, element("p", { class: "says" }, say.before(step)), element("ul", { class: "asked" }, ...rows), element("p", { class: "quiet" }, say.says));
  const first = missing[0] ?? "";
  const give = Button({ class: "action give" }, () => askFact(context, first, null), say.give(titleOf(catalog, first)));

  const foot = Foot(give, Button({ class: "second" }, onWithout, say.without));
  return { parts: [card], heading, foot, title: step, update: () => {}, dispose: () => {}, isEntering: () => false, spoken: () => [heading.textContent ?? "", ...missing.map((name) => titleOf(catalog, name))] };
}

/** A number that was given wrongly is given again: the last one holds, and both stay on record. @param {StepContext} context @param {string} fact */
export function askAnew(context, fact) {
  const value = context.open().visit.values[fact];
  askFact(context, fact, value === undefined ? null : { value });
}

/** @param {StepContext} context @param {string} fact @param {import("../facts/sheet.js").Asking["known"]} known */
function askFact(context, fact, known) {
  const { app, visitId, instance } = context;
  openFactSheet({
    catalog: context.open().catalog,
    fact,
    known,
    begun: unfinishedText(visitId, instance.id, fact),
    write: (draft) => app.loadGarage().then((garage) => garage.giveFact(visitId, { ...draft, step: instance.id })),
  });
}
