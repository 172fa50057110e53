/** Fluids that no single draining renews: how many passes, or how large a flush, for how much of it to be new. */

/** @import { CardInput, CardContent } from "./card.js" */
/** @import { Worked } from "../worked.js" */

import { numbers } from "../../../app/words/numbers.js";
import { FormulaForm } from "../formula-form.js";
import { givenBy, workOut } from "../worked.js";
import { Ask, factOf, present, renewedCircuits } from "./card.js";

const words = numbers.renewal;
/** What most people want of it: common practice. */
const WANTED = 0.85;

/** @param {CardInput} input @returns {CardContent[]} */
export function makeRenewalCard(input) {
  const { catalog } = input;
  const found = renewedCircuits(input).find(({ colour }) => colour === "gearbox");
  const drained = found ? factOf(input, `${found.fact}_capacity`) : null;
  if (!drained) return [];
  const starts = { wanted: WANTED };
  const hints = { volume: words.wholeHint };
  /** @param {Worked} passes */
  const drains = (passes) => {
    const { volume } = passes.given;
    if (!volume) return [passes];
    const buy = workOut(catalog, "renewal-volume", { passes: givenBy(passes), drained });
    const share = workOut(catalog, "renewal-share", { volume, drained, times: givenBy(passes) });
    return [passes, buy, share, workOut(catalog, "old-fluid-share", { volume, drained })];
  };
  /** @param {Worked} flushed */
  const flush = (flushed) => {
    const { volume } = flushed.given;
    return [flushed, volume ? workOut(catalog, "renewal-share-flush", { volume, flushed: givenBy(flushed) }) : null];
  };
  const nodes = [
    Ask(words.drain, FormulaForm(catalog, "renewal-passes", { drained }, { order: ["volume", "wanted"], starts, hints, results: drains })),
    Ask(words.flush, FormulaForm(catalog, "renewal-flush-volume", {}, { order: ["volume", "wanted"], starts, hints, results: flush })),
  ];
  return [{ id: "renewal", title: words.title, gist: catalog.variables[found?.circuit ?? ""]?.title ?? "", nodes: present(nodes) }];
}
