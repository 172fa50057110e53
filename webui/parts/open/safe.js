/**
 * Make safe, below what is open: the list that closes the car up, each step a tap away, worked out anew after every
 * entry; and what stays undone even then, in words that cannot be overlooked.
 */

/** @import { App, Open } from "../../app/types.js" */
/** @import { SafeList } from "../../core/make-safe.js" */
/** @import { Aim, Instance } from "../../core/types.js" */

import { makeSafe } from "../../core/make-safe.js";
import { stepOf } from "../../core/compose.js";
import { element } from "../../dom/element.js";
import { askForStep } from "./asked-step.js";
import { keepMaking, readMaking } from "./making-safe.js";
import { words } from "../../app/words.js";
import { safeWords } from "../../app/words/make-safe.js";
import { filledText, itemText, knowledgeOf, stateText, variableText } from "../texts/known.js";
import { StopMark, TickMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";

/** @type {Aim[]} */
const AIMS = ["to-stand", "to-drive"];

/** @param {App} app @param {string} visitId */
export function SafeSection(app, visitId) {
  const mine = readMaking(visitId) ?? { aim: AIMS[0] ?? "to-stand", listed: [] };
  const aims = AIMS.map((aim) => ({
    aim,
    button: Button({ class: "safe-aim" }, () => choose(aim), element("b", {}, safeWords[aim]), element("span", { class: "quiet" }, safeWords[`${aim}-says`])),
  }));
  const aimRow = element("div", { class: "safe-aims", role: "group", "aria-label": safeWords.aim }, ...aims.map(({ button }) => button));
  const summary = element("p", { class: "safe-summary", role: "status" });
  const list = element("ol", { class: "safe-list" });
  const left = element("div", { class: "safe-left" });
  const heading = element("h2", { tabindex: "-1" }, safeWords.title);
  const body = element("section", { class: "make-safe", "aria-label": safeWords.title }, heading, element("p", { class: "quiet" }, safeWords.says), aimRow, summary, list, left);

  /** @param {Open} open */
  function update(open) {
    body.hidden = Boolean(open.visit.closed);
    if (body.hidden) return;
    for (const { aim, button } of aims) button.setAttribute("aria-pressed", String(aim === mine.aim));
    show(open, makeSafe(open.catalog, open.composition, open.visit.variables, mine.aim));
  }

  /** @param {Open} open @param {SafeList | null} found */
  function show(open, found) {
    const ahead = new Set(found?.steps);
    const done = mine.listed.filter((id) => open.visit.steps[id]?.status === "done" && !ahead.has(id));
    mine.listed = [...done, ...ahead];
    keepMaking(visitId, mine);
    const instances = new Map([...open.composition.steps, ...open.composition.standby].map((one) => [one.id, one]));
    /** @param {string[]} ids */
    const rows = (ids) => ids.flatMap((id) => instances.get(id) ?? []);
    list.replaceChildren(...rows(done).map((one) => DoneRow(open, one)), ...rows(found?.steps ?? []).map((one, at) => StepRow(open, one, at === 0)));
    summary.textContent = tellSummary(mine.aim, found);
    left.replaceChildren(...tellLeft(open, found));
    left.hidden = left.childElementCount === 0;
  }

  /** @param {Open} open @param {Instance} instance @param {boolean} isNext */
  function StepRow(open, instance, isNext) {
    const title = titleOf(open, instance);
    const go = () => {
      askForStep(visitId, instance.id);
      app.go(`#/work/${visitId}`);
    };
    return element("li", { "data-step": instance.id }, Button({ class: "safe-step", label: safeWords.open(title) }, go, element("span", {}, title), isNext ? element("b", {}, safeWords.next) : null));
  }

  /** @param {Aim} aim */
  function choose(aim) {
    mine.aim = aim;
    const open = app.visit(visitId);
    if (open) update(open);
  }

  /** It was asked for: from here on it is read. */
  function begin() {
    body.scrollIntoView({ block: "start" });
    heading.focus({ preventScroll: true });
  }

  return { root: body, update, begin };
}

/**
 * Steps of the list that were done before their turn: the day goes on as if they had not been, so they come again.
 *
 * @param {Open} open
 * @param {string[]} listed
 */
export function findDoneEarly({ catalog, composition, visit }, listed) {
  const next = composition.steps.findIndex(({ id }) => id === visit.next);
  const early = composition.steps.slice(next < 0 ? composition.steps.length : next);
  return early.filter((one) => listed.includes(one.id) && visit.steps[one.id]?.status === "done" && !stepOf(catalog, one).back).map(({ id }) => id);
}

/** @param {Open} open @param {Instance} instance */
function DoneRow(open, instance) {
  return element("li", { "data-done": "" }, TickMark(), element("span", {}, titleOf(open, instance)), element("span", { class: "quiet" }, safeWords.done));
}

/** @param {Aim} aim @param {SafeList | null} found */
function tellSummary(aim, found) {
  if (!found) return aim === "to-drive" ? safeWords.noDriveList : safeWords.none;
  if (!found.steps.length) return safeWords.finished;
  return safeWords.summary(found.steps.length, words.timers.span(found.seconds));
}

/** What stays undone at the end of the list. @param {Open} open @param {SafeList | null} found */
function tellLeft({ catalog, composition }, found) {
  if (!found) return [element("p", {}, safeWords.noneSays)];
  const told = Object.entries(found.left).filter(([id]) => ["circuit", "closure"].includes(kindOf(id)) || id === "pedal");
  const isUp = "support" in found.left;
  if (!told.length && !isUp) return [];
  const lines = told.map(([id, value]) => element("li", {}, safeWords.stays(variableText(catalog, id), stateText(catalog, composition.variables[id] ?? id, value))));
  return [
    element("h3", {}, StopMark(), safeWords.warning),
    isUp ? element("p", {}, safeWords.stands) : null,
    lines.length ? element("p", {}, safeWords.warningSays) : null,
    lines.length ? element("ul", {}, ...lines) : null,
    element("p", {}, safeWords.tag),
  ].filter((part) => part !== null);

  /** @param {string} id */
  function kindOf(id) {
    return catalog.variables[composition.variables[id] ?? ""]?.kind ?? "";
  }
}

/** @param {Open} open @param {Instance} instance */
function titleOf(open, instance) {
  const step = stepOf(open.catalog, instance);
  const item = itemText(open.catalog, step.each, instance.item);
  const title = filledText(knowledgeOf(open), step.title, item);
  return item && !step.title.includes("{item}") ? `${title} (${item})` : title;
}
