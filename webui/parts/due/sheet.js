/** Behind a service that is due: who says when, and why they differ; which one the owner goes by; what was done before. */

/** @import { Catalog, VehicleFact } from "../../core/types.js" */
/** @import { LimitDue, ServiceDue } from "../../core/due-list.js" */

import { element } from "../../dom/element.js";
import { due as words } from "../../app/words/due.js";
import { POLICIES } from "../../core/history.js";
import { WhyThen } from "./numbers.js";
import { dateText, distanceText, limitText, whenText } from "./words.js";
import { TickMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { openSheet } from "../controls/sheet.js";

/**
 * @typedef {object} DueActions what may be done about a service; each resolves once it is recorded
 * @property {(policy: string, job: string) => Promise<unknown>} choose job "" for every service of the car
 * @property {(service: ServiceDue) => void} note
 * @property {(visit: string) => void} show
 * @property {{ rate: number } | null} rate how far the car goes, m/s
 * @property {(() => void) | null} enter the car's own screen, where intervals are entered
 */

/** @param {Catalog} catalog @param {Record<string, VehicleFact>} facts of the car @param {ServiceDue} service @param {DueActions} actions */
export function openDueSheet(catalog, facts, service, actions) {
  const { gist, range } = whenText(service);
  const told = [gist, range].filter(Boolean).join(", ") || (service.last ? words.noDay : words.neverDone);
  const { enter, rate } = actions;
  const close = /** @param {() => void} then */ (then) => {
    sheet.close();
    then();
  };
  const parts = [
    element("p", {}, told),
    WhyThen(catalog, service, rate),
    element("section", {}, element("h3", {}, words.byWhom), Limits(catalog, facts, service), element("p", { class: "quiet" }, words.differ), enter && Button({ class: "second" }, () => close(enter), words.enter)),
    PolicyChoice(service, actions),
    element("section", {}, element("h3", {}, words.history), History(catalog, service, (visit) => close(() => actions.show(visit)))),
  ];
  const note = Button({ class: "second" }, () => close(() => actions.note(service)), words.noteDone);
  const sheet = openSheet(service.title, parts, [note]);
  sheet.classList.add("due-sheet");
}

/** @param {Catalog} catalog @param {Record<string, VehicleFact>} facts @param {ServiceDue} service */
function Limits(catalog, facts, { job, limits }) {
  if (!limits.length) return element("p", {}, words.noInterval);
  const authority = catalog.jobs[job]?.intervals[0]?.authority ?? "";
  return element("ul", { class: "due-limits" }, ...limits.map((limit, at) => LimitLine(catalog, limit, sourceText(facts, limit) || (limits[at - 1]?.by === "practice" ? "" : authority))));
}

/** @param {Record<string, VehicleFact>} facts @param {LimitDue} limit */
function sourceText(facts, { fact }) {
  return (fact && facts[fact]?.source.reference) || "";
}

/** @param {Catalog} catalog @param {LimitDue} limit @param {string} source */
function LimitLine(catalog, limit, source) {
  const { gist } = whenText(limit);
  return element(
    "li",
    { "data-counts": limit.counts ? "" : null },
    limit.counts ? TickMark() : element("span", { class: "no-mark" }),
    element("span", {}, element("b", {}, limitText(catalog, limit)), element("span", {}, `, ${words.whose(limit.by)}`), source && element("span", { class: "quiet" }, source)),
    element("span", { class: "due-then" }, gist, limit.counts ? null : element("span", { class: "quiet" }, words.countsNot)),
  );
}

/** @param {ServiceDue} service @param {DueActions} actions */
function PolicyChoice(service, actions) {
  const choices = POLICIES.map((policy) => {
    const [title = "", says = ""] = words.policies[policy];
    const input = element("input", { type: "radio", name: "policy", value: policy, checked: service.policy === policy });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, title, element("span", { class: "quiet" }, says)));
  });
  const all = element("input", { type: "checkbox" });
  const keep = Button({ class: "second" }, choose, words.policyKeep);
  const root = element(
    "fieldset",
    { class: "field due-policy" },
    element("legend", {}, words.policy),
    element("div", { class: "choices" }, ...choices, element("label", { class: "choice" }, all, element("span", { class: "mark-box" }), element("span", {}, words.forAll))),
    keep,
  );

  async function choose() {
    const chosen = /** @type {HTMLInputElement | null} */ (root.querySelector("[name=policy]:checked"))?.value ?? service.policy;
    await actions.choose(chosen, all.checked ? "" : service.job);
    root.closest("dialog")?.close();
  }
  return root;
}

/** @param {Catalog} catalog @param {ServiceDue} service @param {(visit: string) => void} onShow */
function History(catalog, { history }, onShow) {
  if (!history.length) return element("p", { class: "quiet" }, words.noHistory);
  const rows = history.toReversed().map(({ date, odometer_m, visit, reference }) => {
    const gist = [dateText(date), odometer_m === null ? "" : distanceText(catalog, odometer_m)].filter(Boolean).join(" · ");
    return element("li", {}, visit ? Button({ class: "plain" }, () => onShow(visit), gist) : element("span", {}, gist, element("span", { class: "quiet" }, ` ${reference}`)));
  });
  return element("ul", { class: "due-history" }, ...rows);
}
