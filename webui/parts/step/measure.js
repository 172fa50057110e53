/** Readings, one after the other; what they mean is said as soon as they are in. */

/** @import { StepContext, StepKind } from "./context.js" */
/** @import { Typed } from "../controls/quantity-field.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { judgements } from "../../core/gate.js";
import { Judgements } from "../numbers/judgements.js";
import { levelWords } from "../../app/words/level.js";
import { lookUp } from "../texts/known.js";
import { Button } from "../controls/press.js";
import { QuantityField } from "../controls/quantity-field.js";
import { ActionButton, fill, Foot, Pair } from "./context.js";
import { keepTyped, lastTyped, readingBegun } from "./unfinished.js";

/** @param {StepContext} context @returns {StepKind} */
export function MeasureStep(context) {
  const { step, instance } = context;
  /** @type {string | null} the reading that is being typed */
  let entering = readingBegun(context.visitId, instance.id, step.readings);
  let drawn = "";
  const tilts = tiltReadings(step.readings);
  /** The phone as the level, while it is one. @type {{ panel: HTMLElement, foot: HTMLElement, dispose: () => void } | null} */
  let level = null;
  const verdicts = Judgements();
  const list = element("div", { class: "readings" });
  const panel = element("div", { class: "panel" });
  const foot = Foot();

  /** @param {string} name */
  function takenHere(name) {
    return context.open().visit.readings[name]?.findLast((taken) => taken.step === instance.id && isStanding(taken.event));
  }

  /** Going back clears what a step had measured. @param {string} event */
  function isStanding(event) {
    const { events, composition, visit } = context.open();
    const at = events.findIndex(({ id }) => id === event);
    const index = composition.steps.findIndex(({ id }) => id === instance.id);
    return !events.slice(at + 1).some(({ id, kind, payload }) => {
      if (kind !== "went-back" || visit.undone.includes(id)) return false;
      const [from, to] = [payload.from, payload.to].map((where) => composition.steps.findIndex((other) => other.id === where));
      return index >= (to ?? 0) && index <= (from ?? -1);
    });
  }

  const nextMissing = () => step.readings.find((name) => !takenHere(name)) ?? null;

  /** @param {string | null} name */
  function enter(name) {
    entering = name;
    drawn = "";
    context.redraw();
  }

  /** @param {string} name @param {Typed} typed */
  async function keep(name, typed) {
    const event = await context.record("reading-taken", { step: instance.id, reading: name, ...typed });
    if (!event) return;
    keepTyped(context.visitId, instance.id, name, "");
    enter(nextMissing());
  }

  /** @param {string} name */
  function leave(name) {
    keepTyped(context.visitId, instance.id, name, "");
    enter(null);
  }

  async function useLevel() {
    if (!tilts) return;
    const { PhoneLevel } = await import("./phone-level.js");
    level = PhoneLevel(context, { names: tilts, onLeave: leaveLevel });
    drawn = "";
    context.redraw();
  }

  function leaveLevel() {
    level?.dispose();
    level = null;
    enter(null);
  }

  function update() {
    const verdict = judgements(context.open().catalog, context.open().visit.values, step);
    const key = JSON.stringify([entering, level !== null, step.readings.map((name) => takenHere(name)?.event), verdict]);
    if (key === drawn) return;
    drawn = key;
    verdicts.update(nextMissing() ? [] : verdict);
    list.replaceChildren(...step.readings.map(ReadingLine));
    if (level) showLevel(level);
    else if (entering) showField(entering);
    else showAction(verdict.some(({ holds }) => holds === false));
  }

  /** @param {string} name */
  function showField(name) {
    const { catalog } = context.open();
    const reading = catalog.readings[name];
    if (!reading) return;
    const field = QuantityField(catalog, reading, { onKeep: (typed) => keep(name, typed), onType: (typed) => keepTyped(context.visitId, instance.id, name, typed) }, { typed: lastTyped(context.visitId, instance.id, name) });
    const leaveKey = Button({ class: "plain" }, () => leave(name), words.quantity.leave);
    panel.replaceChildren(field.root, leaveKey);
    foot.replaceChildren(field.pad);
    field.focus();
  }

  /** @param {{ panel: HTMLElement, foot: HTMLElement }} shown */
  function showLevel(shown) {
    panel.replaceChildren(shown.panel);
    foot.replaceChildren(shown.foot);
  }

  /** @param {boolean} hasFailed */
  function showAction(hasFailed) {
    const use = tilts && Button({ class: "second" }, useLevel, levelWords.use);
    panel.replaceChildren(list, ...(use ? [use] : []), verdicts.root);
    const missing = nextMissing();
    if (missing) {
      const label = context.open().catalog.readings[missing]?.label ?? missing;
      foot.replaceChildren(Button({ class: "action" }, () => enter(missing), element("span", {}, element("small", {}, words.work.enter), label)));
    } else if (hasFailed) foot.replaceChildren(...failedActions());
    else foot.replaceChildren(ActionButton(context));
  }

  function failedActions() {
    const again = Button({ class: step.back ? "second" : "action" }, () => enter(step.readings[0] ?? null), words.work.measureAgain);
    if (!step.back) return [again];
    return [Pair(Button({ class: "action" }, () => context.goBack(), words.work.goBack), again)];
  }

  /** @param {string} name */
  function ReadingLine(name) {
    const known = lookUp(context.knowledge(), name);
    const taken = takenHere(name);
    const disputed = context.open().visit.disputed_readings.some((one) => one.name === name);
    const value = taken ? known.text || words.work.twoDiffer : words.work.notYet;
    return Button(
      { class: "reading-line", label: words.work.readingLabel(known.label, value) },
      () => enter(name),
      element("span", {}, known.label),
      element("b", { "data-taken": Boolean(taken) }, value),
      disputed && element("span", { class: "quiet" }, words.work.disputed),
    );
  }

  const back = step.back ? element("p", { class: "back-says" }, fill(context, step.back.says)) : null;
  if (back) verdicts.root.append(back);
  return { picture: null, panel, foot, isEntering: () => entering !== null || level !== null, update, dispose: () => level?.dispose() };
}

/** The two readings that a level gives, by the ends of their names. @param {string[]} readings */
function tiltReadings(readings) {
  const [lengthwise, crosswise] = ["_lengthwise", "_crosswise"].map((end) => readings.find((name) => name.endsWith(end)));
  return lengthwise && crosswise ? { lengthwise, crosswise } : null;
}
