/** Letting a phone in: a one-time code with its time running out, and the way the new phone goes. */

/** @import { House } from "../../app/types.js" */
/** @import { Code, Role } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { house as words } from "../../app/words/house.js";
import { Button } from "../controls/press.js";
import { clockText } from "../texts/reading-words.js";
import { openSheet } from "../controls/sheet.js";

const BEAT_MS = 1_000;
/** How often the house is asked whether the code was used. */
const LOOK_EVERY_BEATS = 3;

/** @param {House} house @param {(error: unknown) => void} tell */
export function LetInSection(house, tell) {
  /** @param {Role} role */
  const ask = (role) => house.makeCode(role).then((code) => openCodeSheet(house, code), tell);
  return element(
    "section",
    {},
    element("h2", {}, words.letIn),
    element("p", {}, words.letInSays),
    element("div", { class: "row" }, Button({ class: "second" }, () => ask("helper"), words.asHelper), Button({ class: "second" }, () => ask("owner"), words.asOwner)),
  );
}

/** @param {House} house @param {Code} code */
function openCodeSheet(house, code) {
  const ends_ms = performance.now() + code.lasts_s * 1_000;
  const before = new Set(house.state.devices.map(({ id }) => id));
  const left = element("p", { class: "code-left" });
  const told = element("p", { role: "status", class: "code-told" });
  const sheet = openSheet(words.code, [
    element("p", { class: "code" }, code.code),
    left,
    told,
    element("img", { class: "qr", src: "/setup/code.svg", alt: words.qr, width: "240", height: "240" }),
    element("p", { class: "address" }, code.setup),
    element("p", { class: "quiet" }, words.codeOf[code.role]),
    element("ol", { class: "plain-steps" }, ...words.codeSteps.map((step) => element("li", {}, step))),
  ]);
  let beats = 0;
  const timer = setInterval(beat, BEAT_MS);
  sheet.addEventListener("close", () => clearInterval(timer));
  show();

  function beat() {
    beats += 1;
    if (beats % LOOK_EVERY_BEATS === 0) void house.look();
    show();
  }

  function show() {
    const left_s = (ends_ms - performance.now()) / 1_000;
    const used = house.state.devices.find(({ id }) => !before.has(id));
    left.hidden = used !== undefined;
    left.textContent = left_s > 0 ? words.codeLeft(clockText(left_s)) : words.codeOver;
    if (used) told.textContent = words.codeUsed(used.name);
    if (used || left_s <= 0) clearInterval(timer);
  }
}
