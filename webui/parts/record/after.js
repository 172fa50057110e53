/** What came after the visit was closed: re-checks, used fluids, a wrong odometer. Told here, and typed in here. */

/** @import { App, Open } from "../../app/types.js" */
/** @import { Afterwards } from "../../core/history.js" */

import { element } from "../../dom/element.js";
import { record as words } from "../../app/words/record.js";
import { streamTitle } from "../../app/words/streams.js";
import { readVisit } from "../../core/history.js";
import { AmountField } from "../controls/amount-field.js";
import { filledText, knowledgeOf } from "../texts/known.js";
import { SkipMark, TickMark, WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { dayText } from "../texts/reading-words.js";
import { PhotoField, TextField } from "../controls/record-field.js";
import { openSheet } from "../controls/sheet.js";
import { Trouble } from "../controls/trouble.js";
import { amountText } from "../texts/unit-amount.js";
import { recordWith, signed } from "./noting.js";

const MOST_M3 = 0.2;
const FURTHEST_M = 3e9;

/** What was to be looked at again, done or not. @param {Open} open @param {Afterwards} after */
export function findRechecks(open, after) {
  const knowledge = knowledgeOf(open);
  return readVisit(open.catalog, open.composition, open.visit, after).rechecks.flatMap(({ id }) => {
    const [job = "", name] = id.split("/");
    const told = open.catalog.jobs[job]?.rechecks?.find((each) => each.id === name);
    return told ? [{ id, title: told.title, says: filledText(knowledge, told.says, ""), done: after.rechecks[id] ?? null }] : [];
  });
}

/** @param {App} app @param {Open} open @param {Afterwards} after */
export function AfterSection(app, open, after) {
  const rechecks = findRechecks(open, after).map(({ title, says, done }) => {
    const [isBad, isWaived] = [done?.finding === "not-well", done?.finding === "waived"];
    const when = done && (isWaived ? words.recheckWaived(dayText(done.at), done.by ?? "") : words.recheckDone(dayText(done.at), done.by ?? ""));
    const state = done ? [isBad ? words.recheckNotWell : "", when, done.note].filter(Boolean).join(" · ") : words.recheckOpen;
    return element("li", {}, isWaived ? SkipMark() : done && !isBad ? TickMark() : WarningMark(), element("span", {}, element("b", {}, title), element("span", { class: "quiet" }, `${says} `), element("span", {}, state)));
  });
  const used = after.used_fluids.map((each) => {
    const amount = each.value === null ? "" : amountText(open.catalog, each.unit ?? "l", each.value).text;
    const undo = Button({ class: "plain no-print" }, () => app.undo(open.id, each.event), words.undo);
    return element("li", {}, TickMark(), element("span", {}, element("b", {}, [streamTitle(each.stream), amount].filter(Boolean).join(", ")), element("span", { class: "quiet" }, [each.place, dayText(each.at), each.by].filter(Boolean).join(" · "))), undo);
  });
  return element(
    "section",
    { class: "record-after" },
    element("h2", {}, words.after),
    rechecks.length > 0 && element("h3", {}, words.rechecks),
    rechecks.length > 0 && element("ul", { class: "exceptions" }, ...rechecks),
    element("h3", {}, words.used),
    used.length ? element("ul", { class: "exceptions" }, ...used) : element("p", { class: "quiet" }, words.usedNone),
    element("div", { class: "record-adds no-print" }, Button({ class: "second" }, () => openUsedSheet(app, open), words.usedAdd), Button({ class: "second" }, () => openCorrectionSheet(app, open), words.correct)),
  );
}

/** @param {App} app @param {Open} open */
function openUsedSheet(app, open) {
  const { catalog } = open;
  const fluids = Object.keys(open.composition.variables).map((id) => catalog.variables[id]?.fluid ?? "");
  const renewed = open.composition.jobs.map((job) => catalog.jobs[job]?.stream ?? "").filter(Boolean);
  const streams = [...new Set([...renewed, ...fluids.flatMap((fluid) => catalog.fluids[fluid]?.stream ?? [])])];
  const choices = streams.map((stream, at) => element("label", { class: "choice" }, element("input", { type: "radio", name: "stream", value: stream, checked: at === 0 }), element("span", { class: "mark-box" }), element("span", {}, streamTitle(stream))));
  const which = element("fieldset", { class: "field" }, element("legend", {}, words.usedWhich), element("div", { class: "choices" }, ...choices));
  const amount = AmountField(catalog, { id: "used-amount", label: words.usedAmount, unit: "l", from: 0, to: MOST_M3 }, null);
  const place = TextField({ id: "used-place", label: words.usedPlace, says: words.usedPlaceSays, needed: words.needsPlace });
  const receipt = PhotoField(words.receipt);
  const trouble = Trouble();
  const sheet = openSheet(words.usedAdd, [which, amount.root, place.root, receipt.root, trouble.root], [Button({ class: "action" }, keep, words.keep)]);

  async function keep() {
    const [typed, where] = [amount.read(), place.read()];
    if (typed === "wrong") amount.show();
    if (where === null || typed === "wrong") return;
    const stream = /** @type {HTMLInputElement | null} */ (which.querySelector(":checked"))?.value ?? streams[0] ?? "";
    const payload = { stream, place: where, ...(typed ?? {}), ...signed(app, open) };
    await trouble.attempt(recordWith(app, open.id, "used-fluid-taken", payload, "receipt", receipt.read()), () => sheet.close());
  }
}

/** @param {App} app @param {Open} open */
function openCorrectionSheet(app, open) {
  const known = { value: Number(open.visit.opened?.payload.odometer_m ?? 0), unit: "km" };
  const to = AmountField(open.catalog, { id: "correct-to", label: words.correctTo, unit: "km", from: 0, to: FURTHEST_M, isWhole: true }, known);
  const because = TextField({ id: "correct-because", label: words.correctBecause, needed: words.needsBecause });
  const trouble = Trouble();
  const sheet = openSheet(words.correct, [to.root, because.root, trouble.root], [Button({ class: "action" }, keep, words.keep)]);

  async function keep() {
    const [typed, why] = [to.read(), because.read()];
    if (typed === "wrong") return to.show();
    if (typed === null) return void to.root.toggleAttribute("data-wrong", true);
    if (why === null) return;
    await trouble.attempt(app.record(open.id, "odometer-corrected", { ...typed, because: why, ...signed(app, open) }), () => sheet.close());
  }
}
