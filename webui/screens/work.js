/**
 * One step at a time. The screen asks the fold what is next and the gate whether it may be done; what a person does
 * becomes an event, and only when that event is durable does the screen move on.
 */

/** @import { App, Open, Screen } from "../app/types.js" */
/** @import { Instance } from "../core/types.js" */
/** @import { StepContext } from "../parts/step/context.js" */
/** @import { View } from "../parts/step/card.js" */

import { backTarget, stepOf } from "../core/compose.js";
import { missingFor } from "../core/needs.js";
import { element } from "../dom/element.js";
import { takeAskedStep } from "../parts/open/asked-step.js";
import { words } from "../app/words.js";
import { Frame } from "../parts/frame/frame.js";
import { filledText, itemText, knowledgeOf } from "../parts/texts/known.js";
import { fluidColour } from "../parts/texts/open-things.js";
import { cameraClosed, cameraLost } from "../device/camera.js";
import { say, stopSaying } from "../device/voice.js";
import { Button, isMeant } from "../parts/controls/press.js";
import { loadTheRest } from "../parts/step/card.js";
import { chooseView, endView, stopsNow } from "../parts/step/choose-view.js";
import { Doings, lastTicked } from "../parts/step/doings.js";
import { StepPhotos } from "../parts/step/photos.js";
import { Place } from "../parts/step/place.js";
import { StepStage } from "../parts/step/step-stage.js";
import { findMeanwhile } from "../parts/step/waits.js";
import { WaitsStrip } from "../parts/step/waits-strip.js";
import { signed, Together } from "../parts/open/together.js";
import { UndoBar } from "../parts/step/undo-bar.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function WorkScreen(app, { visit: visitId }) {
  const lost = takeUpPhoto(app, visitId);
  const asked = takeAskedStep(visitId); // by Make safe
  const frame = Frame(app, visitId, { onWhere: openDay });
  const place = Place(app, visitId, { asked, lost: lost?.step ?? null });
  const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
  const undo = UndoBar({ onUndo: ({ id, payload }) => doings.takeBack(id, payload.step) });
  const sign = /** @param {Open} open */ (open) => signed(app, open);
  const doings = Doings(app, visitId, { place, undo, sign, tell: tellTrouble, redraw: update });
  const slot = element("div", { class: "foot-slot" });
  const back = Button({ class: "second" }, doings.backOne, words.work.backOne);
  const photos = StepPhotos(app, visitId, { current: currentNow, sign, onTrouble: tellTrouble });
  const cannot = Button({ class: "second" }, doings.skip, words.work.cannot);
  const row = element("div", { class: "row" }, back, photos.button, cannot);
  const waits = WaitsStrip(app, goTo);
  const together = Together(app, { onConfirm: (variable, value) => doings.record("state-confirmed", { variable, value }), onGoOn: () => place.goOn().then(update), onList: () => app.go(`#/open/${visitId}`) });
  const stage = StepStage(frame.body, slot, [waits.root, together.root]);
  const beside = Beside(app, visitId, frame.aside);
  let isLostTold = lost !== null;
  /** Steps that are done without the numbers they ask for. @type {Set<string>} */
  const without = new Set();

  frame.foot.append(undo.root, trouble, slot, row, photos.camera);
  frame.body.addEventListener("click", tapAnywhere);
  update();
  if (lost) tellTrouble(words.work.photoLost);
  return { root: frame.root, update, dispose };

  function currentNow() {
    const open = app.visit(visitId);
    return open ? place.current(open) : null;
  }

  function update() {
    const open = app.visit(visitId);
    if (doings.isMoving()) return;
    if (!open) return showMissing();
    place.keep(open, stage.step());
    if (open.visit.closed && !place.held) return app.goInstead(`#/record/${visitId}`);
    const instance = place.current(open);
    const standing = instance && { blocked: stopsNow(open, instance), missing: without.has(instance.id) ? [] : missingFor(open.catalog, open.composition, instance) };
    const wanted = keyOf(open, instance, standing);
    showWhere(open, instance);
    beside.update(open);
    if (stage.isShown(wanted)) refresh(open, instance);
    else void build(open, instance, standing, wanted);
  }

  /** Says of two moments whether they look alike. @param {Open} open @param {Instance | null} instance @param {Standing | null} standing */
  function keyOf({ visit }, instance, standing) {
    if (!instance || !standing) return `closing ${visit.undone.length}`;
    const status = place.held ? "" : visit.steps[instance.id]?.event;
    return [instance.id, ...standing.blocked.map(({ id, variable }) => `${id} ${variable}`), status, ...standing.missing].join("|");
  }

  /** @param {Open} open @param {Instance | null} instance */
  function showWhere(open, instance) {
    const { catalog, composition } = open;
    const job = instance ? stepOf(catalog, instance).job : "";
    const at = instance ? composition.steps.indexOf(instance) + 1 : composition.steps.length;
    frame.update(open, {
      title: catalog.jobs[job]?.title ?? open.car.title,
      place: words.work.stepOf(at, composition.steps.length),
      colour: fluidColour(catalog, job),
    });
  }

  /** @param {Open} open @param {Instance | null} instance */
  function refresh(open, instance) {
    stage.update();
    waits.update(open, instance?.id ?? null);
    together.update(open, place.held, place.isAsked());
    const isEntering = stage.isEntering();
    frame.root.toggleAttribute("data-entering", isEntering);
    row.hidden = isEntering;
    cannot.hidden = !instance;
    photos.update(open, instance, Boolean(instance && stepOf(open.catalog, instance).photo));
    back.disabled = !place.away && !lastTicked(open);
  }

  /** @param {Open} open @param {Instance | null} instance @param {Standing | null} standing @param {string} wanted */
  function build(open, instance, standing, wanted) {
    const make = async () => {
      if (!instance || !standing) return endView(app, open, doings.record);
      const onOverride = () => doings.override(instance, standing.blocked);
      return chooseView(contextFor(instance), standing, { onCure: goTo, onOverride, onSkip: doings.skip, onWithout: () => goWithout(instance) });
    };
    return stage.show(wanted, make, (made) => settle(open, instance, made));
  }

  /** @param {Open} open @param {Instance | null} instance @param {View} made */
  function settle(open, instance, made) {
    if (!isLostTold) trouble.hidden = true;
    isLostTold = false;
    refresh(app.visit(visitId) ?? open, instance);
    stage.focusHeading(); // it has the page laid out: after all that changes
    document.title = words.work.documentTitle(made.title || made.heading.textContent || "", open.car.title);
    if (app.preferences.readAloud) void say(made.spoken());
    else stopSaying();
    loadTheRest();
  }

  /** @param {Instance} instance @returns {StepContext} */
  function contextFor(instance) {
    const open = () => /** @type {Open} */ (app.visit(visitId));
    const step = stepOf(open().catalog, instance);
    const item = itemText(open().catalog, step.each, instance.item);
    const correct = /** @param {string} fact */ async (fact) => (await import("../parts/step/fact-asking.js")).askAnew(context, fact);
    const knowledge = () => ({ ...knowledgeOf(open()), correct });
    /** @type {StepContext} */
    const context = {
      app,
      visitId,
      instance,
      step,
      item,
      open,
      knowledge,
      record: doings.record,
      redraw: update,
      finish: (more = {}) => doings.tick("step-done", { step: instance.id, ...more }, words.work.done(filledText(knowledge(), step.title, item))),
      goBack: (finding) => doings.goBack({ from: instance.id, to: (backTarget(open().catalog, open().composition, instance) ?? instance).id, ...(finding && { finding }) }),
      meanwhile: { find: () => findMeanwhile(open()), go: goTo },
    };
    return context;
  }

  /** @param {string} step */
  function goTo(step) {
    place.go(step);
    update();
  }

  /** @param {Instance} instance */
  function goWithout(instance) {
    without.add(instance.id);
    update();
  }

  /** @param {string} says */
  function tellTrouble(says) {
    trouble.textContent = says;
    trouble.hidden = !says;
  }

  /** For whoever wishes it: any empty place of a step does what its one large button does. @param {MouseEvent} event */
  function tapAnywhere(event) {
    const isOnSomething = event.target instanceof Element && event.target.closest("button, a, input, select, summary, label");
    if (!app.preferences.tapAnywhere || isOnSomething || !isMeant(event)) return;
    const [action, ...others] = slot.querySelectorAll("button");
    const isPlain = others.length === 0 && action?.matches(".action:not(.hold-button)");
    if (isPlain && frame.body.querySelector(".step-card") && !stage.isEntering()) action?.click();
  }

  async function openDay() {
    const open = app.visit(visitId);
    if (open) (await import("../parts/step/day-sheet.js")).openDaySheet(app, open);
  }

  function showMissing() {
    frame.body.replaceChildren(element("h1", { tabindex: "-1" }, words.work.visitMissing));
    slot.replaceChildren(Button({ class: "action" }, () => app.go("#/cars"), words.work.toCars));
    row.hidden = true;
  }

  function dispose() {
    beside.dispose();
    stage.dispose();
    waits.dispose();
    frame.dispose();
    stopSaying();
  }
}

/** @typedef {{ blocked: import("../core/types.js").Stop[], missing: string[] }} Standing what stands before a step */

/** The photo that was being taken when the phone ended the page, and its step, where that is not the next of the day. @param {App} app @param {string} visitId @returns {{ step: string | null } | null} */
function takeUpPhoto(app, visitId) {
  const lost = cameraLost(visitId);
  if (!lost) return null;
  cameraClosed();
  return { step: app.visit(visitId)?.visit.next === lost.step ? null : lost.step };
}

/** On a desk, what is open stands beside the step all the time. @param {App} app @param {string} visitId @param {HTMLElement} aside */
function Beside(app, visitId, aside) {
  /** @type {{ parts: Element[], update: (open: Open) => void } | null} */
  let list = null;
  const isWide = matchMedia("(min-width: 64rem)");
  isWide.addEventListener("change", show);
  void show();

  async function show() {
    if (!isWide.matches || list) return;
    const { OpenList } = await import("../parts/open/list.js");
    list = OpenList();
    aside.replaceChildren(element("h2", {}, words.open.title), ...list.parts);
    const open = app.visit(visitId);
    if (open) list.update(open);
  }
  return { update: (/** @type {Open} */ open) => list?.update(open), dispose: () => isWide.removeEventListener("change", show) };
}
