/** Being let in by the server: a code that works once, shown there and typed here. */

/** @import { Store } from "../storage/store.js" */

import { keepPairing } from "../storage/rounds.js";
import { createServer } from "../sync/server.js";

/** @param {Store} store @param {string} code as typed @param {string} [called] what people call this phone @throws {import("../sync/server.js").ServerError} */
export async function letIn(store, code, called) {
  const name = called || nameThisPhone();
  const { serverId } = await createServer().pair(code.replace(/[\s-]/g, "").toUpperCase(), name);
  await keepPairing(store.database, { serverId, name });
}

/** Something to tell it by in the server's list of devices, until somebody says better. */
export function nameThisPhone() {
  const known = ["iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux"];
  return known.find((word) => navigator.userAgent.includes(word)) ?? "browser";
}
