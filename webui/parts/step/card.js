/**
 * One step, whole-screen: where to be, what to do, what endangers, what it looks like, the number to hit, then the words,
 * what to beware of, and why. Number and drawing come before the words: they are what is looked up from under the car.
 */

/** @import { Hazard } from "../../core/types.js" */
/** @import { StepContext, StepKind } from "./context.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { judgements } from "../../core/gate.js";
import { Hero, isNumber, NumberLines } from "./hero.js";
import { fillPlaces, lookUp } from "../texts/known.js";
import { Judgements } from "../numbers/judgements.js";
import { Locator } from "../drawings/locator.js";
import { WarningMark } from "../drawings/marks.js";
import { ReadAloudButton, spokenStep } from "./spoken-step.js";
import { fill } from "./context.js";

/** @typedef {(context: StepContext) => StepKind} MakeKind */
/** @typedef {{ parts: Element[], heading: HTMLElement, foot: HTMLElement, title: string, update: () => void, dispose: () => void, isEntering: () => boolean, spoken: () => string[] }} View spoken: sentences, for reading aloud */

/** Loaded when first met, so that the first step is on screen before the others' code is read. @type {Record<string, () => Promise<MakeKind>>} */
const KINDS = {
  act: async () => (await import("./act.js")).ActStep,
  measure: async () => (await import("./measure.js")).MeasureStep,
  tighten: async () => (await import("./act.js")).ActStep,
  hold: async () => (await import("./hold.js")).HoldStep,
  cycle: async () => (await import("./cycle.js")).CycleStep,
  watch: async () => (await import("./watch.js")).WatchStep,
  inspect: async () => (await import("./inspect.js")).InspectStep,
};

/**
 * The card of a step and what its kind puts below it.
 *
 * @param {StepContext} context
 * @returns {Promise<View>}
 */
export async function makeStepView(context) {
  const make = await (KINDS[context.step.kind] ?? KINDS.act)?.();
  const kind = /** @type {MakeKind} */ (make)(context);
  const card = StepCard(context, kind, await instrumentFor(context));
  return { ...card, foot: kind.foot, title: "", dispose: () => kind.dispose?.(), isEntering: () => kind.isEntering?.() ?? false, spoken: () => spokenStep(context) };
}

/** Only a step that works something out may have one; the rest need not load them. @param {StepContext} context */
async function instrumentFor(context) {
  const { shows, judges } = context.step;
  const { figures } = context.open().catalog;
  if (![...shows, ...judges].some((name) => figures[name])) return null;
  return (await import("./instruments.js")).chooseInstrument(context);
}

let isLoaded = false;

/** What the next steps will need, read while nobody waits for it. */
export function loadTheRest() {
  if (isLoaded) return;
  isLoaded = true;
  const load = () => {
    for (const kind of Object.values(KINDS)) void kind();
    void import("./stop-card.js");
    void import("../numbers/number-sheet.js");
  };
  if ("requestIdleCallback" in window) requestIdleCallback(load);
  else setTimeout(load, 200);
}

/**
 * @param {StepContext} context
 * @param {StepKind} kind
 * @param {import("./instruments.js").Instrument | null} instrument drawn where the kind draws nothing itself
 */
function StepCard(context, kind, instrument) {
  const picture = kind.picture ?? instrument?.root ?? null;
  const hasOwnNumber = kind.hasOwnNumber || instrument?.hasOwnNumber;
  const { step, knowledge } = context;
  const heading = element("h1", { tabindex: "-1" });
  const says = element("p", { class: "says" });
  const names = shownNames(context);
  const heroName = hasOwnNumber ? undefined : names.find((name) => name === step.torque || isNumber(lookUp(knowledge(), name)));
  const hero = heroName ? Hero(knowledge, heroName) : null;
  // A measuring step says itself what its readings mean; any other says what earlier ones mean for it.
  const verdicts = step.judges.length && step.kind !== "measure" ? Judgements() : null;
  const lines = NumberLines(knowledge, names.filter((name) => name !== heroName));
  const aids = element("div", {});
  // Nobody waits for these: the step can be done without them.
  /** @type {ReturnType<typeof import("./bottle.js").BottleNote>} */
  let bottle = null;
  const bottleSlot = element("div", {});
  void import("./bottle.js").then(({ BottleNote }) => bottleSlot.replaceChildren(...[(bottle = BottleNote(context))?.root].filter((root) => root !== undefined)));
  void import("./aids.js").then(({ StepAids }) => aids.replaceChildren(...[StepAids(context)].filter((one) => one !== null)));
  const [dangers, cautions] = [hazardsOf(context, "danger"), hazardsOf(context, "caution")];
  const parts = [
    Kicker(context, picture),
    heading,
    DangerLine(dangers),
    picture,
    kind.panel,
    verdicts?.root,
    hero?.root,
    says,
    ...dangers.map(Caution),
    ...cautions.map(Caution),
    lines.root,
    aids,
    bottleSlot,
    step.photo && element("p", { class: "photo-wanted" }, element("b", {}, words.work.photoOf), " ", step.photo),
    step.why && element("p", { class: "why" }, step.why),
  ].filter((part) => part instanceof Element);

  function update() {
    heading.textContent = fill(context, step.title);
    says.replaceChildren(...fillPlaces(knowledge(), step.says, context.item).map(asNode));
    kind.update();
    instrument?.update();
    verdicts?.update(judgements(context.open().catalog, context.open().visit.values, step));
    hero?.update();
    lines.update();
    bottle?.update();
  }
  return { parts: [element("article", { class: "step-card", "data-step": context.instance.id }, ...parts)], heading, update };
}

/** @param {string | { text: string }} piece */
function asNode(piece) {
  return typeof piece === "string" ? piece : element("b", {}, piece.text);
}

/** The torque first, then what the step shows, each once. @param {StepContext} context */
function shownNames({ step }) {
  return [...new Set([step.torque, ...step.shows])].filter((name) => name !== null);
}

/** @param {StepContext} context @param {Hazard["level"]} level @returns {Hazard[]} */
function hazardsOf(context, level) {
  const { catalog } = context.open();
  return context.step.hazards.flatMap((id) => catalog.hazards[id] ?? []).filter((hazard) => hazard.level === level);
}

/** The dangers' few bold words at the top, always in sight; their sentences stand below the instruction. @param {Hazard[]} dangers */
function DangerLine(dangers) {
  if (!dangers.length) return null;
  return element("p", { class: "danger-line" }, WarningMark(), element("b", {}, dangers.map(({ title }) => asSentence(title)).join(" ")));
}

/** @param {string} title */
function asSentence(title) {
  return /[.!?]$/.test(title) ? title : `${title}.`;
}

/** A danger's title stands at the top already. @param {Hazard} hazard */
function Caution({ title, says, level }) {
  const name = level === "danger" ? [] : [element("b", {}, asSentence(title)), " "];
  return element("div", { class: "caution", "data-level": level }, WarningMark(), element("p", {}, ...name, says));
}

/** Where to be, with a small car that shows the spot unless a drawing does. @param {StepContext} context @param {Element | null} picture */
function Kicker(context, picture) {
  const { step } = context;
  const place = step.where ? words.places[step.where] : "";
  const which = context.instance.of > 1 ? words.work.itemOf(context.instance.index + 1, context.instance.of) : "";
  const locator = picture ? null : Locator(context.open().catalog, step, context.instance.item);
  const aloud = ReadAloudButton(() => spokenStep(context));
  return element("div", { class: "kicker" }, element("span", {}, [place, which].filter(Boolean).join(" · ")), locator, aloud);
}
