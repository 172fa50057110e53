/**
 * A wait that nobody starts, at its own step: about how long it is likely to take still, from when on to look, and what may
 * be done meanwhile. It bars nothing: a reading may be typed at any moment, and decides. Its end is said but sounds no
 * tone, since nothing is spoilt by coming later.
 */

/** @import { StepContext } from "./context.js" */
/** @import { Wait } from "./waits.js" */

import { element } from "../../dom/element.js";
import { waits as words } from "../../app/words/waits.js";
import { say } from "../../device/voice.js";
import { ignoreGhosts } from "../controls/press.js";
import { stepTitle } from "../texts/known.js";
import { timeText } from "../texts/reading-words.js";
import { MeanwhileOffer } from "./meanwhile-offer.js";
import { leftOf, plainWaitOf } from "./waits.js";

const BEAT_MS = 1000;

/** @param {StepContext} context @param {() => void} onChange what may be done meanwhile has changed */
export function PlainWait(context, onChange) {
  const time = element("b", {});
  const more = element("span", {});
  const spoken = element("p", { class: "only-spoken", role: "status" });
  const root = element("div", { class: "likely", hidden: true }, element("p", {}, time, " ", more), spoken);
  const offer = MeanwhileOffer(context, onChange);
  const beat = context.step.since?.length ? setInterval(update, BEAT_MS) : 0;
  let mayBeFilled = false;
  /** @type {boolean | null} null before it was first shown */
  let wasOver = null;

  function update() {
    const wait = plainWaitOf(context.open(), context.instance);
    root.hidden = wait === null;
    if (wait) show(wait);
    const before = mayBeFilled;
    mayBeFilled = wait !== null && (leftOf(wait) > 0 || wait.wasTooSoon);
    if (mayBeFilled) offer.look();
    // Under a number that is being typed there is no offer, and no key is to be taken for a leftover.
    if (before && !mayBeFilled && offer.step() && root.isConnected) {
      ignoreGhosts(); // the offer beside the action goes
      onChange();
    }
  }

  /** @param {Wait} wait */
  function show(wait) {
    const left_s = leftOf(wait);
    const isOver = left_s <= 0;
    const [says, then] = isOver ? (wait.wasTooSoon ? [words.longer, words.decidesAgain] : [words.likely, words.decides]) : [words.about(Math.ceil(left_s / 60)), words.likelyFrom(timeText(wait.ends_ms))];
    if (time.textContent !== says) time.textContent = says;
    if (more.textContent !== then) more.textContent = then;
    if (isOver && wasOver === false && !wait.wasTooSoon) tellLikely();
    wasOver = isOver;
  }

  function tellLikely() {
    spoken.textContent = words.isLikely(stepTitle(context.open(), context.instance));
    if (context.app.preferences.readAloud) void say([spoken.textContent]);
  }

  return {
    root,
    update,
    isOn: () => !root.hidden,
    /** What may be done meanwhile, if anything. */
    button: () => (mayBeFilled ? offer.button() : null),
    key: () => (mayBeFilled ? offer.step() : ""),
    dispose: () => clearInterval(beat),
  };
}
