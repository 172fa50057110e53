/**
 * Make safe, below what is open: the list that closes the car up, each step a tap away, worked out anew after every
 * entry; and what stays undone even then, in words that cannot be overlooked. That the car is being closed up is an
 * entry of the visit, so every phone on it shows the same list.
 */

/** @import { App, Open } from "../../app/types.js" */
/** @import { SafeList } from "../../core/make-safe.js" */
/** @import { Aim, Instance } from "../../core/types.js" */

import { AIMS } from "../../core/closings.js";
import { makeSafeByAndBy } from "../../core/make-safe.js";
import { stepOf } from "../../core/compose.js";
import { element } from "../../dom/element.js";
import { askForStep } from "./asked-step.js";
import { sinceText } from "../texts/closed-up.js";
import { signed } from "./together.js";
import { words } from "../../app/words.js";
import { safeWords } from "../../app/words/make-safe.js";
import { stateText, stepTitleWithItem, variableText } from "../texts/known.js";
import { StopMark, TickMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";

/** @typedef {{ title: string, says: string, act: () => unknown }} Action the one large button below */

/** The screen answers between two slices of the search: so a tap is never kept waiting by it. */
const SLICE_MS = 30;

/** @param {App} app @param {string} visitId @param {{ onList: () => void, attempt: ReturnType<typeof import("../controls/trouble.js").Trouble>["attempt"] }} actions attempt: to write, and to tell if that failed */
export function SafeSection(app, visitId, { onList, attempt }) {
  /** @type {Aim | null} what was chosen here and is no entry yet */
  let chosen = null;
  /** The list as it was worked out last, and from what. @type {{ key: string, found: SafeList | null } | null} */
  let worked = null;
  let waited = "";
  /** @type {Action | null} */
  let action = null;
  let isEntered = false;
  const aims = AIMS.map((aim) => ({
    aim,
    button: Button({ class: "safe-aim" }, () => choose(aim), element("b", {}, safeWords[aim]), element("span", { class: "quiet" }, safeWords[`${aim}-says`])),
  }));
  const aimRow = element("div", { class: "safe-aims", role: "group", "aria-label": safeWords.aim }, ...aims.map(({ button }) => button));
  const says = element("p", { class: "quiet" });
  const summary = element("p", { class: "safe-summary", role: "status" });
  const list = element("ol", { class: "safe-list" });
  const left = element("div", { class: "safe-left" });
  const heading = element("h2", { tabindex: "-1" }, safeWords.title);
  const body = element("section", { class: "make-safe", "aria-label": safeWords.title }, heading, says, aimRow, summary, list, left);

  /** @param {Open} open */
  const aimNow = ({ visit }) => chosen ?? visit.closing_up?.aim ?? "to-stand";

  /** @param {Open} open */
  function update(open) {
    body.hidden = Boolean(open.visit.closed);
    if (body.hidden) return;
    const aim = aimNow(open);
    for (const each of aims) each.button.setAttribute("aria-pressed", String(each.aim === aim));
    says.textContent = tellWhat(open, null);
    const key = `${aim} ${JSON.stringify(open.visit.variables)}`;
    if (worked?.key !== key) return void workOut(open, aim, key);
    waited = "";
    body.setAttribute("aria-busy", "false");
    show(open, aim, worked.found);
  }

  /** What may take a while is told before it is begun, and begun once that is seen. @param {Open} open @param {Aim} aim @param {string} key */
  async function workOut(open, aim, key) {
    if (waited === key) return;
    waited = key;
    action = null;
    body.setAttribute("aria-busy", "true");
    summary.textContent = safeWords.working;
    await new Promise((seen) => requestAnimationFrame(() => setTimeout(seen)));
    const done = await inSlices(makeSafeByAndBy(open.catalog, open.composition, open.visit.variables, aim), () => waited === key);
    if (!done) return;
    waited = "";
    worked = { key, found: done.value };
    body.setAttribute("aria-busy", "false");
    show(app.visit(visitId) ?? open, aim, worked.found);
    onList();
    if (isEntered) body.scrollIntoView({ block: "start" }); // only now is there something to scroll to
    isEntered = false;
  }

  /** @param {Open} open @param {Aim} aim @param {SafeList | null} found */
  function show(open, aim, found) {
    const { closing_up, steps } = open.visit;
    says.textContent = tellWhat(open, found);
    const ahead = new Set(found?.steps);
    const done = (closing_up?.steps ?? []).filter((id) => steps[id]?.status === "done" && !ahead.has(id));
    const instances = new Map([...open.composition.steps, ...open.composition.standby].map((one) => [one.id, one]));
    /** @param {string[]} ids */
    const rows = (ids) => ids.flatMap((id) => instances.get(id) ?? []);
    const next = rows(found?.steps ?? []);
    list.replaceChildren(...rows(done).map((one) => DoneRow(open, one)), ...next.map((one, at) => StepRow(open, one, at === 0)));
    summary.replaceChildren(...tellSummary(aim, found, done.length));
    body.toggleAttribute("data-finished", found?.steps.length === 0);
    left.replaceChildren(...tellLeft(open, found));
    left.hidden = left.childElementCount === 0;
    const [first] = next;
    action = first && found ? { title: closing_up ? safeWords.nextStep : safeWords.begin, says: closing_up ? stepTitleWithItem(open, first) : lengthText(found), act: () => begin(first.id) } : null;
  }

  /** @param {Open} open @param {Instance} instance @param {boolean} isNext */
  function StepRow(open, instance, isNext) {
    const title = stepTitleWithItem(open, instance);
    return element("li", { "data-step": instance.id }, Button({ class: "safe-step", label: safeWords.open(title) }, () => begin(instance.id), element("span", {}, title), isNext ? element("b", {}, safeWords.next) : null));
  }

  /** The list is taken up with its first step, and again where it has come to ask for others. @param {string} step */
  async function begin(step) {
    const open = app.visit(visitId);
    if (!open || !worked?.found) return;
    const { closing_up } = open.visit;
    const [aim, { steps }] = [aimNow(open), worked.found];
    const isNew = !closing_up || closing_up.aim !== aim || steps.some((id) => !closing_up.steps.includes(id));
    const write = isNew ? app.record(visitId, "closing-up", { aim, steps, ...signed(app, open) }) : Promise.resolve();
    await attempt(write, () => {
      chosen = null;
      askForStep(visitId, step);
      app.go(`#/work/${visitId}`);
    });
  }

  /** @param {Aim} aim */
  function choose(aim) {
    chosen = aim;
    const open = app.visit(visitId);
    if (open) update(open);
    onList();
  }

  /** To its heading, so that whoever hears the screen is there too. */
  function enter() {
    heading.focus({ preventScroll: true });
    body.scrollIntoView({ block: "start" });
    isEntered = true;
  }
  return { root: body, update, enter, action: () => action, isFinished: () => worked?.found?.steps.length === 0 };
}

/**
 * Work that may take a while, with room between for what is pressed and drawn; null where it is not wanted any more.
 *
 * @template T
 * @param {Generator<void, T>} work
 * @param {() => boolean} isWanted
 * @returns {Promise<{ value: T } | null>}
 */
async function inSlices(work, isWanted) {
  while (isWanted()) {
    const until = performance.now() + SLICE_MS;
    do {
      const step = work.next();
      if (step.done) return { value: step.value };
    } while (performance.now() < until);
    await new Promise((go) => setTimeout(go));
  }
  return null;
}

/**
 * Steps of the list that were done before their turn: the day goes on as if they had not been, so they come again.
 *
 * @param {Open} open
 */
export function findDoneEarly({ catalog, composition, visit }) {
  const listed = visit.closings.at(-1)?.steps ?? [];
  const next = composition.steps.findIndex(({ id }) => id === visit.next);
  const early = composition.steps.slice(next < 0 ? composition.steps.length : next);
  return early.filter((one) => listed.includes(one.id) && visit.steps[one.id]?.status === "done" && !stepOf(catalog, one).back).map(({ id }) => id);
}

/** @param {Open} open @param {Instance} instance */
function DoneRow(open, instance) {
  return element("li", { "data-done": "" }, TickMark(), element("span", {}, stepTitleWithItem(open, instance)), element("span", { class: "quiet" }, safeWords.done));
}

/** What the list is, and since when the car is being closed up. @param {Open} open @param {SafeList | null} found */
export function tellWhat(open, found) {
  const { closing_up } = open.visit;
  const since = closing_up ? sinceText(open, closing_up) : "";
  const what = found && !found.shortest ? safeWords.saysNotShortest : safeWords.says;
  return closing_up && what === safeWords.says ? since : `${since} ${what}`.trim();
}

/** @param {SafeList} found */
function lengthText({ steps, seconds }) {
  return safeWords.summary(steps.length, words.timers.span(seconds));
}

/** @param {Aim} aim @param {SafeList | null} found @param {number} done */
function tellSummary(aim, found, done) {
  if (!found) return [aim === "to-drive" ? safeWords.noDriveList : safeWords.none];
  if (!found.steps.length) return [TickMark(), element("span", {}, safeWords.finished, " ", element("span", { class: "quiet" }, safeWords.finishedSays))];
  return [done ? safeWords.summaryOn(done, lengthText(found)) : lengthText(found)];
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
