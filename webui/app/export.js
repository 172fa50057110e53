/**
 * The way out when there is no server: everything that only this phone holds, as a file of JSON lines. Entries come
 * first, then photos, each as one line of its own; `fillfirst import` takes the file.
 */

/** @import { Store } from "../storage/store.js" */
/** @import { Photo } from "../storage/photos.js" */

import { tellWallTime } from "../storage/events.js";
import { readRescued } from "../storage/lifeboat.js";
import { readPhotoNamed, readUnsent, readUnsentPhotoNames } from "../storage/rounds.js";

/**
 * @typedef {object} Export
 * @property {File} file
 * @property {boolean} isWhole false where the database could not be read: the file then holds the emergency store, and what else there was
 */

// A longer list of arguments is more than one call takes.
const CHARS_AT_ONCE = 0x8000;

/** @param {Store} store @returns {Promise<Export>} */
export async function makeExport(store) {
  let isWhole = true;
  /** @param {unknown} error @returns {never[]} */
  const miss = (error) => {
    console.warn("The database could not be read for the file.", error);
    isWhole = false;
    return [];
  };
  const events = await readUnsent(store.database).catch(miss);
  const rescued = readRescued().map(({ draft }) => draft);
  const parts = [...events, ...rescued].map((entry) => new Blob([`${JSON.stringify(entry)}\n`]));
  for (const name of await readUnsentPhotoNames(store.database).catch(miss)) {
    const photo = await readPhotoNamed(store.database, name).catch(miss);
    // A part at a time, so that hundreds of photos are never text in memory all at once.
    if (photo && "bytes" in photo) parts.push(new Blob([`${JSON.stringify({ photo: writePhoto(photo) })}\n`]));
  }
  const day = tellWallTime(new Date()).slice(0, 10);
  const name = isWhole ? `fillfirst-${day}.jsonl` : `fillfirst-${day}-in-part.jsonl`;
  return { file: new File(parts, name, { type: "application/jsonl" }), isWhole };
}

/** @param {Photo} photo */
function writePhoto({ sha256, type, bytes }) {
  const all = new Uint8Array(bytes);
  let text = "";
  for (let at = 0; at < all.length; at += CHARS_AT_ONCE) text += String.fromCharCode(...all.subarray(at, at + CHARS_AT_ONCE));
  return { sha256, type, base64: btoa(text) };
}
