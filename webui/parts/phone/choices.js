/** Choices that hold for this phone: one of a few, or yes and no, each with what it means in a line. */

import { element } from "../../dom/element.js";

/**
 * @template {string} Name
 * @param {{ name: string, title: string, choices: Record<Name, string>, chosen: Name, onChoose: (name: Name) => void }} options
 */
export function OneOf({ name, title, choices, chosen, onChoose }) {
  const all = /** @type {[Name, string][]} */ (Object.entries(choices)).map(([value, label]) => {
    const input = element("input", { type: "radio", name, value, checked: value === chosen, onchange: () => onChoose(value) });
    return element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, label));
  });
  return element("fieldset", { class: "field one-of" }, element("legend", {}, title), element("div", { class: "row" }, ...all));
}

/** @param {{ name: string, title: string, says: string, isOn: boolean, onChange: (isOn: boolean) => void }} options */
export function YesNo({ name, title, says, isOn, onChange }) {
  const input = element("input", { type: "checkbox", name, checked: isOn, onchange: () => onChange(input.checked), "aria-describedby": `${name}-says` });
  const label = element("label", { class: "choice" }, input, element("span", { class: "mark-box" }), element("span", {}, title));
  return element("div", { class: "yes-no" }, label, element("p", { class: "quiet", id: `${name}-says` }, says));
}
