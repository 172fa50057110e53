/** What will be left over: each kind of used fluid by itself, the cans it takes, and what must not meet what. */

/** @import { CardInput, CardContent } from "./card.js" */

import { element } from "../../../dom/element.js";
import { numbers } from "../../../app/words/numbers.js";
import { streamTitle } from "../../../app/words/streams.js";
import { thingsOf } from "../../../core/inventory.js";
import { listDrained } from "../../../core/outfit.js";
import { amountText } from "../../texts/unit-amount.js";
import { fixedGiven, workOut } from "../worked.js";
import { Ask, LineOf, Lines, present, Says } from "./card.js";

const words = numbers.waste;
/** A can most people have, where the garage names none: 5 l. Common practice. */
const CAN = 0.005;

/** @param {CardInput} input @returns {CardContent[]} */
export function makeWasteCard(input) {
  const { catalog, inventory, knowledge, composition } = input;
  const circuits = composition.jobs.flatMap((job) => listDrained({ catalog, values: knowledge.values }, job).map((drained) => ({ ...drained, stream: catalog.jobs[job]?.stream ?? "" })));
  /** @type {Map<string, { volume: number, from: string[] }>} */
  const streams = new Map();
  for (const { circuit, volume, stream } of circuits) {
    if (volume === null || !stream) continue;
    const sum = streams.get(stream) ?? { volume: 0, from: [] };
    streams.set(stream, { volume: sum.volume + volume, from: [...sum.from, catalog.variables[circuit]?.title ?? circuit] });
  }
  if (!streams.size) return [];
  const cans = inventory ? thingsOf(inventory, "can").flatMap(({ marks }) => marks.holds?.value ?? []) : [];
  const container = fixedGiven(cans.length ? Math.max(...cans) : CAN, cans.length ? words.ownCan : words.assumedCan);
  const canText = amountText(catalog, "l", Number(container.value)).text;
  const lines = [...streams].map(([stream, { volume, from }]) => {
    const worked = workOut(catalog, "containers-needed", { volume: fixedGiven(volume, from.join(", ")), container });
    return LineOf(worked, words.cans(streamTitle(stream), amountText(catalog, "l", volume).text, canText));
  });
  const fluids = [...new Set(circuits.map(({ circuit }) => catalog.variables[circuit]?.fluid ?? ""))].flatMap((id) => catalog.fluids[id] ?? []);
  const never = element("ul", { class: "never-mixed" }, ...fluids.map(({ title, mixing }) => element("li", {}, element("b", {}, title), element("span", { class: "quiet" }, mixing))));
  return [{ id: "waste", title: words.title, gist: words.gist(streams.size), nodes: present([Lines(...lines), Says(words.apart), Ask(words.never, never)]) }];
}
