/** An entry of a visit that is typed into a sheet: who made it, and the photo that may belong to it. */

/** @import { App, Open } from "../../app/types.js" */

import { lastName } from "../facts/memory.js";
import { nameOf } from "../texts/people.js";

/** Whoever has this phone in hand; nothing where nobody has said. @param {App} app @param {Open} open @returns {{ by?: string }} */
export function signed(app, open) {
  const by = lastName() || nameOf(open.events, app.me.device ?? "");
  return by ? { by } : {};
}

/** @param {App} app @param {string} visit @param {string} kind @param {Record<string, unknown>} payload @param {string} key under which its photo is named @param {File | null} file */
export function recordWith(app, visit, kind, payload, key, file) {
  return file ? app.recordWithPhoto(visit, kind, (sha256) => ({ ...payload, [key]: sha256 }), file) : app.record(visit, kind, payload);
}
