/** The garage: what the house has at hand and what things cost there, told once and kept for every plan. */

/** @import { App, Garage, Screen } from "../app/types.js" */
/** @import { Catalog, Kept } from "../core/types.js" */
/** @import { Thing } from "../core/inventory.js" */

import { element } from "../dom/element.js";
import { garage as words } from "../app/words/garage.js";
import { streamName } from "../app/words/streams.js";
import { groupsOf, priceOf, thingsOf, trustedRange } from "../core/inventory.js";
import { CURRENCY, HOUR, wastePrice } from "../core/prices.js";
import { Button } from "../parts/controls/press.js";
import { PriceField } from "../parts/controls/price-field.js";
import { openThingSheet } from "../parts/garage/thing-sheet.js";
import { amountText } from "../parts/texts/unit-amount.js";

/** @param {App} app @returns {Screen} */
export function GarageScreen(app) {
  const heading = element("h1", { tabindex: "-1" }, words.title);
  const groups = element("div", { class: "garage-groups" });
  const root = element(
    "div",
    { class: "page garage" },
    element("header", {}, Button({ class: "plain" }, () => app.go("#/cars"), words.toCars)),
    element("div", { class: "content" }, heading, element("p", { class: "quiet" }, words.says), groups),
  );
  document.title = words.documentTitle;
  requestAnimationFrame(() => heading.focus({ preventScroll: true }));
  /** @type {Garage | null} */
  let garage = null;
  /** @type {ReturnType<typeof Prices> | null} */
  let prices = null;
  let shown = "";
  void app.loadGarage().then((loaded) => {
    garage = loaded;
    update();
  });

  function update() {
    const { catalog } = app;
    if (!garage || !catalog) return;
    if (!prices) groups.after((prices = Prices(catalog, garage)).root);
    prices.update();
    const state = JSON.stringify(garage.inventory.get().things);
    if (state === shown) return;
    shown = state;
    const focused = document.activeElement?.id;
    groups.replaceChildren(...groupsOf(catalog).map(({ group, kinds }) => Group(catalog, /** @type {Garage} */ (garage), group, kinds)));
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  }
  return { root, update };
}

/** @param {Catalog} catalog @param {Garage} garage @param {string} title @param {string[]} kinds */
function Group(catalog, garage, title, kinds) {
  return element("section", {}, element("h2", {}, title), element("ul", { class: "things" }, ...kinds.flatMap((kind) => rowsOf(catalog, garage, kind))));
}

/** @param {Catalog} catalog @param {Garage} garage @param {string} kind */
function rowsOf(catalog, garage, kind) {
  const kept = /** @type {Kept} */ (catalog.equipment?.[kind]);
  const things = thingsOf(garage.inventory.get(), kind);
  const isPlain = !kept.several && !kept.counted && Object.keys(kept.marks).length === 0;
  if (isPlain) return [PlainRow(garage, kind, kept, things[0] ?? null)];
  const rows = things.map((thing) => ThingRow(catalog, garage, kept, thing));
  if (things.length && !kept.several) return rows;
  const add = Button({ class: "choice thing", label: things.length ? words.another(kept.title) : words.addFirst(kept.title) }, () => openThingSheet(catalog, garage.inventory, kind, null), element("span", { class: "plus", "aria-hidden": "true" }, "+"), element("span", {}, things.length ? words.another(kept.title) : kept.title));
  return [...rows, element("li", {}, add)];
}

/** Something one has or has not: a tap says so. @param {Garage} garage @param {string} kind @param {Kept} kept @param {Thing | null} thing */
function PlainRow(garage, kind, kept, thing) {
  const id = `has-${kind}`;
  const box = element("input", { id, type: "checkbox", checked: thing !== null, onchange: turn });
  async function turn() {
    try {
      await (thing ? garage.inventory.dropThing(thing.id) : garage.inventory.keepThing({ of: kind }));
    } catch {
      box.checked = thing !== null;
    }
  }
  return element("li", {}, element("label", { class: "choice thing" }, box, element("span", { class: "mark-box" }), element("span", { class: "what" }, element("b", {}, kept.title), kept.where && element("span", { class: "quiet" }, kept.where))));
}

/** @param {Catalog} catalog @param {Garage} garage @param {Kept} kept @param {Thing} thing */
function ThingRow(catalog, garage, kept, thing) {
  const trust = trustText(catalog, kept, thing);
  const marks = markTexts(catalog, kept, thing, trust ? ["least", "most"] : []);
  const gist = [thing.title && kept.title, kept.counted && words.pieces(thing.count), trust, ...marks].filter(Boolean).join(" · ");
  const open = () => openThingSheet(catalog, garage.inventory, thing.of, thing);
  const what = element("span", { class: "what" }, element("b", {}, thing.title || kept.title), element("span", { class: "quiet" }, gist));
  return element("li", {}, Button({ class: "choice thing has" }, open, element("span", { class: "mark-box", "aria-hidden": "true" }), what));
}

/** @param {Catalog} catalog @param {Kept} kept @param {Thing} thing @param {string[]} told marks that are told already */
function markTexts(catalog, kept, thing, told) {
  return Object.entries(kept.marks).flatMap(([name, { label, unit }]) => {
    const marked = told.includes(name) ? undefined : thing.marks[name];
    return marked ? [words.marked(label, amountText(catalog, catalog.units[marked.unit] ? marked.unit : unit, marked.value).text)] : [];
  });
}

/** How far the scale of a torque wrench can be trusted. @param {Catalog} catalog @param {Kept} kept @param {Thing} thing */
function trustText(catalog, kept, thing) {
  const unit = kept.marks.most?.unit;
  const range = unit ? trustedRange(thing) : null;
  if (!unit || !range) return "";
  return words.covers(amountText(catalog, unit, range.least).text, amountText(catalog, unit, range.most).text);
}

/** Built once: a field keeps what is being typed into it while others are kept. @param {Catalog} catalog @param {Garage} garage */
function Prices(catalog, { inventory }) {
  const input = element("input", { id: "currency", type: "text", autocapitalize: "characters", autocomplete: "off", maxlength: "3", onchange: () => void keepCurrency() });
  async function keepCurrency() {
    const written = input.value.trim().toUpperCase();
    const isGood = written === "" || /^[A-Z]{3}$/.test(written);
    field.toggleAttribute("data-wrong", !isGood);
    said.textContent = isGood ? words.currencySays : words.notACurrency;
    if (isGood && written && written !== inventory.get().currency) await inventory.writePrice(CURRENCY, 1, written);
  }
  const said = element("p", { class: "said", role: "status" }, words.currencySays);
  const field = element("div", { class: "field" }, element("label", { for: "currency" }, words.currency), input, said);
  const streams = [...new Set(Object.values(catalog.fluids).map(({ stream }) => stream))];
  const asked = [
    { of: HOUR, label: words.hour, says: words.hourSays },
    ...streams.map((stream) => ({ of: wastePrice(stream), label: words.waste(streamName(stream)), says: "" })),
  ];
  const fields = asked.map(({ of, label, says }) => ({ of, field: PriceField({ id: `price-${of}`, label, says }, (value) => inventory.writePrice(of, value, inventory.get().currency)) }));
  const root = element(
    "section",
    { class: "prices" },
    element("h2", {}, words.prices),
    element("p", { class: "quiet" }, words.pricesSays),
    field,
    ...fields.map(({ field }) => field.root),
  );

  function update() {
    const { currency } = inventory.get();
    if (document.activeElement !== input && !field.hasAttribute("data-wrong")) input.value = currency || input.value;
    for (const { of, field } of fields) field.update(priceOf(inventory.get(), of), currency);
  }
  return { root, update };
}
