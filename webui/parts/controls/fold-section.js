/** A section that opens: closed, its one line says what is in it. */

import { element } from "../../dom/element.js";

/** @param {string} title */
export function FoldSection(title) {
  const gist = element("span", { class: "quiet" });
  const inside = element("div", { class: "inside" });
  const root = element("details", { class: "fold" }, element("summary", {}, element("span", { class: "fold-title" }, title), gist), inside);

  /** @param {string} says @param {Node[]} [nodes] left as they are where not given */
  function update(says, nodes) {
    gist.textContent = says;
    if (nodes) inside.replaceChildren(...nodes);
  }
  /** @param {Node[]} nodes */
  function fill(nodes) {
    inside.replaceChildren(...nodes);
  }
  return { root, update, fill };
}
