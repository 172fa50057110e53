/** What is open, loose, empty or running on the car right now: shown first whenever a visit is taken up again. */

/** @import { App, Open, Screen } from "../app/types.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { closingLines } from "../parts/texts/closed-up.js";
import { Contradictions } from "../parts/open/contradictions.js";
import { Frame } from "../parts/frame/frame.js";
import { OpenList } from "../parts/open/list.js";
import { fluidColour } from "../parts/texts/open-things.js";
import { Others } from "../parts/open/others.js";
import { signed } from "../parts/open/together.js";
import { WhichGoes } from "../parts/open/which-goes.js";
import { placeOf } from "../parts/step/place.js";
import { Button } from "../parts/controls/press.js";
import { Trouble } from "../parts/controls/trouble.js";
import { stepOf } from "../core/compose.js";

/**
 * @param {App} app
 * @param {{ visit: string }} params
 * @returns {Screen}
 */
export function OpenScreen(app, { visit: visitId }) {
  const frame = Frame(app, visitId, { onWhere: openDay });
  const heading = element("h1", { tabindex: "-1", class: "only-spoken" }, words.open.title);
  const trouble = Trouble();
  const contradictions = Contradictions({ onConfirm: (variable, value) => trouble.attempt(app.record(visitId, "state-confirmed", { variable, value })) });
  const whichGoes = WhichGoes({ onCloseUp: settleClosing, onGoOn: goOn });
  const list = OpenList();
  const others = Others(() => app.me.device);
  const past = element("ul", { class: "closings quiet" });
  /** @type {ReturnType<typeof import("../parts/open/safe.js").SafeSection> | null} */
  let safe = null;
  const offer = Button({ class: "second make-safe-offer", tone: "warning" }, () => makeSafe(true), words.open.makeSafe);
  const place = element("div", {});
  const leadText = element("span", { class: "lead-text" });
  const lead = Button({ class: "action" }, () => (safe?.action()?.act ?? goOn)(), leadText);
  const backText = element("span", {});
  const back = Button({ class: "second" }, goOn, backText);
  const cars = Button({ class: "second" }, () => app.go("#/cars"), words.open.cars);
  frame.body.append(heading, contradictions.root, whichGoes.root, ...list.parts, others.root, past, offer, place, cars);
  frame.foot.append(trouble.root, lead, back);
  frame.root.classList.add("open-screen");
  frame.pill.disabled = true;
  let isFocused = false;

  function update() {
    const open = app.visit(visitId);
    if (!open) return;
    const { composition, visit } = open;
    const next = placeOf(open);
    const at = composition.steps.findIndex(({ id }) => id === next);
    frame.update(open, { title: words.open.title, place: `${open.car.plate} · ${open.car.title}`, colour: colourOf(open, at) });
    contradictions.update(open);
    whichGoes.update(open);
    list.update(open);
    others.update(open, { isBegun: true });
    past.replaceChildren(...closingLines(open).map((line) => element("li", {}, line)));
    past.hidden = visit.closings.every(({ again }) => !again);
    offer.hidden = Boolean(safe || visit.closed);
    if (visit.closing_up && !safe) void makeSafe(false);
    safe?.update(open);
    updateFoot(open, visit.closed ? words.open.toRecord : at < 0 ? words.open.toClosing : words.open.backTo(at + 1));
    document.title = words.open.documentTitle(open.car.title);
    if (!isFocused) requestAnimationFrame(() => heading.focus({ preventScroll: true }));
    isFocused = true;
  }

  /** One large button: the step that comes next, or the way back to the day. @param {Open} open @param {string} says */
  function updateFoot({ visit }, says) {
    const action = visit.closed ? null : safe?.action();
    const isDone = visit.closing_up && safe?.isFinished();
    const title = action?.title ?? (isDone ? words.open.takeUp : says);
    leadText.replaceChildren(element("b", {}, title), ...(action ? [element("span", {}, action.says)] : isDone ? [element("span", {}, says)] : []));
    backText.textContent = says;
    back.hidden = !action;
  }

  /** What works out the list is fetched when it is wanted. @param {boolean} isAsked */
  async function makeSafe(isAsked) {
    const { SafeSection } = await import("../parts/open/safe.js");
    if (safe) return;
    safe = SafeSection(app, visitId, { onList: update, attempt: trouble.attempt });
    place.replaceChildren(safe.root);
    update();
    if (isAsked) safe.enter();
  }

  function goOn() {
    return trouble.attempt(takeUpAgain(), () => app.go(app.visit(visitId)?.visit.closed ? `#/record/${visitId}` : `#/work/${visitId}`));
  }

  /** What Make safe did before its turn is done again when its turn comes. */
  async function takeUpAgain() {
    const open = app.visit(visitId);
    if (!open || open.visit.closed || !(open.visit.closing_up || open.visit.disputed_closing.length)) return;
    const { findDoneEarly } = await import("../parts/open/safe.js");
    for (const id of findDoneEarly(open)) await app.record(visitId, "went-back", { from: id, to: id });
    await app.record(visitId, "taken-up-again", signed(app, open));
  }

  /** Whoever has seen both says that the car is closed up. */
  async function settleClosing() {
    const open = app.visit(visitId);
    const last = open?.visit.closings.at(-1);
    if (open && last) await trouble.attempt(app.record(visitId, "closing-up", { aim: last.aim, steps: last.steps, ...signed(app, open) }));
  }

  async function openDay() {
    const open = app.visit(visitId);
    if (open) (await import("../parts/step/day-sheet.js")).openDaySheet(app, open);
  }

  update();
  return { root: frame.root, update, dispose: frame.dispose };
}

/** @param {Open} open @param {number} at the step that comes next */
function colourOf({ catalog, composition }, at) {
  const instance = composition.steps[at];
  return instance ? fluidColour(catalog, stepOf(catalog, instance).job) : "none";
}
