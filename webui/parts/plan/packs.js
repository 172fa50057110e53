/** Why these packs: the need, the sizes and prices they were chosen among, what they come to and what is left over. */

/** @import { FluidLine } from "../../core/shopping.js" */
/** @import { Knowledge } from "../texts/known.js" */
/** @import { Given } from "../numbers/worked.js" */

import { plan as words } from "../../app/words/plan.js";
import { offeredOf } from "../../core/shopping.js";
import { openFunctionSheet } from "../numbers/number-sheet.js";
import { fixedGiven, givenOf, workOutFunction } from "../numbers/worked.js";
import { priceText } from "../texts/price-text.js";
import { listText } from "../texts/reading-words.js";
import { fixedText } from "../texts/unit-amount.js";
import { packsText } from "./lists.js";

/** @param {Knowledge} knowledge @param {FluidLine} line @param {string} currency */
export function openPackSheet(knowledge, line, currency) {
  const { catalog } = knowledge;
  const pack = /** @param {string} shown */ (shown) => fixedText(catalog, shown);
  const offered = offeredOf(line.packs);
  const prices = offered.flatMap(({ price }) => price ?? []);
  const worked = workOutFunction(catalog, "cheapest-packs", {
    need: needOf(knowledge, line),
    sizes: { ...fixedGiven(offered.map(({ size }) => size), words.sizesOf), text: listText(offered.map(({ shown }) => pack(shown))) },
    ...(prices.length ? { prices: { ...fixedGiven(prices, words.pricesOf), text: listText(prices.map((price) => priceText(price, currency))) } } : {}),
  });
  if (!worked) return;
  openFunctionSheet(worked, { counts: packsText(line, pack), ...(line.price === null ? { price: words.noPrices } : { price: priceText(line.price, currency) }) });
}

/** @param {Knowledge} knowledge @param {FluidLine} line @returns {Given} */
function needOf(knowledge, { need, sources }) {
  const jobs = sources.map(({ job }) => knowledge.catalog.jobs[job]?.title ?? job);
  const [only] = sources;
  const known = sources.length === 1 && only?.name ? givenOf(knowledge, only.name) : null;
  // The need as it is shown, which is what the packs were counted for.
  return { ...(known ?? {}), value: need, text: "", from: words.forJobs([...new Set(jobs)].join(", ")) };
}
