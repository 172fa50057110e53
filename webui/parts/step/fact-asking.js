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
  const give = Button({ class: "action give" }, ask, say.give(titleOf(catalog, first)));

  function ask() {
    openFactSheet({
      catalog,
      fact: first,
      known: null,
      begun: unfinishedText(context.visitId, context.instance.id, first),
      write: (draft) => context.app.loadGarage().then((garage) => garage.giveFact(context.visitId, { ...draft, step: context.instance.id })),
    });
  }
  const foot = Foot(give, Button({ class: "second" }, onWithout, say.without));
  return { parts: [card], heading, foot, title: step, update: () => {}, dispose: () => {}, isEntering: () => false, spoken: () => [heading.textContent ?? "", ...missing.map((name) => titleOf(catalog, name))] };
}
