/** The sheet that comes up from below and holds whatever is one tap behind something else. */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "./press.js";

/** What a sheet returns that nobody closed: the screen it stands on was left. */
export const LEFT = "left";

/**
 * Open a sheet; it is gone from the page once closed, and focus goes back to where it was. It goes with its screen, as
 * where the browser's way back leads away: what it asks is about what stands behind it.
 *
 * @param {string} title
 * @param {import("../../dom/element.js").Child[]} inside
 * @param {HTMLElement[]} [foot] buttons above the one that closes
 */
export function openSheet(title, inside, foot = []) {
  const address = location.hash;
  const heading = element("h2", { tabindex: "-1" }, title);
  // It scrolls, so the keys must come to it where nothing inside takes them.
  const content = element("div", { class: "inside", role: "region", tabindex: "0" }, heading, ...inside);
  const close = Button({ class: "second" }, () => root.close(), words.parts.close);
  const root = element(
    "dialog",
    { class: "sheet", onclose: goAway, onclick: closeOnVeil },
    content,
    element("div", { class: "foot" }, ...foot, close),
  );

  /** @param {MouseEvent} event */
  function closeOnVeil(event) {
    if (event.target === root) root.close();
  }

  function leave() {
    if (location.hash !== address) root.close(LEFT);
  }

  function goAway() {
    removeEventListener("hashchange", leave);
    root.remove();
  }

  addEventListener("hashchange", leave);
  heading.id = `sheet-${Math.random().toString(36).slice(2)}`;
  for (const one of [root, content]) one.setAttribute("aria-labelledby", heading.id);
  document.body.append(root);
  root.showModal();
  heading.focus();
  return root;
}
