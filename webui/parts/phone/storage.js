/** What the browser keeps of this phone's entries, for how long, and how much room there is: as it says itself, now. */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { phone as words } from "../../app/words/phone.js";
import { formatNumber } from "../../core/units.js";
import { TickMark, WarningMark } from "../drawings/marks.js";
import { Button } from "../controls/press.js";

/** @param {App} app */
export function StorageState(app) {
  const kept = Line();
  const room = element("p", { class: "quiet" });
  const tight = Line();
  const lifeboat = Line();
  const answer = element("p", { class: "quiet", role: "status" });
  const ask = Button({ class: "second" }, askToKeep, words.askToKeep);
  const root = element("section", {}, element("h2", {}, words.stored), lifeboat.root, tight.root, kept.root, ask, answer, room);

  async function askToKeep() {
    await app.keepSafe();
    answer.textContent = app.storage.persisted ? "" : words.stillNotKept;
  }

  function update() {
    const { persisted, used_bytes, left_bytes, isTight, lifeboat: count } = app.storage;
    kept.update(persisted ? words.kept : words.notKept, persisted);
    ask.hidden = persisted;
    tight.update(isTight && words.tight, false);
    lifeboat.update(count > 0 && words.lifeboat(count), false);
    room.textContent = used_bytes === null || left_bytes === null ? words.roomUnknown : words.room(sizeText(used_bytes), sizeText(left_bytes));
  }
  return { root, update };
}

/** A sentence with its mark: well, or watch out. */
function Line() {
  const root = element("p", { class: "standing-line" });
  let shown = "";
  return {
    root,
    /** @param {string | false} text @param {boolean} isWell */
    update(text, isWell) {
      root.hidden = text === false;
      if (text === false || shown === `${text} ${isWell}`) return;
      shown = `${text} ${isWell}`;
      root.replaceChildren(isWell ? TickMark() : WarningMark(), element("span", {}, text));
    },
  };
}

/** @param {number} bytes "12 MB", "1.4 GB": thousands, as phones' own settings count */
export function sizeText(bytes) {
  const [number, unit, decimals] = bytes >= 1e9 ? [bytes / 1e9, "GB", 1] : [bytes / 1e6, "MB", bytes < 1e7 ? 1 : 0];
  return `${formatNumber(number, decimals)}\u00a0${unit}`;
}
