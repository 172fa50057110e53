/** Hands over the file of everything that only this phone holds. */

/** @import { App } from "../../app/types.js" */

import { passOn } from "../../device/files.js";

/** @param {App} app @returns {Promise<boolean>} false when the file holds only a part */
export async function saveUnsent(app) {
  const { file, isWhole } = await app.exportUnsent();
  await passOn(file);
  return isWhole;
}
