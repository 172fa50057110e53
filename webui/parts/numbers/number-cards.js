/**
 * The numbers of a plan that no step shows: one section for each thing that there is something to say of on this car, and
 * nothing at all where there is not.
 */

/** @import { Catalog, Composition } from "../../core/types.js" */
/** @import { Inventory } from "../../core/inventory.js" */
/** @import { Knowledge } from "../texts/known.js" */

import { element } from "../../dom/element.js";
import { numbers as words } from "../../app/words/numbers.js";
import { makeBrakeCard } from "./cards/brake-card.js";
import { makeCoolantCards } from "./cards/coolant-card.js";
import { makeLoadsCard } from "./cards/loads-card.js";
import { makeOilCard } from "./cards/oil-card.js";
import { makeRenewalCard } from "./cards/renewal-card.js";
import { makeWasteCard } from "./cards/waste-card.js";
import { FoldSection } from "../controls/fold-section.js";

/** @type {import("./cards/card.js").MakeCards[]} */
const CARDS = [makeOilCard, makeCoolantCards, makeBrakeCard, makeRenewalCard, makeLoadsCard, makeWasteCard];

/**
 * @param {object} known
 * @param {Catalog} known.catalog
 * @param {Inventory | null} [known.inventory] what the garage holds
 * @param {() => Record<string, number>} known.ages by job: seconds since it was last done
 */
export function NumberCards({ catalog, inventory = null, ages }) {
  const folds = element("div", { class: "folds" });
  const root = element("section", { class: "number-cards", hidden: true }, element("h2", {}, words.cards.title), element("p", { class: "quiet" }, words.cards.says), folds);
  /** @type {Map<string, ReturnType<typeof FoldSection>>} */
  const sections = new Map();
  let drawn = "";

  /** Drawn anew only where the plan differs, so that nobody loses what they type. @param {Knowledge} knowledge @param {Composition} composition */
  function update(knowledge, composition) {
    const past = ages();
    const key = JSON.stringify([composition.jobs, knowledge.values, past]);
    if (key === drawn) return;
    drawn = key;
    const cards = CARDS.flatMap((make) => make({ catalog, knowledge, composition, inventory, ages: past }));
    root.hidden = cards.length === 0;
    folds.replaceChildren(...cards.map(({ id, title, gist, nodes }) => {
      const section = sections.get(id) ?? FoldSection(title);
      sections.set(id, section);
      section.update(gist, nodes);
      return section.root;
    }));
  }
  return { root, update };
}
