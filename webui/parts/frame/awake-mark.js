/** Whether the screen stays on, as it truly is: a lamp, and a lamp struck through with the words beside the step. */

/** @import { Awake } from "../../device/awake.js" */

import { element, svg } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { stayAwake } from "../../device/awake.js";

/** @param {(says: string) => void} onChange what is to be said of it; "" while all is well */
export function AwakeMark(onChange) {
  const strike = svg("path", { class: "strike", d: "M6 6 30 30" });
  const spoken = element("span", { class: "only-spoken" });
  const lamp = svg(
    "svg",
    { viewBox: "0 0 36 36", "aria-hidden": "true" },
    svg("path", { d: "M18 5.5a9 9 0 0 1 5 16.5v4h-10v-4a9 9 0 0 1 5-16.5zM14.5 31h7" }),
    strike,
  );
  const root = element("span", { class: "awake-mark" }, lamp, spoken);
  const dispose = stayAwake(show);

  /** @param {Awake} state */
  function show(state) {
    root.dataset.state = state;
    spoken.textContent = words.awake[state];
    onChange(state === "refused" || state === "missing" ? words.awake.mayGoDark : "");
  }
  return { root, dispose };
}
