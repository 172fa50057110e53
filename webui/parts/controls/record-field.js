/** Fields of the record's sheets: a line of text that may be asked for, and a photo. */

import { element } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { Button } from "./press.js";

/** @param {{ id: string, label: string, says?: string, value?: string, needed?: string, inputmode?: string }} look needed: what is said where nothing is typed */
export function TextField({ id, label, says = "", value = "", needed = "", inputmode = "text" }) {
  const input = element("input", { id, type: "text", inputmode, autocomplete: "off", value, "aria-describedby": `${id}-said` });
  const said = element("p", { class: "said", id: `${id}-said` }, says);
  const root = element("div", { class: "field" }, element("label", { for: id }, label), input, said);

  /** @returns {string | null} null where something is needed and not there */
  function read() {
    const text = input.value.trim();
    return text || !needed ? text : refuse(needed);
  }

  /** @param {string} why @returns {null} */
  function refuse(why) {
    root.toggleAttribute("data-wrong", true);
    said.textContent = why;
    input.focus();
    return null;
  }
  return { root, input, read, refuse };
}

/** A photo that belongs to what is typed in; nothing is kept before the sheet is. @param {string} label */
export function PhotoField(label) {
  const told = element("span", { class: "quiet", role: "status" });
  const input = element("input", { type: "file", accept: "image/*", capture: "environment", hidden: true, "aria-label": label, onchange: () => (told.textContent = input.files?.[0] ? words.photoTaken : "") });
  const root = element("div", { class: "photo-field" }, Button({ class: "second" }, () => input.click(), label), told, input);
  return { root, read: () => input.files?.[0] ?? null };
}
