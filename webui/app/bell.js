/**
 * A timer that ends is heard wherever in the app one is. Deadlines are what the entries say, so a page that was
 * reloaded rings for a timer it did not start; one that slept through the end keeps quiet and shows how long ago it was.
 */

/** @import { App } from "./types.js" */

import { canBeHeard, hush, ring, unlockSound } from "../device/sound.js";

const LATE_MS = 30_000;
/** Phones differ by seconds. */
const AHEAD_MS = 60_000;

/** @typedef {{ key: string, at_ms: number }} End */

/** @param {App} app */
export function watchTimers(app) {
  /** @type {Set<string>} */
  const past = new Set();
  let timer = 0;

  function look() {
    clearTimeout(timer);
    const ends = app.preferences.sound ? app.visits().flatMap((summary) => (summary.closedAt === null ? endsOf(app, summary.id) : [])) : [];
    const ahead = ends.filter(({ key }) => !past.has(key));
    const now = Date.now();
    for (const { key, at_ms } of ahead.filter((end) => end.at_ms <= now)) {
      past.add(key);
      if (now - at_ms < LATE_MS) void ring();
    }
    const next = Math.min(...ahead.filter((end) => end.at_ms > now).map((end) => end.at_ms));
    if (Number.isFinite(next)) timer = setTimeout(look, next - now);
    return Number.isFinite(next);
  }

  app.subscribe(look);
  document.addEventListener("visibilitychange", look);
  addEventListener("pointerdown", hush, { passive: true });
  // The tap that started it has unlocked the sound; after a reload or a lock any tap does.
  addEventListener("pointerup", () => !canBeHeard() && look() && void unlockSound(), { passive: true });
  look();
}

/** When what waits in a visit has waited long enough, and when too long: hands may be at any other step. @param {App} app @param {string} visitId @returns {End[]} */
function endsOf(app, visitId) {
  const visit = app.visit(visitId)?.visit;
  if (!visit) return [];
  const running = Object.entries(visit.timers).filter(([step]) => !visit.steps[step]);
  // A start that is yet to come was told by another time than this phone's: the step asks about it.
  return running.filter(([, { started_ms }]) => started_ms <= Date.now() + AHEAD_MS).flatMap(([step, timer]) =>
    [timer.least_s, timer.most_s].flatMap((span_s) =>
      span_s ? [{ key: `${visitId} ${step} ${timer.started_ms} ${span_s}`, at_ms: timer.started_ms + 1000 * span_s }] : [],
    ),
  );
}
