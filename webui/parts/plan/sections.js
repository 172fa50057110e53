/** The sections under a plan's services: what to buy, what to lay out, the numbers to know, and the day. */

/** @import { App, Car, PlanGround } from "../../app/types.js" */
/** @import { Catalog, Composition } from "../../core/types.js" */
/** @import { Knowledge } from "../texts/known.js" */
/** @import { ListPart } from "./text.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { plan as planWords } from "../../app/words/plan.js";
import { jobsOf, listShopping } from "../../core/shopping.js";
import { lastName } from "../facts/memory.js";
import { FoldSection } from "../controls/fold-section.js";
import { shoppingParts, TickList } from "./lists.js";
import { outfitParts } from "./outfit.js";
import { Button } from "../controls/press.js";
import { priceText } from "../texts/price-text.js";
import { amountText, fixedText } from "../texts/unit-amount.js";

/** Less is read in millilitres. In m³. */
const SMALL = 2e-4;

/** @typedef {{ composition: Composition, knowledge: Knowledge, total: { work_s: number, wait_s: number } }} Plan */

/**
 * @param {App} app @param {Catalog} catalog @param {Car} car @param {PlanGround} ground
 * @param {(action: () => Promise<unknown>) => Promise<void>} attempt
 */
export function PlanSections(app, catalog, car, ground, attempt) {
  const [buy, tools, day] = [FoldSection(words.plan.buy), FoldSection(words.plan.tools), FoldSection(words.plan.day)];
  const folds = [buy, tools, day];
  folds.forEach(({ root }, at) => (root.dataset.section = /** @type {string} */ (["buy", "tools", "day"][at])));
  buy.root.classList.add("buy");
  const cards = element("div", {});
  /** @type {ReturnType<typeof import("../numbers/number-cards.js").NumberCards> | null} */
  let numbers = null;
  /** @type {Plan | null} */
  let plan = null;
  let start = "09:00";
  let drawn = "";
  const shared = element("p", { class: "quiet", role: "status" });
  for (const { root } of folds) root.addEventListener("toggle", () => root.open && draw());
  void showCards();

  async function showCards() {
    const { NumberCards } = await import("../numbers/number-cards.js");
    await ground.load().catch(() => {});
    numbers = NumberCards({ catalog, inventory: ground.actions() && ground.inventory(), ages: ground.ages });
    cards.replaceChildren(numbers.root);
    if (plan) numbers.update(plan.knowledge, plan.composition);
  }

  const say = { volume: /** @param {number} si */ (si) => (si < SMALL ? amountText(catalog, "ml", si, 1e-5).text : amountText(catalog, "l", si, 1e-4).text), pack: /** @param {string} shown */ (shown) => fixedText(catalog, shown) };
  const onTick = /** @param {string} line @param {boolean} done */ (line, done) => void attempt(async () => ground.actions()?.tick(car.id, line, done, lastName()));

  /** @param {Plan} now */
  function planned({ composition }) {
    return { catalog, car: car.id, values: composition.facts, inventory: ground.inventory() };
  }

  /** @param {Plan} next */
  function update(next) {
    plan = next;
    const shopping = listShopping(planned(next), jobsOf(next.composition));
    const count = shopping.parts.length + shopping.consumables.length;
    buy.update(words.plan.buyGist(shopping.fluids.length, count));
    const outfit = outfitParts(next.knowledge, planned(next), next.composition);
    const lines = outfit.map(({ lines: each }) => each.length);
    tools.update(words.plan.toolsGist(lines.slice(0, -1).reduce((sum, each) => sum + each, 0), lines.at(-1) ?? 0));
    day.update(words.plan.dayGist(words.timers.span(next.total.work_s), words.timers.span(next.total.wait_s)));
    numbers?.update(next.knowledge, next.composition);
    draw();
  }

  /** What is open is drawn; again only where something in it is another. */
  function draw() {
    if (!plan) return;
    const { ticks } = ground.plan();
    const key = JSON.stringify([plan.composition.jobs, plan.composition.facts, folds.map(({ root }) => root.open), Object.keys(ticks), ground.inventory(), start]);
    if (key === drawn) return;
    drawn = key;
    if (buy.root.open) buy.fill(BuyNodes(plan));
    if (tools.root.open) tools.fill(ListNodes(plan.knowledge, outfitParts(plan.knowledge, planned(plan), plan.composition)));
    if (day.root.open) void drawDay(plan);
  }

  /** @param {Plan} now @returns {Node[]} */
  function BuyNodes(now) {
    const shopping = listShopping(planned(now), jobsOf(now.composition));
    const actions = ground.actions();
    const known = [...shopping.fluids, ...shopping.parts, ...shopping.consumables].map(({ price }) => price);
    const sum = known.reduce((/** @type {number} */ total, price) => total + (price ?? 0), 0);
    const text = priceText(sum, ground.inventory().currency);
    const total = sum > 0 ? element("p", { class: "sum" }, known.some((price) => price === null) ? planWords.atLeast(text) : planWords.sum(text)) : null;
    const prices = actions && Button({ class: "second" }, async () => (await import("./prices.js")).openPriceSheet(shopping, actions, say.pack), planWords.prices);
    return [...ListNodes(now.knowledge, shoppingParts(now.knowledge, shopping, { ...say, currency: ground.inventory().currency })), total, prices].filter((node) => node instanceof Node);
  }

  /** @param {Knowledge} knowledge @param {ListPart[]} parts @returns {Node[]} */
  function ListNodes(knowledge, parts) {
    const { ticks } = ground.plan();
    const all = parts.flatMap(({ lines }) => lines);
    const send = Button({ class: "second" }, () => share(parts), planWords.sendList);
    const paper = Button({ class: "second" }, () => print(), planWords.print);
    const done = all.filter(({ id }) => id in ticks).length;
    return [element("p", { class: "quiet ticked" }, planWords.ticked(done, all.length)), ...TickList(knowledge, parts, { ticks, onTick }), element("div", { class: "row list-actions" }, send, paper), shared];
  }

  /** @param {ListPart[]} parts */
  async function share(parts) {
    const { listAsText, shareText } = await import("./text.js");
    const title = planWords.listTitle([car.title, car.plate].filter(Boolean).join(", "));
    const how = await shareText(title, listAsText(title, parts, ground.plan().ticks));
    shared.textContent = how === "copied" ? planWords.copied : how === "saved" ? planWords.saved : "";
  }

  /** @param {Plan} now */
  async function drawDay(now) {
    const wanted = drawn;
    const [{ PlanDay }, learned] = await Promise.all([import("./day.js"), ground.learn()]);
    const field = element("input", { id: "day-start", type: "time", value: start, onchange: () => { start = field.value || start; draw(); } });
    const begin = element("div", { class: "field day-start" }, element("label", { for: "day-start" }, planWords.startAt), field);
    if (drawn === wanted) day.fill([begin, ...PlanDay(now.knowledge, now.composition, learned, start)]);
  }

  /** On paper both lists are open, whatever is on the screen. */
  const closed = () => [buy, tools].filter(({ root }) => !root.open);
  /** @type {ReturnType<typeof closed>} */
  let opened = [];
  const openAll = () => {
    opened = closed();
    for (const { root } of opened) root.open = true;
    draw();
  };
  const closeAgain = () => opened.forEach(({ root }) => (root.open = false));
  addEventListener("beforeprint", openAll);
  addEventListener("afterprint", closeAgain);

  return {
    roots: [buy.root, tools.root, day.root, cards],
    update,
    dispose() {
      removeEventListener("beforeprint", openAll);
      removeEventListener("afterprint", closeAgain);
    },
  };
}
