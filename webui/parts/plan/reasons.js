/** What stands behind a verdict: its reasons, what the service needs and lacks, what it costs here and elsewhere. */

/** @import { InventoryActions } from "../../app/types.js" */
/** @import { Cost, Judged, Reason } from "../../core/decide.js" */
/** @import { Need } from "../../core/outfit.js" */
/** @import { Catalog } from "../../core/types.js" */
/** @import { Service } from "./model.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { plan as planWords } from "../../app/words/plan.js";
import { SERVICES_PER_TOOL } from "../../core/decide.js";
import { priceOf } from "../../core/inventory.js";
import { quotePrice, toolPrice } from "../../core/prices.js";
import { Button } from "../controls/press.js";
import { PriceField } from "../controls/price-field.js";
import { priceText } from "../texts/price-text.js";
import { listText } from "../texts/reading-words.js";
import { fixedText } from "../texts/unit-amount.js";

/** More missing things than this are counted, not named one by one. */
const MISSING_NAMED = 2;

/**
 * @param {object} told
 * @param {Catalog} told.catalog
 * @param {string} told.car
 * @param {Service} told.service
 * @param {Judged} told.judged
 * @param {boolean} told.isAway the owner hands it over
 * @param {InventoryActions | null} told.actions
 * @param {(isAway: boolean) => unknown} onHandOver
 * @returns {Node[]}
 */
export function PlanReasons({ catalog, car, service, judged, isAway, actions }, onHandOver) {
  const { job, isReserved } = service;
  const currency = actions?.get().currency ?? "";
  const say = /** @param {number} value */ (value) => priceText(value, currency);
  const nodes = [
    element("p", {}, job.summary),
    element("ul", { class: "reasons" }, ...reasonTexts(catalog, judged.reasons, say).map((text) => element("li", {}, text))),
    job.risk && element("p", {}, element("b", {}, words.plan.risk), " ", job.risk),
    ...(isReserved ? [] : [...Needs(judged.needs, actions, currency), ...Costs(judged.cost, say), actions && Offer(car, service.id, actions, currency)]),
    ...Intervals(catalog, service),
    !isReserved && Button({ class: "second" }, () => onHandOver(!isAway), isAway ? planWords.back : planWords.handOver),
  ];
  return nodes.filter((node) => node instanceof Node);
}

/**
 * Many missing things are one reason: each is marked again where the needs stand.
 * @param {Catalog} catalog @param {Reason[]} reasons @param {(value: number) => string} say
 */
function reasonTexts(catalog, reasons, say) {
  const lacks = reasons.filter(({ code }) => code === "missing");
  if (lacks.length <= MISSING_NAMED) return reasons.map((reason) => reasonText(catalog, reason, say));
  return reasons.flatMap((reason) => {
    if (reason.code !== "missing") return [reasonText(catalog, reason, say)];
    return reason === lacks[0] ? [planWords.reasons.missingMany(lacks.length)] : [];
  });
}

/** @param {Catalog} catalog @param {Reason} reason @param {(value: number) => string} say */
function reasonText(catalog, reason, say) {
  const texts = planWords.reasons;
  switch (reason.code) {
    case "reserved": {
      const hazard = catalog.hazards[reason.hazard];
      return `${hazard?.title}. ${hazard?.says}`;
    }
    case "missing":
      return texts.missing(reason.need.title, reason.need.has ?? 0, reason.need.count);
    case "better-handed-over":
      return texts.better;
    case "cheaper":
      return texts.cheaper(say(reason.by));
    case "dearer":
      return texts.dearer(say(reason.by));
    case "tools-first":
      return texts.toolsFirst(say(reason.by));
    case "no-offer":
      return texts.noOffer;
    case "no-price":
      return texts.noPrice(listText(reason.of.map((name) => /** @type {Record<string, string>} */ (planWords.partNames)[name] ?? name)));
    case "numbers":
      return texts.numbers(reason.names.length);
    case "all-there":
      return texts["all-there"];
  }
}

/** @param {Need[]} needs @param {InventoryActions | null} actions @param {string} currency */
function Needs(needs, actions, currency) {
  if (!needs.length) return [];
  const rows = needs.map((need) => {
    const isMissing = need.has !== null && need.has < need.count;
    const kind = need.kept[0];
    const state = need.has === null ? null : element("span", { class: "tag", "data-tone": isMissing ? "warning" : "done" }, isMissing ? planWords.hasNot : planWords.has);
    const price = isMissing && actions && kind ? priceField(toolPrice(kind), planWords.toolPrice(need.title), actions, currency) : null;
    return element("li", { class: "need" }, element("b", {}, need.title), " ", state, element("span", { class: "quiet" }, need.why), price);
  });
  return [element("h4", {}, planWords.needs), element("ul", { class: "needs" }, ...rows)];
}

/** @param {string} of @param {string} label @param {InventoryActions} actions @param {string} currency @param {string} [says] */
function priceField(of, label, actions, currency, says = "") {
  const field = PriceField({ id: `plan-${of}`, label, says }, (value) => actions.writePrice(of, value, currency));
  field.update(priceOf(actions.get(), of), currency);
  return field.root;
}

/** @param {string} car @param {string} job @param {InventoryActions} actions @param {string} currency */
function Offer(car, job, actions, currency) {
  return priceField(quotePrice(car, job), planWords.offer, actions, currency, planWords.offerSays);
}

/** @param {Cost} cost @param {(value: number) => string} say */
function Costs(cost, say) {
  const lines = /** @type {("fluids" | "parts" | "tools" | "waste" | "time" | "visit")[]} */ (["fluids", "parts", "tools", "waste", "time", "visit"])
    .filter((name) => cost[name] !== null && (name === "fluids" || name === "parts" || cost[name] !== 0))
    .map((name) => element("div", {}, element("dt", {}, planWords.parts[name]), element("dd", {}, say(cost[name] ?? 0))));
  if (cost.known === 0 && cost.unknown.length) return [];
  const total = cost.unknown.length ? planWords.atLeast(say(cost.known)) : say(cost.known);
  return [
    element("h4", {}, planWords.cost),
    element("dl", { class: "costs" }, ...lines, element("div", { class: "total" }, element("dt", {}, planWords.atHome), element("dd", {}, total))),
    element("p", { class: "quiet" }, cost.sharers > 1 ? planWords.sharedDay(cost.sharers - 1) : planWords.dayAlone),
    cost.tools ? element("p", { class: "quiet" }, planWords.share(SERVICES_PER_TOOL)) : null,
  ];
}

/** @param {Catalog} catalog @param {Service} service */
function Intervals(catalog, { job }) {
  if (!job.intervals.length) return [];
  const rows = job.intervals.map(({ distance, time, authority }) => {
    const spans = [distance, time].map((amount) => (amount && "shown" in amount ? fixedText(catalog, amount.shown) : "")).filter(Boolean);
    return element("p", {}, words.plan.every(spans, authority));
  });
  return [element("h4", {}, words.plan.interval), ...rows];
}
