/** Whose units come first on this phone, with one torque and one volume to see what that means. */

/** @import { App } from "../../app/types.js" */

import { carWords } from "../../app/words/car.js";
import { element } from "../../dom/element.js";
import { amountText } from "../texts/unit-amount.js";

/** What a drain plug and a sump take, so that the example looks like the trade. SI. */
const EXAMPLES = /** @type {const} */ ([["N*m", 25], ["l", 0.0045]]);

/** @param {App} app */
export function UnitChoice(app) {
  const say = carWords.units;
  const example = element("p", { class: "quiet", role: "status" });
  const choices = Object.entries(say.systems).map(([id, label]) => {
    const choose = () => {
      app.prefer({ units: /** @type {App["preferences"]["units"]} */ (id) });
      show();
    };
    const input = element("input", { type: "radio", name: "units", value: id, checked: id === app.preferences.units, onchange: choose });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label));
  });

  function show() {
    const { catalog } = app;
    const texts = EXAMPLES.map(([unit, si]) => (catalog ? amountText(catalog, unit, si) : null)).map((one) => (one ? [one.text, one.other].filter(Boolean).join(" · ") : ""));
    example.textContent = say.example(texts);
  }
  show();
  return element("fieldset", { class: "field units" }, element("legend", {}, say.title), element("p", { class: "said" }, say.says), element("div", { class: "choices" }, ...choices), example);
}
