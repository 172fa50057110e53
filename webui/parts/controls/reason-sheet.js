/** A reason in a person's own words, asked for before something is passed over or overruled. */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button, HoldButton } from "./press.js";
import { LEFT, openSheet } from "./sheet.js";

/**
 * @typedef {object} Asked
 * @property {string} title
 * @property {string} says
 * @property {string} label
 * @property {string[]} [offers] reasons that one tap writes
 * @property {string} does
 * @property {string} [confirm] given where the button is held: the words of its keyboard equal
 * @property {{ text: string, keep: (text: string) => void }} [begun] what was being written when the page went, and what is now
 * @property {(reason: string) => Promise<boolean>} onReason true once it is kept
 */

const UNKEPT = { text: "", keep: () => {} };

/** @param {Asked} asked */
export function askReason({ title, says, label, offers = [], does, confirm, begun = UNKEPT, onReason }) {
  const area = element("textarea", { id: "reason", rows: "3", "aria-describedby": "reason-said", dir: "auto", value: begun.text, oninput: () => begun.keep(area.value) });
  const said = element("p", { class: "said", id: "reason-said", role: "alert" });
  const field = element("div", { class: "field" }, element("label", { for: "reason" }, label), area, said);
  const chips = offers.map((offer) => Button({ class: "second" }, () => write(offer), offer));
  const button = confirm
    ? HoldButton({ class: "action", tone: "warning", confirm }, send, does).root
    : Button({ class: "action" }, send, does);
  const sheet = openSheet(title, [element("p", {}, says), element("div", { class: "offers" }, ...chips), field], [button]);

  // Whoever closes the sheet has thought better of it.
  sheet.addEventListener("close", () => sheet.returnValue !== LEFT && begun.keep(""));

  /** @param {string} reason */
  function write(reason) {
    area.value = reason;
    begun.keep(reason);
  }

  async function send() {
    const reason = area.value.trim();
    field.toggleAttribute("data-wrong", !reason);
    said.textContent = reason ? "" : words.work.needsReason;
    if (!reason) area.focus();
    else if (await onReason(reason)) sheet.close();
    else said.textContent = words.errors.notSaved;
  }
}
