/** One step, whole-screen: where to be, what to do, what it looks like, the number, what to beware of, and why. */

/** @import { Hazard } from "../core/types.js" */
/** @import { StepContext, StepKind } from "./step-context.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { Hero, NumberLines } from "./hero.js";
import { fillPlaces } from "./known.js";
import { Locator } from "./locator.js";
import { WarningMark } from "./marks.js";
import { fill } from "./step-context.js";

/** @param {StepContext} context @param {StepKind} kind */
export function StepCard(context, kind) {
  const { step, knowledge } = context;
  const heading = element("h1", { tabindex: "-1" });
  const says = element("p", { class: "says" });
  const names = shownNames(context);
  const hero = kind.hasOwnNumber || names.length === 0 ? null : Hero(knowledge, names.shift() ?? "");
  const lines = NumberLines(knowledge, names);
  const parts = [
    Kicker(context),
    heading,
    says,
    kind.picture,
    kind.panel,
    hero?.root,
    ...hazardsOf(context).map(Caution),
    lines.root,
    step.photo && element("p", { class: "photo-wanted" }, element("b", {}, words.work.photoOf), " ", step.photo),
    step.why && element("p", { class: "why" }, step.why),
  ].filter((part) => part instanceof Element);

  function update() {
    heading.textContent = fill(context, step.title);
    says.replaceChildren(...fillPlaces(knowledge(), step.says, context.item).map(asNode));
    kind.update();
    hero?.update();
    lines.update();
  }
  return { parts, heading, update };
}

/** @param {string | { text: string }} piece */
function asNode(piece) {
  return typeof piece === "string" ? piece : element("b", {}, piece.text);
}

/** The torque first, then what the step shows, each once. @param {StepContext} context */
function shownNames({ step }) {
  return [...new Set([step.torque, ...step.shows])].filter((name) => name !== null);
}

/** Dangers before cautions. @param {StepContext} context @returns {Hazard[]} */
function hazardsOf(context) {
  const { catalog } = context.open();
  const hazards = context.step.hazards.flatMap((id) => catalog.hazards[id] ?? []);
  return hazards.sort((a, b) => Number(b.level === "danger") - Number(a.level === "danger"));
}

/** @param {Hazard} hazard */
export function Caution({ title, says, level }) {
  return element(
    "div",
    { class: "caution", "data-level": level },
    WarningMark(),
    element("p", {}, element("b", {}, /[.!?]$/.test(title) ? title : `${title}.`), " ", says),
  );
}

/** Where to be, with a small car that shows the spot. @param {StepContext} context */
function Kicker(context) {
  const { step } = context;
  const place = step.where ? words.places[step.where] : "";
  const which = context.instance.of > 1 ? words.work.itemOf(context.instance.index + 1, context.instance.of) : "";
  const locator = Locator(context.open().catalog, step, context.instance.item);
  if (!place && !which && !locator) return null;
  return element("div", { class: "kicker" }, element("span", {}, [place, which].filter(Boolean).join(" · ")), locator);
}
