/**
 * A number that can be read in two ways, "1,234", is asked about and never taken for either.
 *
 * Every field that takes a number settles it here: a reading that cannot be where it stands, an oil filling of 1234 l, is
 * none; where both can be, the two stand beneath the field as buttons until one is pressed or something else is typed.
 */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "./press.js";

/**
 * @template {{ text: string }} Meaning
 * @param {() => void} onChosen
 */
export function WhichOfTwo(onChosen) {
  let written = "";
  /** @type {Meaning | null} */
  let chosen = null;
  const root = element("div", { class: "row either", role: "group", "aria-label": words.quantity.either, hidden: true });

  /**
   * What was meant, and the buttons shown or taken away.
   *
   * @param {string} text as it is typed
   * @param {Meaning[]} meanings those that can be here
   * @returns {Meaning | null} null where none can be, or the person has not said which; `isAsking` tells them apart
   */
  function settle(text, meanings) {
    if (text !== written) {
      [written, chosen] = [text, null];
      root.replaceChildren(...meanings.map((meaning) => Button({ class: "second" }, () => choose(meaning), meaning.text)));
    }
    root.hidden = meanings.length < 2 || chosen !== null;
    return meanings.length < 2 ? (meanings[0] ?? null) : chosen;
  }

  /** @param {Meaning} meaning */
  function choose(meaning) {
    chosen = meaning;
    onChosen();
  }

  return { root, settle, isAsking: () => !root.hidden };
}
