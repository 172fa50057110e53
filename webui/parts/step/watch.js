/**
 * Readings over time until a window is entered, and the step finished before it is left. The last reading is the hero;
 * an old one is not believed; above the window the way is back.
 */

/** @import { Taken } from "../../core/types.js" */
/** @import { Standing } from "./watched-readings.js" */
/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { clockSet } from "../../app/words/clock-set.js";
import { Button } from "../controls/press.js";
import { QuantityField } from "../controls/quantity-field.js";
import { formatNumber, fromSI, quantityText, unitOf } from "../../core/units.js";
import { momentText } from "../texts/reading-words.js";
import { ActionButton, fill, Foot, Pair } from "./context.js";
import { wantedUnit } from "../texts/unit-amount.js";
import { WindowChart } from "../drawings/window-chart.js";
import { keepTyped, lastTyped } from "./unfinished.js";
import { WatchedReadings } from "./watched-readings.js";
import { forecastText, openForecast } from "./window-forecast.js";

/** @param {StepContext} context @returns {StepKind} */
export function WatchStep(context) {
  const { step, instance } = context;
  const watched = WatchedReadings(context);
  const { name, reading } = watched;
  const chart = WindowChart();
  const digits = element("span", { class: "digits" });
  const unitSign = element("small", {});
  const line = element("span", { class: "line" });
  const verdict = element("span", { class: "standing", role: "status" });
  const hero = Button({ class: "hero" }, openReading, element("span", { class: "value" }, digits, unitSign), verdict, line);
  const why = Button({ class: "plain" }, openOutlook, words.work.forecast.why);
  const panel = element("div", { class: "panel" });
  const foot = Foot();
  const clock = setInterval(() => !isEntering && update(), 1000);
  let isEntering = lastTyped(context.visitId, instance.id, name) !== "";
  let drawn = "";

  async function openReading() {
    const { openNumberSheet } = await import("../numbers/number-sheet.js");
    openNumberSheet(context.knowledge(), name);
  }

  function openOutlook() {
    const told = watched.outlook(watched.points());
    if (told) openForecast(told);
  }

  function update() {
    const { catalog } = context.open();
    const wanted = reading();
    if (!wanted) return;
    watched.lookAtClock();
    const taken = watched.points();
    const last = taken.at(-1);
    const unit = unitOf(catalog, wantedUnit(catalog, wanted.unit));
    const where = watched.standing(last);
    const shown = last ? quantityText(catalog, wantedUnit(catalog, wanted.unit), last.value) : null;
    const window = windowText(unit);
    digits.textContent = shown?.number ?? "–";
    unitSign.textContent = unit.symbol;
    line.textContent = [window, last && words.work.readAgo(momentText(last.at))].filter(Boolean).join(" · ");
    const told = where === "below" || where === "inside" ? watched.outlook(taken) : null;
    why.hidden = !told;
    showStanding(where, forecastText(told, Date.now()), last !== undefined && watched.isUntimed(last));
    showChart(unit, taken, told, [shown?.text, window].filter(Boolean).join(", "));
    showControls(where);
  }

  /** @param {import("../../core/types.js").Unit} unit */
  function windowText(unit) {
    const { from, to } = watched.bounds();
    const say = /** @param {number} si */ (si) => formatNumber(fromSI(unit, si), unit.decimals);
    return words.work.window(say(from), say(to), unit.symbol);
  }

  /** @param {Standing} where @param {string} soon @param {boolean} isUntimed */
  function showStanding(where, soon, isUntimed) {
    verdict.dataset.standing = where;
    // Before the window, when it opens is all there is to say; inside it, to finish comes first.
    if (where === "below" && soon) verdict.textContent = soon;
    else if (where === "old" && isUntimed) verdict.textContent = clockSet.readings;
    else verdict.textContent = [words.work.standings[where], soon].filter(Boolean).join(" ");
  }

  /** @param {import("../../core/types.js").Unit} unit @param {Taken[]} taken @param {import("./window-forecast.js").Forecast | null} told @param {string} label */
  function showChart(unit, taken, told, label) {
    const { from, to } = watched.bounds();
    chart.update({
      forecast: told,
      points: taken.map((one) => ({ at_ms: Date.parse(one.at), shown: fromSI(unit, one.value) })),
      from: Number(fromSI(unit, from).toFixed(1)),
      to: Number(fromSI(unit, to).toFixed(1)),
      unit: unit.symbol,
      now_ms: Date.now(),
      label,
    });
  }

  /** @param {Standing} where */
  function showControls(where) {
    const key = `${isEntering} ${where}`;
    if (key === drawn) return;
    drawn = key;
    chart.root.toggleAttribute("hidden", isEntering);
    if (isEntering) return showField();
    panel.replaceChildren(hero, why);
    const isSecond = where === "inside" || where === "above";
    const read = Button({ class: isSecond ? "second" : "action" }, () => enter(true), isSecond ? words.work.readAgain : words.work.enterReading);
    const tooWarm = step.back ? Button({ class: "action" }, () => context.goBack(), words.work.goBack) : null;
    const says = where === "above" && step.back ? element("p", { class: "back-says" }, fill(context, step.back.says)) : null;
    if (says) panel.append(says);
    if (where === "inside") foot.replaceChildren(Pair(ActionButton(context), read));
    else if (where === "above" && tooWarm) foot.replaceChildren(Pair(tooWarm, read));
    else foot.replaceChildren(read);
  }

  function showField() {
    const wanted = reading();
    if (!wanted) return;
    const field = QuantityField(context.open().catalog, wanted, {
      onKeep: async (typed) => {
        const event = await context.record("reading-taken", { step: instance.id, reading: name, ...typed });
        if (event) leaveField();
      },
      onType: (typed) => keepTyped(context.visitId, instance.id, name, typed),
    }, { typed: lastTyped(context.visitId, instance.id, name) });
    panel.replaceChildren(field.root, Button({ class: "plain" }, leaveField, words.quantity.leave));
    foot.replaceChildren(field.pad);
    field.focus();
  }

  function leaveField() {
    keepTyped(context.visitId, instance.id, name, "");
    enter(false);
  }

  /** @param {boolean} yes */
  function enter(yes) {
    isEntering = yes;
    drawn = "";
    context.redraw();
  }

  return {
    picture: chart.root,
    panel,
    foot,
    hasOwnNumber: true,
    isEntering: () => isEntering,
    update,
    dispose,
  };

  function dispose() {
    clearInterval(clock);
    watched.dispose();
  }
}

