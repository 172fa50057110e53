/** How this phone stands with its server and its storage, quietly; and in which light it is read. */

/** @import { App } from "../app/types.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { Button } from "./press.js";
import { timeText } from "./reading-words.js";

const LIGHTS = /** @type {const} */ (["auto", "light", "dark"]);

/** @param {App} app */
export function PhoneState(app) {
  const sync = element("p", { role: "status" });
  const storage = element("p", {});
  const now = Button({ class: "second" }, () => app.sync.now(), words.phone.syncNow);
  const root = element("section", { class: "phone-state" }, element("h2", {}, words.phone.title), sync, storage, now, LightChoice(app));

  function update() {
    const { state, waiting, lastAt } = app.sync;
    const when = lastAt === null ? words.phone.never : words.phone.last(timeText(lastAt));
    sync.textContent = [words.phone.states[state], waiting ? words.phone.waiting(waiting) : words.phone.allSent, when].join(" ");
    storage.textContent = app.storage.persisted ? words.phone.kept : words.phone.notKept;
    now.hidden = state === "unpaired";
  }
  return { root, update };
}

/** As the phone does, paper, or lamp. @param {App} app */
function LightChoice(app) {
  const { theme } = app.preferences;
  const choices = LIGHTS.map((light) => {
    const input = element("input", { type: "radio", name: "light", value: light, checked: light === theme, onchange: () => app.prefer({ theme: light }) });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, words.phone.lights[light]));
  });
  return element("fieldset", { class: "field lights" }, element("legend", {}, words.phone.light), element("div", { class: "row" }, ...choices));
}
