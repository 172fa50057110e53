/** The end of the visit: nothing left unfinished, or each thing named; then it is held to close. */

/** @import { App, Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { record as recordWords } from "../../app/words/record.js";
import { evaluateFigure } from "../../core/figures.js";
import { unfinished } from "../../core/gate.js";
import { foldAfterwards } from "../../core/history.js";
import { stateText, variableText } from "../texts/known.js";
import { TickMark, WarningMark } from "../drawings/marks.js";
import { Button, HoldButton } from "../controls/press.js";
import { ClosingHours } from "./closing-hours.js";
import { unfinishedClosing } from "./unfinished.js";
import { openPackSheet, packText } from "../record/pack.js";

/**
 * @param {App} app
 * @param {Open} open
 * @param {(kind: string, payload: Record<string, unknown>) => Promise<unknown>} record
 */
export function ClosingCard(app, open, record) {
  const left = unfinished(open.catalog, open.composition, open.visit.variables);
  const skipped = Object.values(open.visit.steps).filter(({ status }) => status === "skipped").length;
  const heading = element("h1", { tabindex: "-1" }, left.length ? words.closing.notAllDone : words.closing.title);
  const begun = unfinishedClosing(open.id, "name");
  const by = element("input", { id: "closed-by", type: "text", autocomplete: "name", value: begun.text || String(open.visit.opened?.payload.by ?? ""), oninput: () => begun.keep(by.value) });
  const rows = left.map(({ variable, found, expected }) => {
    const base = variable.split("@")[0] ?? "";
    const say = /** @param {string} value */ (value) => stateText(open.catalog, base, value);
    const state = words.closing.isNow(say(found), expected.map(say).join(words.stops.or));
    return element("li", {}, WarningMark(), element("span", {}, variableText(open.catalog, variable), element("br", {}), element("span", { class: "quiet" }, state)));
  });
  const packs = Packs(app, open);
  const hours = ClosingHours(app, open);
  const parts = [
    heading,
    element("p", { class: "says" }, left.length ? words.closing.notAllDoneSays : words.closing.says),
    rows.length ? element("ul", { class: "unfinished" }, ...rows) : element("div", { class: "big-tick" }, TickMark()),
    rows.length ? Button({ class: "second" }, () => app.go(`#/open/${open.id}`), words.stops.toOpen) : null,
    skipped ? element("p", { class: "quiet" }, words.closing.skippedCount(skipped)) : null,
    packs.root,
    hours?.root,
    element("div", { class: "field" }, element("label", { for: "closed-by" }, words.closing.by), by),
  ].filter((part) => part instanceof HTMLElement);
  const tone = left.length ? "warning" : undefined;
  const does = left.length ? words.closing.doesNamed : words.closing.does;
  const hold = HoldButton({ class: "action", tone, confirm: words.closing.confirm }, close, does);

  async function close() {
    if (hours && !(await hours.keep())) return;
    const event = await record("visit-closed", { figures: figuresOf(open), by: by.value.trim() });
    if (!event) return;
    begun.keep("");
    app.go(`#/record/${open.id}`);
  }
  return { parts, heading, foot: hold.root, update: packs.update };
}

/** Batch and label of each fluid that went in: nobody must, but the packs are at hand now. @param {App} app @param {Open} first */
function Packs(app, first) {
  const root = element("div", { class: "packs" });
  let drawn = -1;

  function update() {
    const open = app.visit(first.id) ?? first;
    if (open.events.length === drawn) return;
    drawn = open.events.length;
    const circuits = open.composition.jobs.flatMap((job) => open.catalog.jobs[job]?.renews ?? []).filter((circuit) => open.visit.variables[`${circuit}.fluid`] === "new");
    const noted = foldAfterwards(open.events).fluids;
    root.hidden = circuits.length === 0;
    root.replaceChildren(element("p", { class: "quiet" }, recordWords.packsAsk), ...circuits.map((circuit) => PackButton(app, open, circuit, noted[circuit])));
  }
  return { root, update };
}

/** @param {App} app @param {Open} open @param {string} circuit @param {import("../../core/history.js").Afterwards["fluids"][string] | undefined} known */
function PackButton(app, open, circuit, known) {
  const title = variableText(open.catalog, circuit);
  const says = packText(known) || recordWords.packAdd;
  const show = () => openPackSheet(app, open, { circuit, title }, known);
  return Button({ class: "second pack" }, show, element("span", {}, element("b", {}, title), element("span", { class: "quiet" }, says)));
}

/** Every figure of the chosen jobs that has a value, as it stands now. @param {Open} open */
function figuresOf({ catalog, composition, jobs, visit }) {
  const present = new Set([...jobs, ...composition.steps.map(({ step }) => step.split("/")[0])]);
  /** @type {Record<string, unknown>} */
  const figures = {};
  for (const [name, { job }] of Object.entries(/** @type {import("../../core/types.js").Catalog} */ (catalog).figures)) {
    const { value } = present.has(job) ? evaluateFigure(catalog, name, visit.values) : { value: undefined };
    if (value !== undefined) figures[name] = value;
  }
  return figures;
}
