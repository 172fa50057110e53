/**
 * One step at a time. The screen asks the fold what is next and the gate whether it may be done; what a person does
 * becomes an event, and only when that event is durable does the screen move on.
 */

/** @import { App, Open, Screen } from "../app/types.js" */
/** @import { Event, Instance, Stop } from "../core/types.js" */
/** @import { StepContext } from "../parts/step/context.js" */
/** @import { View } from "../parts/step/card.js" */

import { backTarget, stepOf } from "../core/compose.js";
import { KINDS } from "../core/events.js";
import { stops } from "../core/gate.js";
import { missingFor } from "../core/needs.js";
import { element } from "../dom/element.js";
import { takeAskedStep } from "../parts/open/asked-step.js";
import { words } from "../app/words.js";
import { Frame } from "../parts/frame/frame.js";
import { filledText, itemText, knowledgeOf } from "../parts/texts/known.js";
import { fluidColour } from "../parts/texts/open-things.js";
import { cameraClosed, cameraLost } from "../device/camera.js";
import { say, stopSaying } from "../device/voice.js";
import { Button, ignoreGhosts, isMeant } from "../parts/controls/press.js";
import { loadTheRest, makeStepView } from "../parts/step/card.js";
import { StepPhotos } from "../parts/step/photos.js";
import { signed, Together } from "../parts/open/together.js";
import { UndoBar } from "../parts/step/undo-bar.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function WorkScreen(app, { visit: visitId }) {
  const frame = Frame(app, visitId, { onWhere: openDay });
  const trouble = element("p", { class: "trouble", role: "alert", hidden: true });
  const undo = UndoBar({ onUndo: (event) => app.undo(visitId, event.id) });
  const slot = element("div", { class: "foot-slot" });
  let photoIsLost = false;
  const back = Button({ class: "second" }, backOne, words.work.backOne);
  const photos = StepPhotos(app, visitId, { current: currentNow, onTrouble: tellTrouble });
  const cannot = Button({ class: "second" }, skip, words.work.cannot);
  const row = element("div", { class: "row" }, back, photos.button, cannot);
  const together = Together(app, { onConfirm: (variable, value) => record("state-confirmed", { variable, value }), onGoOn: goOn, onList: () => app.go(`#/open/${visitId}`) });
  frame.foot.append(undo.root, trouble, slot, row, photos.camera);
  frame.body.addEventListener("click", tapAnywhere);

  /** Beside the step where there is room for it. @type {{ parts: Element[], update: (open: Open) => void } | null} */
  let beside = null;
  const isWide = matchMedia("(min-width: 64rem)");
  isWide.addEventListener("change", showBeside);

  /** @type {View | null} */
  let view = null;
  let key = "";
  let loading = "";
  /** Steps that are done without the numbers they ask for. @type {Set<string>} */
  const without = new Set();
  /** @type {string | null} a step visited out of its turn, to put something right */
  let detour = takeUpPhoto();
  /** @type {string | null} the step that stays on screen although another phone's entries have moved the day on */
  let held = null;
  let ownEntries = 0;
  /** Asked for by Make safe, which goes on once it is done. */
  const asked = takeAskedStep(visitId);
  detour ??= asked;

  function currentNow() {
    const open = app.visit(visitId);
    return open ? currentOf(open) : null;
  }

  /** @param {Open} open @returns {Instance | null} */
  function currentOf(open) {
    const id = detour ?? open.visit.next;
    const { steps, standby } = open.composition;
    return steps.find((instance) => instance.id === id) ?? standby.find((instance) => instance.id === id) ?? null;
  }

  function update() {
    const open = app.visit(visitId);
    if (!open) return showMissing();
    if (open.visit.closed) return app.go(`#/record/${visitId}`);
    keepPlace(open);
    const instance = currentOf(open);
    const blocked = instance ? stopsNow(open, instance) : [];
    const wanted = instance ? [instance.id, ...blocked.map(({ id, variable }) => `${id} ${variable}`), held ? "" : open.visit.steps[instance.id]?.event, ...missingNow(open, instance)].join("|") : `closing ${open.visit.undone.length}`;
    showWhere(open, instance);
    beside?.update(open);
    if (wanted === key && view) refresh(open, instance);
    else void build(open, instance, blocked, wanted);
  }

  /** What comes in from another phone never takes the step from under a hand. @param {Open} open */
  function keepPlace({ composition, events, visit }) {
    const own = events.filter(({ device }) => device === app.me.device).length;
    const shown = view && !detour ? ((loading || key).split("|", 1)[0] ?? "") : ""; // what is being made counts as shown
    const isMovedOn = own === ownEntries && visit.next !== shown && composition.steps.some(({ id }) => id === shown);
    if (isMovedOn) detour = held = shown;
    if (held !== detour) held = null;
    ownEntries = own;
  }

  function goOn() {
    leaveDetour();
    update();
  }

  /** The place then moves on by this phone's own wish. */
  function leaveDetour() {
    detour = null;
    ownEntries = -1;
  }

  /** @param {Open} open @param {Instance} instance */
  function missingNow({ catalog, composition }, instance) {
    return without.has(instance.id) ? [] : missingFor(catalog, composition, instance);
  }

  /** @param {Instance} instance */
  function goWithout(instance) {
    without.add(instance.id);
    update();
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
    view?.update();
    together.update(open, held, detour !== null && detour === asked);
    const isEntering = view?.isEntering() ?? false;
    frame.root.toggleAttribute("data-entering", isEntering);
    row.hidden = isEntering;
    cannot.hidden = !instance;
    photos.update(open, instance, Boolean(instance && stepOf(open.catalog, instance).photo));
    back.disabled = !detour && !previousOf(open, instance);
  }

  /** @param {Open} open @param {Instance | null} instance @param {Stop[]} blocked @param {string} wanted */
  async function build(open, instance, blocked, wanted) {
    if (loading === wanted) return;
    loading = wanted;
    slot.ariaBusy = "true"; // its buttons are still those of the step before
    const made = await makeView(open, instance, blocked);
    if (loading !== wanted) return made.dispose();
    loading = "";
    slot.ariaBusy = null;
    install(made, wanted);
    const now = app.visit(visitId);
    if (now) refresh(now, instance);
    document.title = words.work.documentTitle(made.title || made.heading.textContent || "", open.car.title);
    loadTheRest();
  }

  /** @param {View} made @param {string} wanted */
  function install(made, wanted) {
    view?.dispose();
    view = made;
    key = wanted;
    frame.body.replaceChildren(together.root, ...made.parts);
    slot.replaceChildren(made.foot);
    slot.dataset.step = wanted.split("|", 1)[0]; // which step these buttons belong to, while the next is still being made
    frame.body.scrollTop = 0;
    scrollTo(0, 0); // with enlarged text the whole page scrolls
    if (!photoIsLost) trouble.hidden = true;
    photoIsLost = false;
    ignoreGhosts();
    made.update();
    beginAt(made.heading);
    if (app.preferences.readAloud) void say(made.spoken());
    else stopSaying();
  }

  /** A step is read from its heading on; while a sheet is open nothing behind it takes the focus. @param {HTMLElement} heading */
  function beginAt(heading) {
    const focus = () => heading.focus({ preventScroll: true });
    const sheet = document.querySelector("dialog[open]");
    if (sheet) sheet.addEventListener("close", focus, { once: true });
    else focus();
  }

  /** @param {Open} open @param {Instance | null} instance @param {Stop[]} blocked @returns {Promise<View>} */
  async function makeView(open, instance, blocked) {
    const still = { update: () => {}, dispose: () => {}, isEntering: () => false };
    if (!instance) {
      const { ClosingCard } = await import("../parts/step/closing-card.js");
      const card = ClosingCard(app, open, record);
      return { ...still, title: "", spoken: () => [card.heading.textContent ?? ""], ...card };
    }
    const context = contextFor(instance);
    if (blocked.length) {
      const { StopCard } = await import("../parts/step/stop-card.js");
      const actions = { onCure: takeDetour, onOverride: () => override(instance, blocked), onSkip: skip };
      const card = StopCard(context, blocked, actions);
      return { ...still, spoken: () => card.parts.map((part) => /** @type {HTMLElement} */ (part).innerText), ...card };
    }
    const missing = missingNow(open, instance);
    if (missing.length) return (await import("../parts/step/fact-asking.js")).AskingCard(context, missing, () => goWithout(instance));
    return makeStepView(context);
  }

  /** @param {Instance} instance @returns {StepContext} */
  function contextFor(instance) {
    const open = () => /** @type {Open} */ (app.visit(visitId));
    const step = stepOf(open().catalog, instance);
    const item = itemText(open().catalog, step.each, instance.item);
    const knowledge = () => knowledgeOf(open());
    return {
      app,
      visitId,
      instance,
      step,
      item,
      open,
      knowledge,
      record,
      redraw: update,
      finish: (more = {}) => tick("step-done", { step: instance.id, ...more }, words.work.done(filledText(knowledge(), step.title, item))),
      goBack: (finding) => record("went-back", { from: instance.id, to: (backTarget(open().catalog, open().composition, instance) ?? instance).id, ...(finding && { finding }) }),
    };
  }

  /** @param {string} kind @param {Record<string, unknown>} payload @returns {Promise<Event | null>} */
  async function record(kind, payload) {
    try {
      const open = app.visit(visitId);
      const event = await app.record(visitId, kind, { ...(open && KINDS[kind]?.by && signed(app, open)), ...payload });
      trouble.hidden = true;
      return event;
    } catch {
      tellTrouble(words.errors.notSaved);
      return null;
    }
  }

  /** @param {string} kind @param {{ step: string, reason?: string, finding?: string, note?: string }} payload @param {string} says */
  async function tick(kind, payload, says) {
    const wasDetour = detour === payload.step;
    const event = await record(kind, payload);
    if (!event) return null;
    undo.show(event, says);
    if (wasDetour && detour === asked) app.go(`#/open/${visitId}`);
    if (wasDetour) leaveDetour();
    update();
    return event;
  }

  /** @param {string} instance */
  function takeDetour(instance) {
    detour = instance;
    update();
  }

  async function backOne() {
    const open = app.visit(visitId);
    if (!open) return;
    undo.hide();
    if (detour) {
      leaveDetour();
      return update();
    }
    const previous = previousOf(open, currentOf(open));
    const status = previous && open.visit.steps[previous.id];
    if (!previous || !status) return;
    const takeBack = () => record("undone", { event: status.event }).then(update);
    if (status.device === app.me.device) return takeBack();
    (await import("../parts/step/asking-first.js")).askTakeBack(open, previous, status, takeBack);
  }

  async function skip() {
    const open = app.visit(visitId);
    const instance = open ? currentOf(open) : null;
    if (!open || !instance) return;
    const { askSkip, titleOf } = await import("../parts/step/asking-first.js");
    askSkip(async (reason) => Boolean(await tick("step-skipped", { step: instance.id, reason }, words.work.skipped(titleOf(open, instance)))));
  }

  /** @param {Instance} instance @param {Stop[]} blocked */
  async function override(instance, blocked) {
    const { askOverride } = await import("../parts/step/asking-first.js");
    askOverride(blocked, async (stops, reason) => Boolean(await record("stop-overridden", { step: instance.id, stops, reason })));
  }

  /** @param {string} says */
  function tellTrouble(says) {
    trouble.textContent = says;
    trouble.hidden = false;
  }

  /** The step whose photo was being taken when the phone ended the page. @returns {string | null} */
  function takeUpPhoto() {
    const lost = cameraLost(visitId);
    if (!lost) return null;
    cameraClosed();
    photoIsLost = true;
    tellTrouble(words.work.photoLost);
    return app.visit(visitId)?.visit.next === lost.step ? null : lost.step;
  }

  /** For whoever wishes it: any empty place of a step does what its one large button does. @param {MouseEvent} event */
  function tapAnywhere(event) {
    const isOnSomething = event.target instanceof Element && event.target.closest("button, a, input, select, summary, label");
    if (!app.preferences.tapAnywhere || isOnSomething || !isMeant(event)) return;
    const [action, ...others] = slot.querySelectorAll("button");
    const isPlain = others.length === 0 && action?.matches(".action:not(.hold-button)");
    if (isPlain && frame.body.querySelector(".step-card") && !view?.isEntering()) action?.click();
  }

  /** On a desk, what is open stands beside the step all the time. */
  async function showBeside() {
    if (!isWide.matches || beside) return;
    const { OpenList } = await import("../parts/open/list.js");
    beside = OpenList();
    frame.aside.replaceChildren(element("h2", {}, words.open.title), ...beside.parts);
    const open = app.visit(visitId);
    if (open) beside.update(open);
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

  update();
  void showBeside();
  return { root: frame.root, update, dispose };

  function dispose() {
    isWide.removeEventListener("change", showBeside);
    view?.dispose();
    frame.dispose();
    stopSaying();
  }
}

/** What stops a step as the car is now, without what somebody has overruled. @param {Open} open @param {Instance} instance @returns {Stop[]} */
function stopsNow({ catalog, composition, visit }, instance) {
  const overruled = new Set(visit.overrides.filter(({ step }) => step === instance.id).flatMap((one) => one.stops));
  return stops(catalog, composition, visit.variables, instance).filter(({ id, never }) => never || !overruled.has(id));
}

/** @param {Open} open @param {Instance | null} instance the last step before it that was ticked or passed over */
function previousOf({ composition, visit }, instance) {
  const at = instance ? composition.steps.indexOf(instance) : composition.steps.length;
  return composition.steps.slice(0, at).findLast(({ id }) => visit.steps[id]) ?? null;
}
