/** Ten seconds in which the last tick is taken back with one tap; after that "Back one" still does it. */

/** @import { Event } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "../controls/press.js";

const SHOWN_MS = 10_000;

/** @param {{ onUndo: (event: Event) => Promise<Event | null> }} actions null: it could not be taken back, and that was told */
export function UndoBar({ onUndo }) {
  /** @type {Event | null} */
  let last = null;
  let timer = 0;
  const text = element("span", {});
  const spoken = element("p", { class: "only-spoken", role: "status" });
  const bar = element("div", { class: "undo-bar", hidden: true }, text, Button({ class: "plain" }, undo, words.work.undo));
  const root = element("div", { class: "undo" }, bar, spoken);

  async function undo() {
    if (!last) return;
    const event = last;
    hide();
    if (await onUndo(event)) spoken.textContent = words.work.undone;
  }

  function hide() {
    last = null;
    bar.hidden = true;
    clearTimeout(timer);
  }

  /** @param {Event} event @param {string} says */
  function show(event, says) {
    last = event;
    text.textContent = says;
    spoken.textContent = says;
    bar.hidden = false;
    clearTimeout(timer);
    timer = setTimeout(hide, SHOWN_MS);
  }
  return { root, show, hide };
}
