/** Hands over the file of everything that only this phone holds: to another app where the phone can, else as a download. */

/** @import { App } from "../app/types.js" */

import { element } from "../dom/element.js";

const REVOKE_AFTER_MS = 60_000;

/** @param {App} app @returns {Promise<boolean>} false when the file holds only a part */
export async function saveUnsent(app) {
  const { file, isWhole } = await app.exportUnsent();
  if (navigator.canShare?.({ files: [file] })) await navigator.share({ files: [file] }).catch(() => {});
  else {
    const address = URL.createObjectURL(file);
    element("a", { href: address, download: file.name }).click();
    setTimeout(() => URL.revokeObjectURL(address), REVOKE_AFTER_MS);
  }
  return isWhole;
}
