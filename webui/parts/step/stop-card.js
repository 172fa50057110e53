/** A full stop, calmly: which rule, why, how the car stands, and the step that puts it right. */

/** @import { Stop } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { filledText, stateText, stepTitleWithItem, variableText } from "../texts/known.js";
import { StopMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { Foot } from "./context.js";

/**
 * @param {StepContext} context
 * @param {Stop[]} stops
 * @param {{ onCure: (instance: string) => void, onOverride: () => void, onSkip: () => void }} actions
 */
export function StopCard(context, stops, { onCure, onOverride, onSkip }) {
  const { catalog, composition } = context.open();
  const reasons = oncePerReason(stops);
  const [first] = reasons;
  const heading = element("h1", { tabindex: "-1" }, first ? titleOf(first) : words.stops.title);
  const cure = stops.find((stop) => stop.cure)?.cure;
  const never = stops.some((stop) => stop.never);
  const step = filledText(context.knowledge(), context.step.title, context.item);
  const parts = [
    element("div", { class: "kicker stop-kicker", role: "alert" }, StopMark(), element("b", {}, words.stops.title)),
    heading,
    element("p", { class: "says" }, first?.kind === "rule" ? first.reason : words.stops.waits(step)),
    ...stops.slice(0, 6).map((stop) => StateRow(catalog, stop)),
    ...reasons.slice(1).map((stop) => element("div", { class: "stop-more" }, element("b", {}, titleOf(stop)), element("p", {}, stop.reason))),
    never ? element("p", { class: "quiet" }, words.stops.never) : null,
    Button({ class: "second" }, () => context.app.go(`#/open/${context.visitId}`), words.stops.toOpen),
  ].filter((part) => part !== null);

  const cured = composition.steps.find(({ id }) => id === cure);
  const main = cured
    ? Button({ class: "action" }, () => onCure(cured.id), words.stops.cure(stepTitleWithItem(context.open(), cured)))
    : Button({ class: "action" }, onSkip, words.stops.passOver);
  const foot = Foot(main, never ? null : Button({ class: "second", tone: "warning" }, onOverride, words.stops.override));
  return { parts: [element("article", { class: "stop-card", "data-step": context.instance.id }, ...parts)], heading, foot, title: `${words.stops.title}: ${step}` };
}

/** @param {Stop} stop */
function titleOf(stop) {
  return stop.kind === "need" ? words.stops.need(stop.title) : stop.title;
}

/** One rule broken in four places is told once. @param {Stop[]} stops */
function oncePerReason(stops) {
  return stops.filter((stop, at) => stops.findIndex((other) => titleOf(other) === titleOf(stop)) === at);
}

/** @param {import("../../core/types.js").Catalog} catalog @param {Stop} stop */
function StateRow(catalog, stop) {
  const base = stop.variable.split("@")[0] ?? "";
  const say = /** @param {string} value */ (value) => stateText(catalog, base, value);
  return element(
    "dl",
    { class: "state-row" },
    element("dt", {}, variableText(catalog, stop.variable)),
    element("dd", {}, words.stops.isNow, " ", element("b", {}, say(stop.found))),
    element("dd", {}, words.stops.mustBe, " ", element("b", {}, stop.expected.map(say).join(words.stops.or))),
  );
}
