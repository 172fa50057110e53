/**
 * Readings over time until a window is entered, and the step finished before it is left. The last reading is the hero;
 * an old one is not believed; above the window the way is back.
 */

/** @import { Taken } from "../../core/types.js" */
/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { amountValue } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { QuantityField } from "../controls/quantity-field.js";
import { formatNumber, fromSI, quantityText, unitOf } from "../../core/units.js";
import { timeText } from "../texts/reading-words.js";
import { ActionButton, fill, Foot, Pair } from "./context.js";
import { wantedUnit } from "../texts/unit-amount.js";
import { WindowChart } from "../drawings/window-chart.js";
import { forecast, forecastText, openForecast } from "./window-forecast.js";

/** @typedef {"none" | "below" | "inside" | "above" | "old"} Standing */

/** @param {StepContext} context @returns {StepKind} */
export function WatchStep(context) {
  const { step, instance } = context;
  const name = step.window?.reading ?? step.readings[0] ?? "";
  const chart = WindowChart();
  const digits = element("span", { class: "digits" });
  const unitSign = element("small", {});
  const line = element("span", { class: "line" });
  const verdict = element("span", { class: "standing", role: "status" });
  const hero = Button({ class: "hero" }, openReading, element("span", { class: "value" }, digits, unitSign), verdict, line);
  const why = Button({ class: "plain" }, () => outlook.told && openForecast(outlook.told), words.work.forecast.why);
  const panel = element("div", { class: "panel" });
  const foot = Foot();
  const clock = setInterval(() => !isEntering && update(), 1000);
  let isEntering = false;
  let drawn = "";
  /** Worked out once a reading, not once a second. @type {{ event: string, told: import("./window-forecast.js").Forecast | null }} */
  let outlook = { event: "", told: null };

  const reading = () => context.open().catalog.readings[name];
  const bounds = () => ({
    from: amountValue(context.knowledge(), step.window?.from) ?? -Infinity,
    to: amountValue(context.knowledge(), step.window?.to) ?? Infinity,
  });

  async function openReading() {
    const { openNumberSheet } = await import("../numbers/number-sheet.js");
    openNumberSheet(context.knowledge(), name);
  }

  /** Only what was read since this step was last begun afresh. @returns {Taken[]} */
  function points() {
    const { visit, events } = context.open();
    const isBack = /** @param {import("../../core/types.js").Event} event */ (event) =>
      event.kind === "went-back" && event.payload.from === instance.id && !visit.undone.includes(event.id);
    const begun = events.findLastIndex(isBack);
    const since = new Set(events.slice(begun + 1).map(({ id }) => id));
    return (visit.readings[name] ?? []).filter((taken) => taken.step === instance.id && since.has(taken.event));
  }

  /** @param {Taken | undefined} last @returns {Standing} */
  function standing(last) {
    if (!last) return "none";
    const { from, to } = bounds();
    if (last.value > to) return "above";
    if (last.value < from) return "below";
    return Date.now() - Date.parse(last.at) > 2000 * (step.window?.every_s ?? 60) ? "old" : "inside";
  }

  function update() {
    const { catalog } = context.open();
    const wanted = reading();
    if (!wanted) return;
    const taken = points();
    const last = taken.at(-1);
    const { from, to } = bounds();
    const key = wantedUnit(catalog, wanted.unit);
    const unit = unitOf(catalog, key);
    const say = /** @param {number} si */ (si) => formatNumber(fromSI(unit, si), unit.decimals);
    const window = words.work.window(say(from), say(to), unit.symbol);
    const where = standing(last);
    const shown = last ? quantityText(catalog, key, last.value) : null;
    digits.textContent = shown?.number ?? "–";
    unitSign.textContent = unit.symbol;
    line.textContent = [window, last && words.work.readAgo(timeText(last.at))].filter(Boolean).join(" · ");
    verdict.dataset.standing = where;
    const told = where === "below" || where === "inside" ? outlookOf(taken, from, to) : null;
    why.hidden = !told;
    const soon = forecastText(told, Date.now());
    // Before the window, when it opens is all there is to say; inside it, to finish comes first.
    verdict.textContent = where === "below" && soon ? soon : [words.work.standings[where], soon].filter(Boolean).join(" ");
    chart.update({
      forecast: told,
      points: taken.map((one) => ({ at_ms: Date.parse(one.at), shown: fromSI(unit, one.value) })),
      from: Number(fromSI(unit, from).toFixed(1)),
      to: Number(fromSI(unit, to).toFixed(1)),
      unit: unit.symbol,
      now_ms: Date.now(),
      label: [shown?.text, window].filter(Boolean).join(", "),
    });
    showControls(where);
  }

  /** @param {Taken[]} taken @param {number} from @param {number} to */
  function outlookOf(taken, from, to) {
    const event = taken.at(-1)?.event ?? "";
    if (event !== outlook.event) {
      const points = taken.map((one) => ({ at_ms: Date.parse(one.at), value: one.value }));
      outlook = { event, told: forecast(context.open().catalog, points, from, to) };
    }
    return outlook.told;
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
        if (event) enter(false);
      },
    });
    panel.replaceChildren(field.root, Button({ class: "plain" }, () => enter(false), words.quantity.leave));
    foot.replaceChildren(field.pad);
    field.focus();
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
    dispose: () => clearInterval(clock),
  };
}

