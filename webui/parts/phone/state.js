/** How this phone stands with its server and its storage: one quiet line that leads to all there is to say. */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "../controls/press.js";

/** @param {App} app */
export function PhoneState(app) {
  const line = element("span", { role: "status" });
  const root = Button({ class: "phone-state" }, () => app.go("#/phone"), line);

  function update() {
    const { state, waiting } = app.sync;
    const { persisted, isTight } = app.storage;
    const kept = persisted || waiting === 0 ? "" : words.phone.keep;
    const said = [words.phone.states[state], waiting ? words.phone.waiting(waiting) : words.phone.allSent, isTight ? words.phone.noRoom : kept];
    const text = said.filter(Boolean).join(" ");
    if (line.textContent !== text) line.textContent = text;
  }
  return { root, update };
}
