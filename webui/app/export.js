/** The way out when there is no server: everything that only this phone holds, as a file of JSON lines. */

/** @import { Store } from "../storage/store.js" */

import { readRescued } from "../storage/lifeboat.js";
import { readUnsent } from "../storage/rounds.js";

/** @param {Store} store @returns {Promise<File>} */
export async function makeExport(store) {
  const events = await readUnsent(store.database).catch(() => []);
  const rescued = readRescued().map(({ draft }) => draft);
  const lines = [...events, ...rescued].map((entry) => JSON.stringify(entry));
  const day = new Date().toISOString().slice(0, 10);
  return new File([lines.map((line) => `${line}\n`).join("")], `fillfirst-${day}.jsonl`, { type: "application/jsonl" });
}
