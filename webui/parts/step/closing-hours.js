/** The meter of hours at the end of a visit, where the car counts them: what is due by hours is counted from here. */

/** @import { App, Open } from "../../app/types.js" */

import { record as words } from "../../app/words/record.js";
import { countsHours } from "../../core/history.js";
import { AmountField } from "../controls/amount-field.js";
import { amountText } from "../texts/unit-amount.js";
import { unfinishedClosing } from "./unfinished.js";

/** A century, in seconds: what is beyond is a slip of the pen. */
const LONGEST_S = 3.2e9;

/**
 * @param {App} app @param {Open} open
 * @returns {{ root: HTMLElement, keep: () => Promise<boolean> } | null} keep: false, and said so, where what is typed is no number; null where the car counts no hours
 */
export function ClosingHours(app, open) {
  if (!countsHours(open.catalog, open.carFacts)) return null;
  const field = AmountField(open.catalog, { id: "closing-hours", label: words.hours, unit: "h", from: 0, to: LONGEST_S, where: words.hoursSays }, null);
  const begun = unfinishedClosing(open.id, "hours");
  field.input.value = begun.text;
  field.input.addEventListener("input", () => begun.keep(field.input.value));
  const said = field.root.querySelector(".said");
  void showLast();

  async function showLast() {
    const { hours } = await (await app.loadGarage()).readHistory(open.car.id);
    const last = hours.at(-1);
    if (last && said && !field.input.value) said.textContent = words.hoursLast(amountText(open.catalog, "h", last.value).text);
  }

  async function keep() {
    const typed = field.read();
    if (typed === "wrong") {
      field.show();
      field.input.focus();
      return false;
    }
    if (typed) await (await app.loadGarage()).note(open.car.id, "hours-read", { ...typed });
    begun.keep("");
    return true;
  }
  return { root: field.root, keep };
}
