/** The whole day behind the header: every phase and step, what is done, what is passed over, where one is. */

/** @import { App, Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { stepOf } from "../../core/compose.js";
import { stepTitleWithItem } from "../texts/known.js";
import { SkipMark, TickMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { whoMade } from "../texts/people.js";
import { timeText } from "../texts/reading-words.js";
import { openSheet } from "../controls/sheet.js";

/** @param {App} app @param {Open} open */
export function openDaySheet(app, open) {
  const { catalog, composition, visit } = open;
  const left = composition.steps.filter(({ id }) => !visit.steps[id]).map((instance) => stepOf(catalog, instance));
  const sum = /** @param {"work_s" | "wait_s"} key */ (key) => words.timers.span(left.reduce((total, step) => total + step[key], 0));
  const inside = [element("p", { class: "quiet" }, words.day.left(sum("work_s"), sum("wait_s"))), ...catalog.phases.map(Phase)];
  const leave = Button({ class: "second" }, () => {
    sheet.close();
    app.go("#/cars");
  }, words.day.leave);
  const sheet = openSheet(words.day.title, inside, [leave]);
  sheet.querySelector("[aria-current]")?.scrollIntoView({ block: "center" });

  /** @param {{ id: string, title: string }} phase */
  function Phase(phase) {
    const instances = composition.steps.filter((instance) => stepOf(catalog, instance).phase === phase.id);
    if (!instances.length) return null;
    return element("section", { class: "day-phase" }, element("h3", {}, phase.title), element("ol", {}, ...instances.map(Row)));
  }

  /** @param {import("../../core/types.js").Instance} instance */
  function Row(instance) {
    const status = visit.steps[instance.id];
    const isNow = visit.next === instance.id;
    const mark = status ? (status.status === "done" ? TickMark() : SkipMark()) : element("span", { class: "no-mark" });
    const how = status ? (status.status === "done" ? timeText(status.at) : words.day.skipped) : isNow ? words.day.now : "";
    const note = [how, status && whoMade(open, status.event)].filter(Boolean).join(" · ");
    return element(
      "li",
      { "aria-current": isNow ? "step" : null },
      mark,
      element("span", {}, stepTitleWithItem(open, instance)),
      element("span", { class: "quiet" }, note),
    );
  }
}
