/** The lists of a plan, to be ticked in the shop and at the bench: what to buy, and what to lay out. */

/** @import { Shopping, FluidLine, PartLine } from "../../core/shopping.js" */
/** @import { Knowledge } from "../texts/known.js" */
/** @import { ListLine, ListPart } from "./text.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { plan as planWords } from "../../app/words/plan.js";
import { lookUp } from "../texts/known.js";
import { listText } from "../texts/reading-words.js";
import { Button } from "../controls/press.js";

/**
 * Parts of a list as they are drawn, ticked, sent and printed: one shape for shopping and for packing.
 *
 * @param {Knowledge} knowledge
 * @param {ListPart[]} parts
 * @param {{ ticks: Record<string, unknown>, onTick: (line: string, done: boolean) => void }} state
 */
export function TickList(knowledge, parts, { ticks, onTick }) {
  return parts.flatMap(({ title, lines }) => [
    title && element("h3", {}, title),
    element("ul", { class: "ticks" }, ...lines.map((line) => Line(knowledge, line, line.id in ticks, onTick))),
  ]).filter((node) => node instanceof HTMLElement);
}

/** @param {Knowledge} knowledge @param {ListLine} line @param {boolean} isDone @param {(line: string, done: boolean) => void} onTick */
function Line(knowledge, { id, title, notes, amount, colour, figure, bought }, isDone, onTick) {
  const box = element("input", { type: "checkbox", name: "line", value: id, checked: isDone, onchange: () => onTick(id, box.checked) });
  const drop = colour ? element("i", { class: "drop", "aria-hidden": "true" }) : null;
  drop?.style.setProperty("--fluid-colour", `var(--fluid-${colour})`);
  const text = element("span", { class: "what" }, element("b", {}, drop, drop && " ", title), ...notes.map((note) => element("span", { class: "quiet" }, note)));
  const open = figure ? Button({ class: "plain amount" }, async () => (await import("../numbers/number-sheet.js")).openNumberSheet(knowledge, figure), amount || "–") : amount ? element("b", { class: "amount" }, amount) : null;
  const packs = bought && Button({ class: "plain packs" }, async () => (await import("./packs.js")).openPackSheet(knowledge, bought.line, bought.currency), bought.text);
  return element("li", {}, element("label", { class: "tick" }, box, element("span", { class: "mark-box" }), text), open, packs);
}

/** "1 × 5 l + 2 × 1 l", the largest first; "" where nothing is bought. @param {FluidLine} line @param {(shown: string) => string} say how a pack's size is read here */
export function packsText({ packs }, say) {
  const bought = packs.filter(({ count }) => count > 0).sort((a, b) => b.size - a.size);
  return bought.map(({ count, shown }) => `${count}\u00a0×\u00a0${say(shown)}`).join(" + ");
}

/** "Sealing washer, fill plug and drain plug": one part under one number, for several places. @param {string[]} titles */
export function partTitle(titles) {
  const head = `${titles[0]?.split(", ")[0]}, `;
  if (titles.length < 2 || !titles.every((title) => title.startsWith(head))) return titles.join(" / ");
  return `${head}${listText(titles.map((title) => title.slice(head.length)))}`;
}

/**
 * What to buy, as lines.
 *
 * @param {Knowledge} knowledge @param {Shopping} shopping @param {{ volume: (si: number) => string, pack: (shown: string) => string, currency: string }} say
 * @returns {ListPart[]}
 */
export function shoppingParts(knowledge, { fluids, parts, consumables }, say) {
  const { catalog } = knowledge;
  const jobs = /** @param {string[]} ids */ (ids) => [...new Set(ids)].map((id) => catalog.jobs[id]?.title ?? id).join(", ");

  /** @param {FluidLine} line @returns {ListLine} */
  function fluid(line) {
    const [only] = line.sources;
    const name = line.sources.length === 1 ? only?.name : null;
    const packs = packsText(line, say.pack);
    const left = line.left_over !== null && line.left_over > 1e-5 ? say.volume(line.left_over) : "";
    const amount = name ? lookUp(knowledge, name).text : line.need === null ? "" : say.volume(line.need);
    const notes = [[line.approval && words.plan.approval(line.approval), line.grade].filter(Boolean).join(" · "), line.sources.length > 1 ? planWords.forJobs(jobs(line.sources.map(({ job }) => job))) : ""];
    return { id: line.id, title: line.title, notes: notes.filter(Boolean), amount, colour: line.fluid ? (catalog.fluids[line.fluid]?.colour ?? "none") : "none", figure: name ?? null, bought: packs ? { text: words.plan.packs(packs, left), line, currency: say.currency } : null };
  }

  /** @param {PartLine} line @returns {ListLine} */
  function part({ id, titles, number, fact, count, jobs: of }) {
    const notes = [fact ? (number ? planWords.number(number) : planWords.noNumber) : "", jobs(of)];
    return { id, title: partTitle(titles), notes: notes.filter(Boolean), amount: count === null ? "" : words.plan.pieces(count), colour: null, figure: null };
  }

  return [
    { title: "", lines: fluids.map(fluid) },
    { title: words.plan.parts, lines: parts.map(part) },
    { title: planWords.consumables, lines: consumables.map(part) },
  ].filter(({ lines }) => lines.length > 0);
}
