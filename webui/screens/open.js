/** What is open, loose, empty or running on the car right now: shown first whenever a visit is taken up again. */

/** @import { App, Open, Screen } from "../app/types.js" */

import { element } from "../dom/element.js";
import { forgetMaking, readMaking } from "../parts/open/making-safe.js";
import { words } from "../app/words.js";
import { Contradictions } from "../parts/open/contradictions.js";
import { Frame } from "../parts/frame/frame.js";
import { OpenList } from "../parts/open/list.js";
import { fluidColour } from "../parts/texts/open-things.js";
import { Others } from "../parts/open/others.js";
import { Button } from "../parts/controls/press.js";
import { stepOf } from "../core/compose.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function OpenScreen(app, { visit: visitId }) {
  const frame = Frame(app, visitId, { onWhere: openDay });
  const heading = element("h1", { tabindex: "-1", class: "only-spoken" }, words.open.title);
  const contradictions = Contradictions({ onConfirm: (variable, value) => app.record(visitId, "state-confirmed", { variable, value }) });
  const list = OpenList();
  const others = Others(() => app.me.device);
  /** @type {{ root: HTMLElement, update: (open: Open) => void } | null} */
  let safe = null;
  const offer = Button({ class: "second make-safe-offer", tone: "warning" }, () => makeSafe(true), words.open.makeSafe);
  const place = element("div", {});
  const backText = element("span", {});
  const back = Button({ class: "action" }, goOn, backText);
  const cars = Button({ class: "second" }, () => app.go("#/cars"), words.open.cars);
  frame.body.append(heading, contradictions.root, ...list.parts, others.root, offer, place, cars);
  frame.foot.append(back);
  frame.root.classList.add("open-screen");
  frame.pill.disabled = true;
  let isFocused = false;

  function update() {
    const open = app.visit(visitId);
    if (!open) return;
    const { composition, visit } = open;
    const at = composition.steps.findIndex(({ id }) => id === visit.next);
    frame.update(open, { title: words.open.title, place: `${open.car.plate} · ${open.car.title}`, colour: colourOf(open, at) });
    contradictions.update(open);
    list.update(open);
    others.update(open, { isBegun: true });
    offer.hidden = Boolean(safe || visit.closed);
    safe?.update(open);
    backText.textContent = visit.closed ? words.open.toRecord : at < 0 ? words.open.toClosing : words.open.backTo(at + 1);
    document.title = words.open.documentTitle(open.car.title);
    if (!isFocused) requestAnimationFrame(() => heading.focus({ preventScroll: true }));
    isFocused = true;
  }

  /** What works out the list is fetched when it is wanted. @param {boolean} isAsked */
  async function makeSafe(isAsked) {
    const { SafeSection } = await import("../parts/open/safe.js");
    if (safe) return;
    safe = SafeSection(app, visitId);
    place.replaceChildren(safe.root);
    update();
    if (isAsked) safe.root.scrollIntoView({ block: "start" });
  }

  async function goOn() {
    await takeUpAgain();
    app.go(app.visit(visitId)?.visit.closed ? `#/record/${visitId}` : `#/work/${visitId}`);
  }

  /** What Make safe did before its turn is done again when its turn comes. */
  async function takeUpAgain() {
    const open = app.visit(visitId);
    const made = readMaking(visitId);
    if (!open || !made || open.visit.closed) return;
    const { findDoneEarly } = await import("../parts/open/safe.js");
    for (const id of findDoneEarly(open, made.listed)) await app.record(visitId, "went-back", { from: id, to: id });
    forgetMaking(visitId);
  }

  async function openDay() {
    const open = app.visit(visitId);
    if (open) (await import("../parts/step/day-sheet.js")).openDaySheet(app, open);
  }

  update();
  if (readMaking(visitId)) void makeSafe(false);
  return { root: frame.root, update, dispose: frame.dispose };
}

/** @param {Open} open @param {number} at the step that comes next */
function colourOf({ catalog, composition }, at) {
  const instance = composition.steps[at];
  return instance ? fluidColour(catalog, stepOf(catalog, instance).job) : "none";
}
