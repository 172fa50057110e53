/**
 * What a person does at a step becomes an entry, and only when that is durable does the screen move on: drawn once, when
 * it is known where to.
 */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Event, Instance, Stop } from "../../core/types.js" */

import { words } from "../../app/words.js";
import { KINDS } from "../../core/events.js";
import { stepTitle } from "../texts/known.js";

/** @typedef {ReturnType<typeof import("./place.js").Place>} Place */
/** @typedef {ReturnType<typeof import("./undo-bar.js").UndoBar>} UndoBar */

/**
 * @param {App} app
 * @param {string} visitId
 * @param {object} with_
 * @param {Place} with_.place
 * @param {UndoBar} with_.undo
 * @param {(open: Open) => { by?: string }} with_.sign
 * @param {(says: string) => void} with_.tell says in red what went wrong; nothing once all is well
 * @param {() => void} with_.redraw
 */
export function Doings(app, visitId, { place, undo, sign, tell, redraw }) {
  let isMoving = false;

  /** @param {string} kind @param {Record<string, unknown>} payload @returns {Promise<Event | null>} null when it could not be kept; the person has been told */
  async function record(kind, payload) {
    try {
      const open = app.visit(visitId);
      const event = await app.record(visitId, kind, { ...(open && KINDS[kind]?.by && sign(open)), ...payload });
      tell("");
      return event;
    } catch {
      tell(words.errors.notSaved);
      return null;
    }
  }

  /** Everything that leads to another step; the screen is still until it is known which. @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  async function move(work) {
    isMoving = true;
    try {
      return await work();
    } finally {
      isMoving = false;
      redraw();
    }
  }

  /** @param {string} kind @param {{ step: string, reason?: string, finding?: string, note?: string }} payload @param {string} says */
  function tick(kind, payload, says) {
    return move(async () => {
      const isListed = place.isAsked() && place.away === payload.step;
      const isAtIt = place.away === null || place.away === payload.step;
      const event = await record(kind, payload);
      if (!event) return null;
      undo.show(event, says);
      if (isListed) app.go(`#/open/${visitId}`);
      if (isAtIt) await place.goOn();
      return event;
    });
  }

  /** What is taken back is what to do now. @param {string} event its tick @param {string} step */
  function takeBack(event, step) {
    return move(async () => {
      const taken = await record("undone", { event });
      if (taken) place.go(step);
      return taken;
    });
  }

  /** @param {Record<string, unknown>} payload */
  function goBack(payload) {
    return move(async () => {
      const event = await record("went-back", payload);
      if (event) await place.goOn();
      return event;
    });
  }

  async function backOne() {
    const open = app.visit(visitId);
    if (!open) return;
    undo.hide();
    const overruled = overruledAt(open, place.current(open));
    if (overruled?.device === app.me.device) return takeBack(overruled.event, overruled.step);
    if (place.away) return move(place.goBack);
    const previous = lastTicked(open);
    const status = previous && open.visit.steps[previous.id];
    if (!previous || !status) return;
    const takeItBack = () => takeBack(status.event, previous.id);
    if (status.device === app.me.device) return takeItBack();
    (await import("./asking-first.js")).askTakeBack(open, previous, status, takeItBack);
  }

  async function skip() {
    const open = app.visit(visitId);
    const instance = open && place.current(open);
    if (!open || !instance) return;
    const { askSkip } = await import("./asking-first.js");
    askSkip(open, instance, async (reason) => Boolean(await tick("step-skipped", { step: instance.id, reason }, words.work.skipped(stepTitle(open, instance)))));
  }

  /** @param {Instance} instance @param {Stop[]} blocked */
  async function override(instance, blocked) {
    const open = app.visit(visitId);
    const { askOverride } = await import("./asking-first.js");
    if (!open) return;
    askOverride(open, instance, blocked, async (stops, reason) => {
      const event = await record("stop-overridden", { step: instance.id, stops, reason });
      if (event) undo.show(event, words.stops.overruled);
      return event !== null;
    });
  }

  return { record, tick, takeBack, goBack, backOne, skip, override, isMoving: () => isMoving };
}

/** The stop that was overruled last at a step which is still to be done: to go back from there is to think better of it. @param {Open} open @param {Instance | null} instance */
function overruledAt({ visit }, instance) {
  const isToDo = instance && !visit.steps[instance.id];
  return isToDo ? visit.overrides.findLast(({ step }) => step === instance.id) : undefined;
}

/** What was ticked or passed over last, which need not be the step before: another may have waited. @param {Open} open @returns {Instance | null} */
export function lastTicked({ composition, events, visit }) {
  const at = new Map(events.map(({ id }, index) => [id, index]));
  /** @param {Instance} instance */
  const when = ({ id }) => at.get(visit.steps[id]?.event ?? "") ?? -1;
  const [last] = composition.steps.filter(({ id }) => visit.steps[id]).sort((one, other) => when(other) - when(one));
  return last ?? null;
}
