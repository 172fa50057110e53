/** What a sheet or a screen says when something could not be written: it stays as it is, with all that was typed. */

import { words } from "../../app/words.js";
import { element } from "../../dom/element.js";

export function Trouble() {
  const root = element("p", { class: "trouble", role: "alert", hidden: true });
  /** @param {Promise<unknown>} write @param {() => void} [then] */
  async function attempt(write, then = () => {}) {
    try {
      await write;
      root.hidden = true;
      then();
    } catch {
      root.hidden = false;
      root.textContent = words.errors.notSaved;
    }
  }
  return { root, attempt };
}
