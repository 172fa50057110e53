/**
 * Which step stands on the screen: the next of the day, unless hands are elsewhere: at one out of its turn, to put
 * something right or because another waits, or at one that stays although another phone has moved the day on.
 */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Instance } from "../../core/types.js" */

import { keepPlace, lastPlace } from "./unfinished.js";
import { findPlace, waitsOf } from "./waits.js";

/**
 * @param {App} app
 * @param {string} visitId
 * @param {{ asked: string | null, lost: string | null }} begins asked: by Make safe, which goes on once it is done; lost: when the page ended in the middle of a photo
 */
export function Place(app, visitId, { asked, lost }) {
  /** @type {string | null} a step out of its turn */
  let away = lost ?? asked ?? placeLeft(app.visit(visitId));
  /** What was said of it when one went there. */
  let saidOfAway = statusOf(away);
  /** @type {string | null} */
  let held = null;
  let ownEntries = 0;

  /** @param {string | null} step */
  function statusOf(step) {
    return step ? app.visit(visitId)?.visit.steps[step]?.event : undefined;
  }

  /** @param {Open} open @returns {Instance | null} null when every step is behind */
  function current(open) {
    const id = away ?? open.visit.next;
    const { steps, standby } = open.composition;
    return steps.find((instance) => instance.id === id) ?? standby.find((instance) => instance.id === id) ?? null;
  }

  /** What comes in from another phone never takes the step from under a hand. @param {Open} open @param {string} shown the step on the screen, or on its way there */
  function keep({ composition, events, visit }, shown) {
    const own = events.filter(({ device }) => device === app.me.device).length;
    const isAtStep = composition.steps.some(({ id }) => id === shown);
    const isClosed = visit.closed !== null && visit.closed.device !== app.me.device;
    const hasMovedOn = away ? statusOf(away) !== saidOfAway || isClosed : isAtStep && (visit.next !== shown || isClosed);
    if (own === ownEntries && hasMovedOn && (away ?? shown)) held = away = away ?? shown;
    if (held !== away) held = null;
    ownEntries = own;
  }

  /** @param {string | null} step null: the next of the day */
  function go(step) {
    const isNext = step === (app.visit(visitId)?.visit.next ?? null);
    away = isNext ? null : step;
    saidOfAway = statusOf(away);
    ownEntries = -1; // by this phone's own wish
    keepPlace(visitId, away);
  }

  /** On from a step that is done or given up. */
  async function goOn() {
    const open = app.visit(visitId);
    go(open ? await findPlace(open, app.me.device, away !== null) : null);
  }

  /** From work done meanwhile back to the step that waits; else to the next of the day. */
  async function goBack() {
    const open = app.visit(visitId);
    const isWaiting = open && waitsOf(open).some(({ instance }) => instance.id === open.visit.next);
    if (isWaiting) go(null);
    else await goOn();
  }

  return {
    current,
    keep,
    go,
    goOn,
    goBack,
    isAsked: () => away !== null && away === asked,
    get away() {
      return away;
    },
    get held() {
      return held;
    },
  };
}

/** The step that Work would show. @param {Open} open @returns {string | null} null when every step is behind */
export function placeOf(open) {
  return placeLeft(open) ?? open.visit.next;
}

/** Where somebody worked while another step waited, when the page went. @param {Open | null} open @returns {string | null} */
function placeLeft(open) {
  const step = open ? lastPlace(open.id) : null;
  if (!open || !step || open.visit.steps[step] || waitsOf(open).length === 0) return null;
  return step !== open.visit.next && open.composition.steps.some(({ id }) => id === step) ? step : null;
}
