/** A step as it is read aloud: where, what, the numbers with their units in words, and what to beware of. */

/** @import { StepContext } from "./context.js" */

import { element, svg } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { findVoice, say } from "../../device/voice.js";
import { lookUp } from "../texts/known.js";
import { Button } from "../controls/press.js";

/** @param {StepContext} context @returns {string[]} sentences */
export function spokenStep(context) {
  const { step, item, knowledge, open } = context;
  const { catalog } = open();
  const place = step.where ? words.places[step.where] : "";
  const numbers = [...new Set([step.torque, ...step.shows])].flatMap((name) => (name ? spokenNumber(context, name) : []));
  const hazards = step.hazards.flatMap((id) => catalog.hazards[id] ?? []).sort((a, b) => Number(b.level === "danger") - Number(a.level === "danger"));
  const fillIn = /** @param {string} text */ (text) => speakPlaces(knowledge(), text, item);
  const said = [place, fillIn(step.title), fillIn(step.says), ...numbers, ...hazards.map(({ title, says }) => `${words.aloud.beware} ${endSentence(title)} ${says}`)];
  return said.filter(Boolean).map(endSentence);
}

/** @param {StepContext} context @param {string} name */
function spokenNumber({ knowledge }, name) {
  const { label, spoken } = lookUp(knowledge(), name);
  return spoken ? [`${label}: ${spoken}`] : [];
}

/** @param {import("../texts/known.js").Knowledge} knowledge @param {string} text @param {string} item */
function speakPlaces(knowledge, text, item) {
  return text.replace(/\{(\w+)\}/g, (_, name) => (name === "item" ? item : lookUp(knowledge, name).spoken || words.numbers.unknown));
}

/** @param {string} text */
function endSentence(text) {
  return /[.!?:]$/.test(text) ? text : `${text}.`;
}

/** Reads the step when pressed; there only where the phone has a voice of its own. @param {() => string[]} sentences */
export function ReadAloudButton(sentences) {
  const mark = svg("svg", { viewBox: "0 0 36 36", "aria-hidden": "true" }, svg("path", { d: "M6 14v8h6l8 6V8l-8 6zM25 13.5a6.5 6.5 0 0 1 0 9M28.5 9a12 12 0 0 1 0 18" }));
  const root = Button({ class: "read-aloud", label: words.aloud.does }, () => say(sentences()), mark);
  root.hidden = true;
  void findVoice().then((voice) => (root.hidden = voice === null));
  return element("span", { class: "read-aloud-place" }, root);
}
