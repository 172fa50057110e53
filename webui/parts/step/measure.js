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
import { PlainWait } from "./plain-wait.js";
import { takenAt } from "./taken.js";
import { keepTyped, lastTyped, readingBegun } from "./unfinished.js";

/** @param {StepContext} context @returns {StepKind} */
export function MeasureStep(context) {
  const { step, instance } = context;
  const entry = ReadingEntry(context, () => (drawn = ""));
  const wait = PlainWait(context, update);
  const back = step.back ? element("p", { class: "back-says" }, fill(context, step.back.says)) : null;
  const verdicts = Judgements();
  if (back) verdicts.root.append(back);
  const list = element("div", { class: "readings" });
  const panel = element("div", { class: "panel" });
  const foot = Foot();
  let drawn = "";

  function update() {
    const { catalog, visit } = context.open();
    const verdict = judgements(catalog, visit.values, step);
    wait.update();
    // While a number is typed nothing is laid anew under it.
    const key = JSON.stringify([entry.key(), entry.isOn() || wait.key(), step.readings.map((name) => takenAt(context.open(), instance, name)?.event), verdict]);
    if (key === drawn) return;
    drawn = key;
    verdicts.update(nextMissing(context) ? [] : verdict);
    list.replaceChildren(...step.readings.map((name) => ReadingLine(context, name, () => entry.enter(name))));
    if (!entry.show(panel, foot)) showReadings(verdict.some(({ holds }) => holds === false));
  }

  /** @param {boolean} hasFailed */
  function showReadings(hasFailed) {
    // Until there is a reading the time is what one came for; then what the reading means, also where a small phone shows little more.
    const parts = hasFailed && wait.isOn() ? [verdicts.root, list, wait.root] : [wait.root, list, entry.levelButton(), verdicts.root];
    panel.replaceChildren(...parts.filter((part) => part !== null));
    foot.replaceChildren(...[wait.button(), ...actions(hasFailed)].filter((part) => part !== null));
  }

  /** @param {boolean} hasFailed */
  function actions(hasFailed) {
    const missing = nextMissing(context);
    if (!missing) return hasFailed ? failedActions() : [ActionButton(context)];
    const label = context.open().catalog.readings[missing]?.label ?? missing;
    return [Button({ class: "action" }, () => entry.enter(missing), element("span", {}, element("small", {}, words.work.enter), label))];
  }

  function failedActions() {
    const again = Button({ class: step.back ? "second" : "action" }, () => entry.enter(step.readings[0] ?? null), words.work.measureAgain);
    if (!step.back) return [again];
    return [Pair(Button({ class: "action" }, () => context.goBack(), words.work.goBack), again)];
  }

  return { picture: null, panel, foot, isEntering: entry.isOn, update, dispose };

  function dispose() {
    wait.dispose();
    entry.dispose();
  }
}

/** A number being typed, or told by the phone laid on the car. @param {StepContext} context @param {() => void} onChange */
function ReadingEntry(context, onChange) {
  const { step, instance, visitId } = context;
  const tilts = tiltReadings(step.readings);
  /** @type {string | null} the reading that is being typed */
  let entering = readingBegun(visitId, instance.id, step.readings);
  /** The phone as the level, while it is one. @type {{ panel: HTMLElement, foot: HTMLElement, dispose: () => void } | null} */
  let level = null;

  /** @param {string | null} name */
  function enter(name) {
    entering = name;
    onChange();
    context.redraw();
  }

  /** @param {string} name @param {Typed} typed */
  async function keep(name, typed) {
    const event = await context.record("reading-taken", { step: instance.id, reading: name, ...typed });
    if (!event) return;
    keepTyped(visitId, instance.id, name, "");
    enter(nextMissing(context));
  }

  /** @param {string} name */
  function leave(name) {
    keepTyped(visitId, instance.id, name, "");
    enter(null);
  }

  async function useLevel() {
    if (!tilts) return;
    const { PhoneLevel } = await import("./phone-level.js");
    level = PhoneLevel(context, { names: tilts, onLeave: leaveLevel });
    enter(null);
  }

  function leaveLevel() {
    level?.dispose();
    level = null;
    enter(null);
  }

  /** @param {HTMLElement} panel @param {HTMLElement} foot @returns {boolean} whether there is anything to show */
  function show(panel, foot) {
    const reading = entering ? context.open().catalog.readings[entering] : undefined;
    if (level) {
      panel.replaceChildren(level.panel);
      foot.replaceChildren(level.foot);
    } else if (entering && reading) showField(entering, reading, panel, foot);
    return level !== null || entering !== null;
  }

  /** @param {string} name @param {import("../../core/types.js").Reading} reading @param {HTMLElement} panel @param {HTMLElement} foot */
  function showField(name, reading, panel, foot) {
    const onType = /** @param {string} typed */ (typed) => keepTyped(visitId, instance.id, name, typed);
    const field = QuantityField(context.open().catalog, reading, { onKeep: (typed) => keep(name, typed), onType }, { typed: lastTyped(visitId, instance.id, name) });
    panel.replaceChildren(field.root, Button({ class: "plain" }, () => leave(name), words.quantity.leave));
    foot.replaceChildren(field.pad);
    field.focus();
  }

  return {
    enter,
    show,
    key: () => [entering, level !== null],
    isOn: () => entering !== null || level !== null,
    levelButton: () => tilts && Button({ class: "second" }, useLevel, levelWords.use),
    dispose: () => level?.dispose(),
  };
}

/** @param {StepContext} context @param {string} name @param {() => void} onEnter */
function ReadingLine(context, name, onEnter) {
  const known = lookUp(context.knowledge(), name);
  const taken = takenAt(context.open(), context.instance, name);
  const disputed = context.open().visit.disputed_readings.some((one) => one.name === name);
  const value = taken ? known.text || words.work.twoDiffer : words.work.notYet;
  return Button(
    { class: "reading-line", label: words.work.readingLabel(known.label, value) },
    onEnter,
    element("span", {}, known.label),
    element("b", { "data-taken": Boolean(taken) }, value),
    disputed && element("span", { class: "quiet" }, words.work.disputed),
  );
}

/** @param {StepContext} context */
function nextMissing({ open, instance, step }) {
  return step.readings.find((name) => !takenAt(open(), instance, name)) ?? null;
}

/** The two readings that a level gives, by the ends of their names. @param {string[]} readings */
function tiltReadings(readings) {
  const [lengthwise, crosswise] = ["_lengthwise", "_crosswise"].map((end) => readings.find((name) => name.endsWith(end)));
  return lengthwise && crosswise ? { lengthwise, crosswise } : null;
}
