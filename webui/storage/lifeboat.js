/**
 * Where an entry goes when the database refuses it: localStorage, which is written at once and lives in another file.
 * It is small and never the plan; what is in it moves into the database with the next write that succeeds.
 */

/** @import { Draft } from "./events.js" */

/** @typedef {{ draft: Draft, isVisitOpen: boolean }} Rescued the draft has a name */

const PREFIX = "lifeboat/";

/** Throws what the browser throws when this store is full too. @param {Rescued} rescued */
export function rescue(rescued) {
  localStorage.setItem(PREFIX + rescued.draft.id, JSON.stringify(rescued));
}

/** Oldest first. @returns {Rescued[]} */
export function readRescued() {
  const keys = Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  return keys.sort().flatMap((key) => {
    const rescued = parse(localStorage.getItem(key));
    return rescued ? [rescued] : [];
  });
}

/** They are in the database now. @param {Rescued[]} rescued */
export function release(rescued) {
  for (const { draft } of rescued) localStorage.removeItem(PREFIX + draft.id);
}

/** @param {string | null} text @returns {Rescued | null} */
function parse(text) {
  try {
    const found = JSON.parse(text ?? "null");
    return typeof found?.draft?.id === "string" && typeof found.draft.kind === "string" ? found : null;
  } catch {
    return null; // half-written or another's; it stays where it is
  }
}
