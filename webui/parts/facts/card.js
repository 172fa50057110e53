/** One number that is known: where it is from, who said it, how it came to be what it is, and what may be done about it. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { CarFold, FactChange, KnownFact } from "../../core/car.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { carWords } from "../../app/words/car.js";
import { answerText } from "./sheet.js";
import { sourceText, titleOf } from "../texts/known.js";
import { rangeText } from "../numbers/number-sheet.js";
import { Button } from "../controls/press.js";
import { dayText, timeText } from "../texts/reading-words.js";
import { askReason } from "../controls/reason-sheet.js";
import { openSheet } from "../controls/sheet.js";
import { amountText } from "../texts/unit-amount.js";

/**
 * @param {Catalog} catalog
 * @param {CarFold} car
 * @param {string} name
 * @param {{ onCorrect: () => void, onConfirm: () => Promise<unknown>, onWithdraw: (because: string) => Promise<unknown> }} actions
 */
export function openFactCard(catalog, car, name, { onCorrect, onConfirm, onWithdraw }) {
  const say = carWords.fact;
  const known = /** @type {KnownFact} */ (car.facts[name]);
  const other = typeof known.value === "number" ? amountText(catalog, known.unit ?? catalog.facts[name]?.unit ?? "1", known.value).other : "";
  const leave = /** @param {() => unknown} act */ (act) => async () => {
    sheet.close();
    await act();
  };
  const confirm = known.confirmed ? null : Button({ class: "action" }, leave(onConfirm), say.confirm);
  const correct = Button({ class: known.confirmed ? "action" : "second" }, leave(onCorrect), say.correct);
  const withdraw = Button({ class: "second" }, leave(askWithdraw), say.withdraw);
  const sheet = openSheet(
    titleOf(catalog, name),
    [
      element("p", { class: "sheet-number" }, answerText(catalog, name, known)),
      other && element("p", { class: "quiet" }, other),
      !known.confirmed && element("p", { class: "doubt" }, say.notConfirmed),
      FactRows(catalog, name, known),
      element("h3", {}, say.history),
      History(catalog, name, car.history[name] ?? []),
    ],
    [confirm, element("div", { class: "row" }, correct, withdraw)].filter((one) => one !== null),
  );
  sheet.classList.add("fact-card");

  function askWithdraw() {
    askReason({
      title: say.withdrawTitle,
      says: say.withdrawSays,
      label: say.withdrawLabel,
      offers: say.withdrawOffers,
      does: say.withdrawDoes,
      onReason: (because) => onWithdraw(because).then(() => true, () => false),
    });
  }
  return sheet;
}

/** @param {Catalog} catalog @param {string} name @param {KnownFact} known */
function FactRows(catalog, name, { source, by, at, doubt, unit, confirmed }) {
  const say = carWords.fact;
  const fact = catalog.facts[name];
  const range = fact?.unit ? rangeText(catalog, unit ?? fact.unit, fact.from, fact.to) : "";
  const looked = confirmed && confirmed.at !== at ? say.confirmed(whoText(confirmed)) : "";
  /** @type {[string, string][]} */
  const rows = [[say.source, sourceText(source)], [say.by, [whoText({ by, at }), looked].filter(Boolean).join(" · ")]];
  if (doubt) rows.push([say.doubt, doubt]);
  if (range) rows.push([words.numbers.range, range]);
  if (fact?.where) rows.push([words.numbers.whereToFind, fact.where]);
  return element("dl", { class: "rows" }, ...rows.flatMap(([term, what]) => [element("dt", {}, term), element("dd", {}, what)]));
}

/** @param {{ by: string | null, at: string }} mark */
function whoText({ by, at }) {
  return [by || carWords.fact.somebody, `${dayText(at)}, ${timeText(at)}`].join(" · ");
}

/** The newest first: who, when, from what to what, why. @param {Catalog} catalog @param {string} name @param {FactChange[]} changes */
function History(catalog, name, changes) {
  const lines = changes.map((change, at) => element("li", {}, element("b", {}, changeText(catalog, name, change, changes[at - 1])), element("span", { class: "quiet" }, whoText(change)), ReasonOf(change)));
  return element("ol", { class: "fact-history" }, ...lines.reverse());
}

/** @param {Catalog} catalog @param {string} name @param {FactChange} change @param {FactChange | undefined} before */
function changeText(catalog, name, change, before) {
  const say = carWords.fact.changes;
  const text = /** @param {FactChange | undefined} one */ (one) => (one?.value == null ? carWords.notKnown : answerText(catalog, name, { value: one.value, unit: one.unit }));
  if (change.kind === "withdrawn") return say.withdrawn(text(before));
  if (change.kind === "confirmed") return say.confirmed(text(change));
  return before ? say.written(text(before), text(change)) : say.first(text(change));
}

/** @param {FactChange} change */
function ReasonOf({ source, because, doubt, kind }) {
  const said = [kind === "written" && source ? sourceText(source) : "", because, doubt].filter(Boolean).join(" · ");
  return said ? element("span", { class: "quiet" }, said) : null;
}
