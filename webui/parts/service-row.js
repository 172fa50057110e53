/** One service that may be chosen: what it is, whether to do it at home and why, and how long it takes. */

/** @import { Catalog, Job } from "../core/types.js" */
/** @import { Knowledge } from "./known.js" */

import { element } from "../dom/element.js";
import { words } from "../app/words.js";
import { applies } from "./plan-model.js";
import { fixedText } from "./unit-amount.js";

/**
 * @param {Knowledge} knowledge
 * @param {{ id: string, job: Job, work_s: number, wait_s: number }} service
 * @param {(isChosen: boolean) => void} onChange
 */
export function ServiceRow(knowledge, { id, job, work_s, wait_s }, onChange) {
  const box = element("input", { type: "checkbox", name: "service", value: id, onchange: () => onChange(box.checked) });
  const times = words.plan.times(words.timers.span(work_s), wait_s ? words.timers.span(wait_s) : "");
  const verdict = element("span", { class: "tag", "data-tone": job.home === "hand-over" ? "warning" : null }, words.plan.home[job.home]);
  const equipment = job.equipment.filter(({ when }) => applies(knowledge, when));
  const root = element(
    "li",
    { class: "service" },
    element(
      "label",
      { class: "choice" },
      box,
      element("span", { class: "mark-box" }),
      element("span", { class: "what" }, element("b", {}, job.title), element("span", { class: "quiet" }, times), verdict),
    ),
    element(
      "details",
      {},
      element("summary", {}, words.plan.about),
      element("p", {}, job.summary),
      job.risk && element("p", {}, element("b", {}, words.plan.risk), " ", job.risk),
      equipment.length > 0 && element("h4", {}, words.plan.needs),
      ...equipment.map(({ title, why }) => element("p", { class: "need" }, element("b", {}, title), " ", why)),
      job.intervals.length > 0 && element("h4", {}, words.plan.interval),
      ...job.intervals.map((interval) => element("p", {}, intervalText(knowledge.catalog, interval))),
    ),
  );

  /** @param {boolean} isChosen */
  function update(isChosen) {
    box.checked = isChosen;
  }
  return { root, update };
}

/** @param {Catalog} catalog @param {import("../core/types.js").Interval} interval */
function intervalText(catalog, { distance, time, authority }) {
  const say = /** @param {import("../core/types.js").Amount | null} amount */ (amount) => (amount && "shown" in amount ? fixedText(catalog, amount.shown) : "");
  return words.plan.every([say(distance), say(time)].filter(Boolean), authority);
}
