/** The body and the buttons of one step at a time. A view that comes when the day has moved on is thrown away. */

/** @import { View } from "./card.js" */

import { ignoreGhosts } from "../controls/press.js";

/**
 * @param {HTMLElement} body scrolls; with enlarged text the whole page does
 * @param {HTMLElement} slot for the buttons
 * @param {Element[]} above what stands above every step
 */
export function StepStage(body, slot, above) {
  /** @type {View | null} */
  let view = null;
  let key = "";
  let loading = "";
  let hasScrolled = false;
  const noteScroll = () => void (hasScrolled = true);
  document.addEventListener("scroll", noteScroll, { capture: true, passive: true });

  /** @param {string} wanted what is shown already, or on its way */
  function isShown(wanted) {
    return view !== null && wanted === (loading || key);
  }

  /**
   * @param {string} wanted begins with the step's id and a "|"
   * @param {() => Promise<View>} make
   * @param {(made: View) => void} onInstalled at once, before anyone else hears of the change; not where another was wanted meanwhile
   */
  async function show(wanted, make, onInstalled) {
    if (loading === wanted) return;
    loading = wanted;
    slot.ariaBusy = "true"; // its buttons are still those of the step before
    const made = await make();
    if (loading !== wanted) return made.dispose();
    loading = "";
    slot.ariaBusy = null;
    install(made, wanted);
    onInstalled(made);
  }

  /** @param {View} made @param {string} wanted */
  function install(made, wanted) {
    // Before anything is changed, while to ask for the layout costs nothing.
    if (hasScrolled) {
      body.scrollTop = 0;
      scrollTo(0, 0);
    }
    view?.dispose();
    view = made;
    key = wanted;
    body.replaceChildren(...above, ...made.parts);
    slot.replaceChildren(made.foot);
    slot.dataset.step = stepIn(wanted); // which step these buttons belong to, while the next is still being made
    hasScrolled = false;
    ignoreGhosts();
  }

  /** A step is read from its heading on; while a sheet is open nothing behind it takes the focus. */
  function focusHeading() {
    const heading = view?.heading;
    const focus = () => heading?.focus({ preventScroll: true });
    const sheet = document.querySelector("dialog[open]");
    if (sheet) sheet.addEventListener("close", focus, { once: true });
    else focus();
  }

  return {
    isShown,
    show,
    focusHeading,
    update: () => view?.update(),
    isEntering: () => view?.isEntering() ?? false,
    /** The step on the screen; what is being made counts as shown. */
    step: () => stepIn(view ? loading || key : ""),
    dispose() {
      document.removeEventListener("scroll", noteScroll, { capture: true });
      view?.dispose();
    },
  };
}

/** @param {string} wanted */
function stepIn(wanted) {
  return wanted.split("|", 1)[0] ?? "";
}
