/** What a sheet says when what was typed could not be written: it stays open, with all of it. */

import { words } from "../../app/words.js";
import { element } from "../../dom/element.js";

export function Trouble() {
  const root = element("p", { class: "trouble", role: "alert", hidden: true });
  /** @param {Promise<unknown>} write @param {() => void} then */
  async function attempt(write, then) {
    try {
      await write;
      then();
    } catch {
      root.hidden = false;
      root.textContent = words.errors.notSaved;
    }
  }
  return { root, attempt };
}
