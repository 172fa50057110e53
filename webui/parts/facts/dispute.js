/** Two phones wrote one number differently, unseen by each other: a person looks it up and chooses, and until then nobody knows it. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { CarFold } from "../../core/car.js" */

import { element } from "../../dom/element.js";
import { carWords } from "../../app/words/car.js";
import { answerText } from "./sheet.js";
import { sourceText, titleOf } from "../texts/known.js";
import { WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";

/**
 * @param {Catalog} catalog
 * @param {CarFold} car
 * @param {(fact: string, event: string) => Promise<unknown>} onChoose
 */
export function DisputeCards(catalog, car, onChoose) {
  return car.disputed_facts.map(({ fact, events }) => {
    const written = (car.history[fact] ?? []).filter(({ event, kind, value }) => events.includes(event) && kind !== "withdrawn" && value !== null);
    const choices = written.map((change) => {
      const text = answerText(catalog, fact, change.value === null ? null : { value: change.value, unit: change.unit });
      const from = [change.by ?? carWords.fact.somebody, change.source ? sourceText(change.source) : ""].filter(Boolean).join(" · ");
      const event = change.kind === "confirmed" ? (change.of ?? change.event) : change.event;
      return Button({ class: "second dispute-choice" }, () => onChoose(fact, event), element("b", {}, carWords.dispute.choose(text)), element("span", { class: "quiet" }, from));
    });
    const heading = element("h2", {}, WarningMark(), element("span", {}, carWords.dispute.title));
    return element("section", { class: "notice dispute" }, heading, element("p", {}, element("b", {}, titleOf(catalog, fact)), ". ", carWords.dispute.says), ...choices);
  });
}
