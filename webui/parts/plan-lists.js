/** The lists of a plan: what to buy, what to lay out, and how the day goes. */

/** @import { Equipment } from "../core/types.js" */
/** @import { Knowledge } from "./known.js" */
/** @import { Line, Spent } from "./plan-model.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { Button } from "./press.js";
import { fixedText } from "./unit-amount.js";

/** @param {Knowledge} knowledge @param {{ fluids: Line[], parts: Line[] }} supplies */
export function BuyList(knowledge, { fluids, parts }) {
  return [
    fluids.length > 0 && element("ul", { class: "buy" }, ...fluids.map((line) => FluidLine(knowledge, line))),
    parts.length > 0 && element("h3", {}, words.plan.parts),
    parts.length > 0 && element("ul", { class: "buy parts" }, ...parts.map(PartLine)),
  ].filter((part) => part instanceof HTMLElement);
}

/** @param {Knowledge} knowledge @param {Line} line */
function FluidLine(knowledge, { supply, approval, grade, amount, figure, packs }) {
  const fluid = supply.fluid ? knowledge.catalog.fluids[supply.fluid] : undefined;
  const drop = element("i", { class: "drop", "aria-hidden": "true" });
  drop.style.setProperty("--fluid-colour", `var(--fluid-${fluid?.colour ?? "none"})`);
  const quantity = figure
    ? Button({ class: "plain amount" }, async () => (await import("./number-sheet.js")).openNumberSheet(knowledge, figure), amount || "–")
    : element("b", { class: "amount" }, amount && fixedText(knowledge.catalog, amount));
  return element(
    "li",
    {},
    drop,
    element(
      "span",
      {},
      element("b", {}, supply.title),
      element("span", { class: "quiet" }, [approval && words.plan.approval(approval), grade].filter(Boolean).join(" · ")),
      packs && element("span", { class: "quiet" }, words.plan.packs(packs.text, packs.leftText)),
    ),
    quantity,
  );
}

/** @param {Line} line */
function PartLine({ supply, jobs, count }) {
  return element("li", {}, element("span", {}, supply.title, element("span", { class: "quiet" }, jobs.join(", "))), element("b", { class: "amount" }, count === null ? "" : words.plan.pieces(count)));
}

/** @param {{ tools: { title: string, sizes: string[] }[], equipment: Equipment[] }} needed */
export function ToolList({ tools, equipment }) {
  return [
    element("ul", { class: "tools" }, ...tools.map(({ title, sizes }) => element("li", {}, element("span", {}, title), element("b", {}, sizes.join(", "))))),
    equipment.length > 0 && element("h3", {}, words.plan.equipment),
    equipment.length > 0 && element("ul", { class: "equipment" }, ...equipment.map(({ title, why }) => element("li", {}, element("b", {}, title), element("span", { class: "quiet" }, why)))),
  ].filter((part) => part instanceof HTMLElement);
}

/**
 * Each phase as a bar: hands at work, then waiting.
 *
 * @param {(Spent & { id: string, title: string })[]} phases
 */
export function DayBars(phases) {
  const longest = Math.max(1, ...phases.map(({ work_s, wait_s }) => work_s + wait_s));
  return element("ol", { class: "day-bars" }, ...phases.map((phase) => PhaseBar(phase, longest)));
}

/** @param {Spent & { title: string }} phase @param {number} longest */
function PhaseBar({ title, work_s, wait_s, count }, longest) {
  const [work, wait] = [element("i", { class: "work" }), element("i", { class: "wait" })];
  work.style.inlineSize = `${(work_s / longest) * 100}%`;
  wait.style.inlineSize = `${(wait_s / longest) * 100}%`;
  return element(
    "li",
    {},
    element("span", { class: "what" }, title),
    element("span", { class: "quiet" }, words.plan.phase(count, words.timers.span(work_s), wait_s ? words.timers.span(wait_s) : "")),
    element("span", { class: "bar", "aria-hidden": "true" }, work, wait),
  );
}
