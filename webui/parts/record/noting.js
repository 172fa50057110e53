/** An entry of a visit that is typed into a sheet: who made it, and the photo that may belong to it. */

/** @import { App, Open } from "../../app/types.js" */

/** @param {Open} open whoever closed it, or began it */
export function nameOf({ visit }) {
  return String(visit.closed?.payload.by || visit.opened?.payload.by || "");
}

/** @param {App} app @param {string} visit @param {string} kind @param {Record<string, unknown>} payload @param {string} key under which its photo is named @param {File | null} file */
export function recordWith(app, visit, kind, payload, key, file) {
  return file ? app.recordWithPhoto(visit, kind, (sha256) => ({ ...payload, [key]: sha256 }), file) : app.record(visit, kind, payload);
}
