/** Above a step, where two people are on one car: what must be settled, who works here, and what the other did. */

/** @import { App, Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words as common } from "../../app/words.js";
import { together as words } from "../../app/words/together.js";
import { closedUpWords } from "../../app/words/closed-up.js";
import { sinceText } from "../texts/closed-up.js";
import { Contradictions } from "./contradictions.js";
import { keepName, lastName } from "../facts/memory.js";
import { nameOf, whoText } from "../texts/people.js";
import { Others } from "./others.js";
import { Button } from "../controls/press.js";
import { momentText } from "../texts/reading-words.js";

/**
 * @param {App} app
 * @param {{ onConfirm: (variable: string, value: string) => unknown, onGoOn: () => void, onList: () => void }} actions
 */
export function Together(app, { onConfirm, onGoOn, onList }) {
  const contradictions = Contradictions({ onConfirm });
  const others = Others(() => app.me.device);
  const text = element("p", { role: "status" });
  const onward = Button({ class: "second" }, onGoOn);
  const moved = element("section", { class: "moved-on", hidden: true }, text, onward);
  const closingText = element("p", { role: "status" });
  const closing = element("section", { class: "closing-note", hidden: true }, closingText, Button({ class: "second" }, onList, closedUpWords.toList));
  const name = element("input", { id: "who-works", type: "text", autocomplete: "name", "aria-describedby": "who-works-said" });
  const says = element("p", { class: "quiet", id: "who-works-said" }, words.whoSays);
  const asking = element("section", { class: "field", hidden: true }, element("label", { for: "who-works" }, words.whoWorks), says, name, Button({ class: "second" }, keep, words.thatIsMe));
  const root = element("div", { class: "together" }, contradictions.root, closing, moved, asking, others.root);

  function keep() {
    const told = name.value.trim();
    if (!told) return name.focus();
    keepName(told);
    asking.hidden = true;
  }

  /** @param {Open} open @param {string | null} held the step that is kept on screen though the day has moved on @param {boolean} isListed the step is one of the list that closes the car up */
  function update(open, held, isListed) {
    const { closing_up, disputed_closing } = open.visit;
    const says = disputed_closing.length ? closedUpWords.disputed : closing_up && !isListed ? sinceText(open, closing_up) : "";
    closing.hidden = !says;
    if (says !== closingText.textContent) closingText.textContent = says;
    contradictions.update(open);
    others.update(open);
    asking.hidden = !isGuest(app, open) || Boolean(lastName() || nameOf(open.events, app.me.device ?? ""));
    moved.hidden = held === null;
    if (held !== null) others.root.hidden = true;
    if (held !== null) text.textContent = heldText(open, held);
    onward.textContent = open.visit.closed ? common.open.toRecord : words.goOn;
    root.hidden = [...root.children].every((part) => /** @type {HTMLElement} */ (part).hidden);
  }
  return { root, update };
}

/** @param {Open} open @param {string} held */
function heldText(open, held) {
  const { closed } = open.visit;
  if (closed) return words.closedBy(whoText(open, { device: closed.device, by: closed.payload.by }), momentText(closed.wall));
  const status = open.visit.steps[held];
  if (!status) return words.movedOn;
  return (status.status === "done" ? words.doneBy : words.skippedBy)(whoText(open, status), momentText(status.at));
}

/** Whether another phone began this visit. @param {App} app @param {Open} open */
export function isGuest(app, { visit }) {
  return Boolean(visit.opened && app.me.device && visit.opened.device !== app.me.device);
}

/** The name that steps of this phone carry: none where it began the visit, as that entry names its person. @param {App} app @param {Open} open @returns {{ by?: string }} */
export function signed(app, open) {
  const by = isGuest(app, open) ? lastName() || nameOf(open.events, app.me.device ?? "") : "";
  return by ? { by } : {};
}
