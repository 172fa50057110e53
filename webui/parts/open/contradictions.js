/** Where two phones disagree: a person looks at the car and says how it is; until then the less safe one counts. */

/** @import { Open } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { stateText, titleOf, variableText } from "../texts/known.js";
import { together } from "../../app/words/together.js";
import { whoMade } from "../texts/people.js";
import { listText } from "../texts/reading-words.js";
import { WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";
import { amountText } from "../texts/unit-amount.js";

/** @param {{ onConfirm: (variable: string, value: string) => unknown }} actions */
export function Contradictions({ onConfirm }) {
  const root = element("div", { class: "contradictions" });
  let drawn = "";

  /** @param {Open} open */
  function update(open) {
    const key = JSON.stringify([open.visit.contradictions, open.visit.disputed_readings]);
    if (key === drawn) return;
    drawn = key;
    root.hidden = open.visit.contradictions.length + open.visit.disputed_readings.length === 0;
    root.replaceChildren(...open.visit.contradictions.map((one) => Question(open, one)), ...open.visit.disputed_readings.map((one) => Disputed(open, one)));
  }

  /** @param {Open} open @param {{ variable: string, values: string[], events: string[] }} one */
  function Question(open, { variable, values, events }) {
    const { catalog } = open;
    const base = variable.split("@")[0] ?? "";
    const answers = [...new Set(values)].map((value) => Button({ class: "second" }, () => onConfirm(variable, value), stateText(catalog, base, value)));
    const told = values.map((value, at) => [whoMade(open, events[at] ?? ""), stateText(catalog, base, value)]).filter(([who]) => who);
    return element(
      "section",
      { class: "contradiction", role: "alert" },
      element("h2", {}, WarningMark(), words.open.contradiction),
      element("p", {}, words.open.contradictionSays(variableText(catalog, variable))),
      told.length > 0 && element("p", { class: "quiet" }, told.map(([who = "", value = ""]) => together.says(who, value)).join(" · ")),
      element("div", { class: "row" }, ...answers),
    );
  }
  return { root, update };
}

/** @param {Open} open @param {{ name: string, events: string[] }} one */
function Disputed({ catalog, visit }, { name, events }) {
  const values = (visit.readings[name] ?? []).filter(({ event }) => events.includes(event)).map(({ value }) => amountText(catalog, catalog.readings[name]?.unit ?? "1", value).text);
  return element("p", { class: "contradiction" }, words.open.disputed(titleOf(catalog, name), listText(values)));
}
