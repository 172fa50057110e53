/** @import { App, Screen } from "../app/types.js" */

import { nameThisPhone } from "../app/pairing.js";
import { element } from "../dom/element.js";

/**
 * The first screen of a phone the server does not know: one field for the code that the server shows.
 *
 * @param {App} app
 * @returns {Screen}
 */
export function LetInScreen(app) {
  const { words } = app;
  const field = element("input", {
    id: "code",
    type: "text",
    autocomplete: "one-time-code",
    autocapitalize: "characters",
    spellcheck: "false",
    required: true,
  });
  const name = element("input", { id: "phone-name", type: "text", autocomplete: "off", maxlength: "60", value: app.me.name || nameThisPhone() });
  const problem = element("p", { role: "alert" });
  const button = element("button", { type: "submit" }, words.letIn.does);
  const form = element("form", { onsubmit: send }, element("label", { for: "code" }, words.letIn.code), field, element("label", { for: "phone-name" }, words.letIn.name), name, button);
  const root = element("section", { class: "let-in" }, element("h1", {}, words.letIn.title), element("p", {}, words.letIn.says), form, problem);

  /** @param {SubmitEvent} event */
  async function send(event) {
    event.preventDefault();
    button.disabled = true;
    problem.textContent = "";
    try {
      await app.pair(field.value, name.value.trim());
      app.go("#/cars");
    } catch (error) {
      problem.textContent = explain(error);
    } finally {
      button.disabled = false;
    }
  }

  /** @param {unknown} error */
  function explain(error) {
    const code = error instanceof Error ? Reflect.get(error, "code") : null;
    if (code === "refused") return words.letIn.wrong;
    return code === "offline" ? words.letIn.unreachable : String(error);
  }

  return { root, update() {} };
}
