/** Beside a wait that runs: the one thing that may be done meanwhile. */

/** @import { Instance } from "../../core/types.js" */
/** @import { StepContext } from "./context.js" */

import { element } from "../../dom/element.js";
import { waits as words } from "../../app/words/waits.js";
import { Button } from "../controls/press.js";
import { stepTitle } from "../texts/known.js";

/** @param {StepContext} context @param {() => void} onFound */
export function MeanwhileOffer(context, onFound) {
  /** As the visit stood when it was last looked for. */
  let lookedAt = {};
  /** @type {Instance | null} */
  let offered = null;

  function look() {
    const { visit, composition } = context.open();
    if (lookedAt === visit) return;
    lookedAt = visit;
    void context.meanwhile.find().then((id) => {
      if (lookedAt !== visit) return;
      offered = composition.steps.find((instance) => instance.id === id) ?? null;
      onFound();
    });
  }

  function button() {
    if (!offered) return null;
    const { id } = offered;
    const says = element("span", {}, element("small", {}, `${words.meanwhile}:`), " ", stepTitle(context.open(), offered));
    return Button({ class: "second meanwhile" }, () => context.meanwhile.go(id), says);
  }
  return { look, button, step: () => offered?.id ?? "" };
}
