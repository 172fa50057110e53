/**
 * How it is done today: the settings that the chosen work asks for. Each says whose word it is, since a height that
 * nobody has looked up gives a vacuum that nobody should pull.
 */

/** @import { Summary } from "../../app/types.js" */
/** @import { Catalog, Fact, Value } from "../../core/types.js" */
/** @import { Said } from "../facts/memory.js" */

import { words } from "../../app/words.js";
import { plan as planWords } from "../../app/words/plan.js";
import { isWithin } from "../../core/evaluate.js";
import { FoldSection } from "../controls/fold-section.js";
import { SettingField } from "../controls/setting-field.js";
import { valueText } from "../texts/known.js";
import { dayText } from "../texts/reading-words.js";

/**
 * @param {Catalog} catalog
 * @param {Summary[]} visits of this house, newest first
 * @param {Record<string, Said>} typed here before, for the visit that is planned
 * @param {(typed: Record<string, Said>) => void} onTell with all that was typed here
 */
export function PlanSettings(catalog, visits, typed, onTell) {
  const own = { ...typed };
  const said = findSaid(catalog, visits);
  /** @type {Record<string, Value>} */
  let guessed = {};
  let shown = "";
  const fold = FoldSection(words.plan.settings);
  fold.root.dataset.section = "settings";

  /** What the visit would begin with. @returns {Record<string, Value>} */
  function values() {
    return { ...guessed, ...Object.fromEntries(Object.entries({ ...said, ...own }).map(([name, { value }]) => [name, value])) };
  }

  /** What the garage is equipped for stands where nobody has said anything. @param {Record<string, Value>} next */
  function guess(next) {
    if (Object.entries(next).some(([name, value]) => values()[name] !== value)) shown = "";
    guessed = next;
  }

  /** @param {string} name */
  function valueOf(name) {
    return values()[name] ?? catalog.facts[name]?.default ?? "";
  }

  /** @param {string} name @returns {string} whose word it is; "" where it was said here today */
  function noteOf(name) {
    const [here, before] = [own[name], said[name]];
    if (here) return dayText(here.at) === dayText(Date.now()) ? "" : planWords.typedOn(dayText(here.at));
    if (before) return planWords.asOn(dayText(before.at));
    return name in guessed ? planWords.asEquipped : planWords.assumed;
  }

  /** Made again only when other ones are wanted, so that nobody loses the field under their finger. @param {string[]} names */
  function update(names) {
    const choices = names.filter((name) => catalog.facts[name]?.kind === "choice").map((name) => valueText(catalog, name, valueOf(name)));
    const assumed = names.filter((name) => !(name in values())).length;
    const gist = [choices.join(", "), assumed > 0 && planWords.assumedCount(assumed)].filter(Boolean).join(" · ");
    fold.root.hidden = names.length === 0;
    if (shown === names.join()) return fold.update(gist);
    shown = names.join();
    return fold.update(gist, names.map((name) => SettingField(catalog, name, valueOf(name), (value) => tell(name, value), noteOf(name))));
  }

  /** @param {string} name @param {Value} value */
  function tell(name, value) {
    own[name] = { value, at: Date.now() };
    onTell(own);
  }

  /** Show what cannot be taken as it stands. @returns {boolean} whether there is any */
  function showWrong() {
    /** @type {HTMLElement | null} */
    const wrong = fold.root.hidden ? null : fold.root.querySelector(".field[data-wrong] input");
    if (wrong) fold.root.open = true;
    wrong?.focus();
    return wrong !== null;
  }

  return { root: fold.root, values, guess, update, showWrong };
}

/**
 * What was last said of each setting in this house: it stays a proposal, whichever car it was said for.
 *
 * @param {Catalog} catalog @param {Summary[]} visits newest first
 */
function findSaid(catalog, visits) {
  /** @type {Record<string, { value: Value, at: string }>} */
  const said = {};
  for (const { settings, openedAt } of visits) {
    for (const [name, value] of Object.entries(settings)) {
      const fact = catalog.facts[name];
      if (!said[name] && fact && isAnswer(fact, value)) said[name] = { value, at: openedAt };
    }
  }
  return said;
}

/** Whether it is one of a fact as it is asked now: that visit may have had older procedures. @param {Fact} fact @param {Value} value */
function isAnswer({ of, kind, from, to, options }, value) {
  if (of !== "visit") return false;
  if (kind === "quantity") return typeof value === "number" && isWithin(value, from, to);
  return kind === "yes-no" ? typeof value === "boolean" : kind === "choice" && String(value) in (options ?? {});
}
