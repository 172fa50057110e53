/** What is typed in on the Due screen: a service done elsewhere, a meter, what a re-check found. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { RecheckDue, ServiceDue } from "../../core/due-list.js" */
/** @import { Typed } from "../controls/amount-field.js" */

import { element } from "../../dom/element.js";
import { due as words } from "../../app/words/due.js";
import { AmountField } from "../controls/amount-field.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";
import { Trouble } from "../controls/trouble.js";

/** No car has gone further. */
const FURTHEST_M = 3e9;
const LONGEST_S = 200000 * 3600;

/** @param {Catalog} catalog @param {ServiceDue} service @param {string} today @param {(payload: Record<string, unknown>) => Promise<unknown>} keep a service-noted */
export function openNoteSheet(catalog, service, today, keep) {
  const date = element("input", { id: "note-date", type: "date", max: today });
  const odometer = OdometerField(catalog);
  const where = element("input", { id: "note-where", type: "text", autocomplete: "off", "aria-describedby": "note-where-said" });
  const said = element("p", { class: "said", id: "note-where-said" }, words.noteWhereSays);
  const whereField = element("div", { class: "field" }, element("label", { for: "note-where" }, words.noteWhere), where, said);
  const dateField = element("div", { class: "field" }, element("label", { for: "note-date" }, words.noteDate), date);
  const trouble = Trouble();
  const action = Button({ class: "action" }, save, words.keep);
  const sheet = openSheet(words.noteTitle(service.title), [dateField, odometer.root, whereField, trouble.root], [action]);

  async function save() {
    const typed = odometer.read();
    dateField.toggleAttribute("data-wrong", !date.value);
    whereField.toggleAttribute("data-wrong", !where.value.trim());
    if (!where.value.trim()) said.textContent = words.needsWhere;
    if (typed === "wrong") odometer.show();
    if (!date.value || !where.value.trim() || typed === "wrong") return;
    const shown = typed ? { odometer_m: typed.value, typed: typed.typed, unit: typed.unit } : {};
    const payload = { job: service.job, date: date.value, source: { kind: "owner", reference: where.value.trim() }, ...shown };
    await trouble.attempt(keep(payload), () => sheet.close());
  }
}

/** @param {Catalog} catalog @param {(typed: Typed) => Promise<unknown>} keep */
export function openOdometerSheet(catalog, keep) {
  openMeterSheet(words.readOdometer, OdometerField(catalog), keep);
}

/** @param {Catalog} catalog @param {(typed: Typed) => Promise<unknown>} keep */
export function openHoursSheet(catalog, keep) {
  openMeterSheet(words.readHours, AmountField(catalog, { id: "hours", label: words.hoursLabel, unit: "h", from: 0, to: LONGEST_S }, null), keep);
}

/** @param {string} title @param {ReturnType<typeof AmountField>} field @param {(typed: Typed) => Promise<unknown>} keep */
function openMeterSheet(title, field, keep) {
  const trouble = Trouble();
  const action = Button({ class: "action" }, save, words.keep);
  const sheet = openSheet(title, [field.root, trouble.root], [action]);
  field.input.focus();

  async function save() {
    const typed = field.read();
    if (typed === "wrong") return field.show();
    if (typed === null) return field.root.toggleAttribute("data-wrong", true);
    await trouble.attempt(keep(typed), () => sheet.close());
  }
}

/** @param {RecheckDue} recheck @param {string} says what to look at @param {(payload: Record<string, unknown>) => Promise<unknown>} keep a recheck-done */
export function openRecheckSheet(recheck, says, keep) {
  const note = element("textarea", { id: "recheck-note", rows: 3 });
  const trouble = Trouble();
  const told = element("p", { class: "said", id: "recheck-note-said", role: "status" });
  note.setAttribute("aria-describedby", told.id);
  const field = element("div", { class: "field" }, element("label", { for: "recheck-note" }, words.recheckNote), note, told);
  const well = Button({ class: "action" }, () => save("well"), words.looked);
  const bad = Button({ class: "second", tone: "warning" }, () => save("not-well"), words.notWell);
  const waive = Button({ class: "second" }, () => save("waived"), words.waive);
  const sheet = openSheet(recheck.title, [element("p", {}, says), field, trouble.root], [well, bad, waive]);

  /** @param {"well" | "not-well" | "waived"} finding */
  async function save(finding) {
    const said = note.value.trim();
    if (finding !== "well" && !said) {
      field.toggleAttribute("data-wrong", true);
      told.textContent = words.recheckNeedsNote;
      return note.focus();
    }
    await trouble.attempt(keep({ recheck: recheck.id, finding, ...(said ? { note: said } : {}) }), () => sheet.close());
  }
}

/** @param {Catalog} catalog */
function OdometerField(catalog) {
  return AmountField(catalog, { id: "note-odometer", label: words.odometerLabel, unit: "km", from: 0, to: FURTHEST_M, isWhole: true }, null);
}
