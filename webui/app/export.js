/** The way out when there is no server: everything that only this phone holds, as a file of JSON lines. */

/** @import { Store } from "../storage/store.js" */

import { readRescued } from "../storage/lifeboat.js";
import { readUnsent } from "../storage/rounds.js";

/**
 * @typedef {object} Export
 * @property {File} file
 * @property {boolean} isWhole false where the database could not be read: the file then holds the emergency store only
 */

/** @param {Store} store @returns {Promise<Export>} */
export async function makeExport(store) {
  let isWhole = true;
  const events = await readUnsent(store.database).catch((error) => {
    console.warn("The entries in the database could not be read for the file.", error);
    isWhole = false;
    return [];
  });
  const rescued = readRescued().map(({ draft }) => draft);
  const lines = [...events, ...rescued].map((entry) => JSON.stringify(entry));
  const day = new Date().toISOString().slice(0, 10);
  const name = isWhole ? `fillfirst-${day}.jsonl` : `fillfirst-${day}-in-part.jsonl`;
  return { file: new File([lines.map((line) => `${line}\n`).join("")], name, { type: "application/jsonl" }), isWhole };
}
