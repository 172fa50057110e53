/**
 * A phone may end the page while its camera is open. What was being photographed is written down first, so that the
 * person comes back to the step they left.
 */

/** @typedef {{ visit: string, step: string, at_ms: number }} Wanted */

/** Known to main.js, which asks at every start and must not load this file for it. */
const KEY = "camera";
const FRESH_MS = 15 * 60_000;

/** @param {string} visit @param {string} step */
export function cameraOpened(visit, step) {
  try {
    localStorage.setItem(KEY, JSON.stringify({ visit, step, at_ms: Date.now() }));
  } catch {
    // No room even for this: the photo matters more than the way back.
  }
}

/** The page has lived to see the picture, or to hear that there is none. */
export function cameraClosed() {
  localStorage.removeItem(KEY);
}

/** The photo that was wanted when the page ended a moment ago, if it did. @param {string} visit @returns {Wanted | null} */
export function cameraLost(visit) {
  try {
    /** @type {Wanted | null} */
    const wanted = JSON.parse(localStorage.getItem(KEY) ?? "null");
    return wanted?.visit === visit && Date.now() - wanted.at_ms < FRESH_MS ? wanted : null;
  } catch {
    return null;
  }
}
