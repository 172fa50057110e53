/** The frame of a working screen: sight glass, where one is, what is open, the body, and the thumb's controls. */

/** @import { App, Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { AwakeMark } from "./awake-mark.js";
import { findOpenThings, findProgress } from "../texts/open-things.js";
import { Button } from "../controls/press.js";
import { SightGlass } from "../drawings/sight-glass.js";

/**
 * @param {App} app
 * @param {string} visitId
 * @param {{ onWhere: () => void }} actions
 */
export function Frame(app, visitId, { onWhere }) {
  const glass = SightGlass();
  const title = element("b", {});
  const place = element("span", {});
  const count = element("span", {});
  const pill = Button({ class: "open-pill" }, () => app.go(`#/open/${visitId}`), count);
  let step = "";
  let screenSays = "";
  const awake = AwakeMark((says) => {
    screenSays = says;
    showPlace();
  });
  const where = Button({ class: "where-one-is" }, onWhere, title, element("span", { class: "place" }, place, awake.root));
  // It scrolls, so the keys must come to it where nothing inside takes them.
  const body = element("div", { class: "body", role: "region", tabindex: "0" });
  const foot = element("footer", {});
  const aside = element("aside", { "aria-label": words.open.title });
  const root = element("div", { class: "frame" }, glass.root, element("header", {}, where, pill), body, foot, aside);

  function showPlace() {
    place.textContent = [step, screenSays].filter(Boolean).join(" · ");
  }

  /** @param {Open} open @param {{ title: string, place: string, colour: string }} what */
  function update(open, what) {
    const { length } = findOpenThings(open, {});
    title.textContent = what.title;
    body.setAttribute("aria-label", what.title);
    step = what.place;
    showPlace();
    count.textContent = words.open.count(length);
    pill.dataset.count = String(length);
    pill.setAttribute("aria-label", words.open.pillLabel(length));
    glass.update(findProgress(open), what.colour);
  }
  return { root, body, foot, aside, pill, update, dispose: awake.dispose };
}
