/** The sheet that a customer takes home: what was done, what was found, what it costs, and that they have seen it. */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Afterwards } from "../../core/history.js" */
/** @import { Row } from "./model.js" */

import { element } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { priceOf } from "../../core/inventory.js";
import { HOUR } from "../../core/prices.js";
import { Button } from "../controls/press.js";
import { priceText } from "../texts/price-text.js";
import { dayText, timeText } from "../texts/reading-words.js";
import { SignatureDrawing } from "../drawings/signature.js";
import { findRechecks } from "./after.js";
import { ClosedUpSection } from "./closed-up.js";
import { SignaturePad } from "./signature.js";
import { NumberField } from "../controls/number-field.js";
import { TextField } from "../controls/record-field.js";
import { openSheet } from "../controls/sheet.js";
import { Trouble } from "../controls/trouble.js";

/** @param {App} app @param {Open} open @param {Afterwards} after @param {Row[]} rows @param {Node} fluids the table of fluids @returns {Node[]} */
export function CustomerSheet(app, open, after, rows, fluids) {
  const jobs = open.composition.jobs.map((id) => open.catalog.jobs[id]);
  const done = element("ul", { class: "customer-jobs" }, ...jobs.map((job) => element("li", {}, element("b", {}, job?.title ?? ""), element("span", { class: "quiet" }, ` ${job?.summary ?? ""}`))));
  const again = findRechecks(open, after).filter((each) => !each.done);
  return [
    element("section", {}, element("h2", {}, words.customerTitle), done),
    fluids,
    Findings(rows),
    ...ClosedUpSection(open),
    again.length > 0 ? element("section", {}, element("h2", {}, words.customerAgain), element("ul", { class: "exceptions" }, ...again.map(({ title, says }) => element("li", { class: "bare" }, element("span", {}, element("b", {}, title), ` ${says}`))))) : null,
    Charges(app, open, after),
    Acknowledgement(app, open, after),
    element("p", { class: "quiet" }, words.customerNotes),
  ].filter((each) => each !== null);
}

/** What was found that is not well, and what was left out and why; what is well is only counted. @param {Row[]} rows */
function Findings(rows) {
  const well = rows.filter(({ finding, isWell }) => finding && isWell).length;
  const told = rows.flatMap(({ title, status, finding, isWell }) => {
    if (!status) return [{ title, says: words.notDone }];
    const says = [isWell ? "" : finding, status.note ?? "", status.status === "skipped" ? `${words.passedOver} ${status.reason ?? ""}` : ""].filter(Boolean).join(" · ");
    return says ? [{ title, says }] : [];
  });
  const list = element("ul", { class: "exceptions" }, ...told.map(({ title, says }) => element("li", { class: "bare" }, element("span", {}, element("b", {}, title), ` ${says}`))));
  return element("section", {}, element("h2", {}, words.customerFindings), told.length ? list : element("p", {}, words.customerNothing), well > 0 && element("p", { class: "quiet" }, words.customerWell(well)));
}

/** @param {App} app @param {Open} open @param {Afterwards} after */
function Charges(app, open, after) {
  const lines = after.charges.map((each) => {
    const total = each.amount * each.price;
    const undo = Button({ class: "plain no-print" }, () => app.undo(open.id, each.event), words.undo);
    return element("tr", {}, element("td", {}, each.what), element("td", {}, `${amountText(each)} × ${priceText(each.price, each.currency)}`), element("td", {}, undo, " ", element("b", {}, priceText(total, each.currency))));
  });
  const sums = sumCharges(after).map(([currency, total]) => element("tr", { class: "charge-sum" }, element("td", {}, words.chargeTotal), element("td", {}, ""), element("td", {}, element("b", {}, priceText(total, currency)))));
  const adds = element("div", { class: "record-adds no-print" }, Button({ class: "second" }, () => openChargeSheet(app, open, true), words.labourAdd), Button({ class: "second" }, () => openChargeSheet(app, open, false), words.chargeAdd));
  return element("section", { class: "charges" }, element("h2", {}, words.charges), lines.length ? element("table", {}, element("tbody", {}, ...lines, ...sums)) : element("p", { class: "quiet" }, words.chargesNone), adds);
}

/** What it comes to, in each currency. @param {Afterwards} after @returns {[string, number][]} */
function sumCharges({ charges }) {
  /** @type {Map<string, number>} */
  const sums = new Map();
  for (const { amount, price, currency } of charges) sums.set(currency, (sums.get(currency) ?? 0) + amount * price);
  return [...sums];
}

/** @param {{ amount: number, unit: string }} charge */
function amountText({ amount, unit }) {
  /** @type {Record<string, string>} */
  const units = amount === 1 ? words.chargeUnit1 : words.chargeUnits;
  return `${amount} ${units[unit] ?? unit}`;
}

/** @param {App} app @param {Open} open @param {boolean} isLabour */
async function openChargeSheet(app, open, isLabour) {
  const inventory = (await app.loadGarage()).inventory.get();
  const hour = isLabour ? priceOf(inventory, HOUR) : null;
  const what = TextField({ id: "charge-what", label: words.chargeWhat, value: isLabour ? words.labour : "", needed: words.needsWhat });
  const amount = NumberField({ id: "charge-amount", label: words.chargeAmount, value: isLabour ? null : 1, wrong: words.needsNumber });
  const units = Object.entries(words.chargeUnits).map(([unit, title]) => element("label", { class: "choice" }, element("input", { type: "radio", name: "unit", value: unit, checked: unit === (isLabour ? "h" : "piece") }), element("span", { class: "mark-box" }), element("span", {}, title)));
  const unit = element("fieldset", { class: "field" }, element("legend", {}, words.chargeUnit), element("div", { class: "row" }, ...units));
  const price = NumberField({ id: "charge-price", label: words.chargePrice, value: hour?.value ?? null, wrong: words.needsNumber });
  const currency = TextField({ id: "charge-currency", label: words.chargeCurrency, value: inventory.currency });
  const trouble = Trouble();
  const sheet = openSheet(isLabour ? words.labourAdd : words.chargeAdd, [what.root, amount.root, unit, price.root, currency.root, trouble.root], [Button({ class: "action" }, keep, words.keep)]);

  async function keep() {
    const [name, count, each] = [what.read(), readNeeded(amount), readNeeded(price)];
    const money = (currency.read() ?? "").toUpperCase();
    if (!/^[A-Z]{3}$/.test(money)) return currency.refuse(words.needsCurrency);
    if (name === null || count === null || each === null) return;
    const of = /** @type {HTMLInputElement | null} */ (unit.querySelector(":checked"))?.value ?? "piece";
    await trouble.attempt(app.record(open.id, "charge-noted", { what: name, amount: count, unit: of, price: each, currency: money }), () => sheet.close());
  }
}

/** @param {ReturnType<typeof NumberField>} field @returns {number | null} null, and said so, where there is no number */
function readNeeded(field) {
  if (!field.tell()) return null;
  const value = field.read();
  if (typeof value === "number") return value;
  field.refuse(words.needsNumber);
  return null;
}

/** @param {App} app @param {Open} open @param {Afterwards} after */
function Acknowledgement(app, open, after) {
  const seen = after.acknowledged.map(({ name, at, signature, event }) =>
    element(
      "li",
      {},
      signature && SignatureDrawing(signature, words.signatureOf(name)),
      element("span", {}, words.acknowledged(name, `${dayText(at)}, ${timeText(at)}`)),
      Button({ class: "plain no-print" }, () => app.undo(open.id, event), words.undo),
    ),
  );
  const line = seen.length ? null : element("p", { class: "paper-line" }, words.paperLine);
  const sign = Button({ class: "second no-print" }, () => openAcknowledgeSheet(app, open), words.acknowledgeOpen);
  return element("section", { class: "acknowledged" }, element("h2", {}, words.acknowledge), seen.length ? element("ul", {}, ...seen) : element("p", { class: "quiet no-print" }, words.acknowledgeSays), line, sign);
}

/** In a sheet, so that nothing that comes in from elsewhere redraws what is being signed. @param {App} app @param {Open} open */
function openAcknowledgeSheet(app, open) {
  const name = TextField({ id: "acknowledge-name", label: words.acknowledgeName, needed: words.needsName });
  const pad = SignaturePad();
  const trouble = Trouble();
  const sheet = openSheet(words.acknowledge, [name.root, pad.root, trouble.root], [Button({ class: "action" }, keep, words.acknowledgeDoes)]);

  async function keep() {
    const [who, signature] = [name.read(), pad.read()];
    if (who) await trouble.attempt(app.record(open.id, "acknowledged", { name: who, ...(signature ? { signature } : {}) }), () => sheet.close());
  }
}
