/**
 * Which visits this phone is making safe, and the steps their lists had: kept over a reload, so that a visit taken up
 * again knows which of its steps were done early. Nothing is lost with it: the entries themselves are in the log.
 */

/** @import { Aim } from "../../core/types.js" */

/** @typedef {{ aim: Aim, listed: string[] }} Making */

/** @param {string} visit */
const keyOf = (visit) => `fillfirst/making-safe/${visit}`;

/** @param {string} visit @returns {Making | null} */
export function readMaking(visit) {
  try {
    const { aim, listed } = JSON.parse(localStorage.getItem(keyOf(visit)) ?? "null") ?? {};
    return (aim === "to-stand" || aim === "to-drive") && Array.isArray(listed) ? { aim, listed: listed.map(String) } : null;
  } catch {
    return null;
  }
}

/** @param {string} visit @param {Making} making */
export function keepMaking(visit, making) {
  try {
    localStorage.setItem(keyOf(visit), JSON.stringify(making));
  } catch {
    // Without room the list is worked out anew all the same.
  }
}

/** @param {string} visit */
export function forgetMaking(visit) {
  localStorage.removeItem(keyOf(visit));
}
