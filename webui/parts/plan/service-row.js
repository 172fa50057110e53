/** One service that may be chosen: what it is, whether to do it at home, whether it is due, and how long it takes. */

/** @import { Judged } from "../../core/decide.js" */
/** @import { Decision } from "../../core/inventory.js" */
/** @import { ServiceDue } from "../../core/due-list.js" */
/** @import { Need } from "../../core/outfit.js" */
/** @import { Catalog } from "../../core/types.js" */
/** @import { Service } from "./model.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { due as dueWords } from "../../app/words/due.js";
import { plan as planWords } from "../../app/words/plan.js";
import { whenText } from "../due/words.js";
import { listText } from "../texts/reading-words.js";

/** More would be a list, and the list is one tap behind. */
const NAMED = 2;

/**
 * @param {Catalog} catalog
 * @param {Service} service
 * @param {{ onChoose: (isChosen: boolean) => void, fill: () => Node[] }} actions fill: what stands behind the row, made when it is opened
 */
export function ServiceRow(catalog, { id, job, isReserved, work_s, wait_s, people }, { onChoose, fill }) {
  const box = element("input", { type: "checkbox", name: "service", value: id, disabled: isReserved, onchange: () => onChoose(box.checked) });
  const times = words.plan.times(words.timers.span(work_s), wait_s ? words.timers.span(wait_s) : "");
  const verdict = element("span", { class: "tag" });
  const due = element("span", { class: "quiet due-line" });
  const inside = element("div", { class: "service-inside" });
  const details = element("details", { ontoggle: () => details.open && inside.replaceChildren(...fill()) }, element("summary", {}, planWords.why), inside);
  const what = element("span", { class: "what" }, element("b", {}, job.title), !isReserved && element("span", { class: "quiet" }, [times, people > 1 ? planWords.people : ""].filter(Boolean).join(" · ")), due, verdict);
  const mark = element("span", { class: "mark-box", hidden: isReserved });
  const choice = isReserved ? element("div", { class: "choice" }, mark, what) : element("label", { class: "choice" }, box, mark, what);
  const root = element("li", { class: "service", "data-service": id, "data-reserved": isReserved }, choice, details);

  /** @param {{ isChosen: boolean, judged: Judged | null, decision: Decision | null, due: ServiceDue | null }} told judged: null while the garage is not told */
  function update({ isChosen, judged, decision, due: when }) {
    box.checked = isChosen;
    const isAway = decision?.choice === "hand-over";
    const tone = isReserved || isAway || judged?.verdict === "hand-over" || job.home === "hand-over" ? "warning" : judged?.verdict === "home" ? "done" : null;
    verdict.textContent = isReserved ? planWords.reserved : isAway ? planWords.handedOver : judged ? verdictText(catalog, judged) : words.plan.home[job.home];
    if (tone) verdict.dataset.tone = tone;
    else delete verdict.dataset.tone;
    due.textContent = when ? dueText(when) : "";
    due.hidden = due.textContent === "";
    if (details.open && !inside.contains(document.activeElement)) inside.replaceChildren(...fill());
  }
  return { root, update, id };
}

/** @param {Catalog} catalog @param {Judged} judged */
function verdictText(catalog, { verdict, missing }) {
  if (verdict !== "home-once") return planWords.verdicts[verdict];
  const names = missing.map((need) => lowered(shortName(catalog, need)));
  const named = names.length > NAMED + 1 ? [...names.slice(0, NAMED), planWords.andMore(names.length - NAMED)] : names;
  return planWords.once(listText(named));
}

/** What the garage calls it, where only one kind will do. @param {Catalog} catalog @param {Need} need */
function shortName(catalog, { kept, title }) {
  const [kind] = kept;
  return (kept.length === 1 && kind ? catalog.equipment?.[kind]?.title : undefined) ?? title;
}

/** @param {string} title */
function lowered(title) {
  return title.charAt(0).toLowerCase() + title.slice(1);
}

/** @param {ServiceDue} due */
function dueText(due) {
  if (due.state === "unknown") return "";
  return planWords.dueBy(planWords.due[due.state], whenText(due).gist, due.by ? dueWords.whose(due.by) : "");
}
