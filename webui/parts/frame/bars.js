/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { saveUnsent } from "../phone/save.js";

/**
 * What needs a person, above every screen: storage that failed or is nearly full, a server that forgot this phone,
 * entries it did not take, a newer version. Being offline is none of these: it is normal.
 *
 * @param {App} app
 */
export function Bars(app) {
  const { bars } = app.words;
  const storage = Bar("alarm", bars.saveFile, save);
  const unpaired = Bar("notice", bars.letInAgain, () => app.go("#/let-in"));
  const refused = Bar("notice", bars.saveFile, save);
  const update = Bar("notice", bars.takeUpdate, () => void app.update.take().catch((error) => update.show(String(error.message))));
  const outdated = Bar("notice", bars.toPhone, () => app.go("#/phone"));
  const tight = Bar("notice", bars.toPhone, () => app.go("#/phone"));
  const root = element("div", { class: "bars" }, storage.root, tight.root, unpaired.root, outdated.root, refused.root, update.root);

  let isSavedInPart = false;

  async function save() {
    isSavedInPart = !(await saveUnsent(app));
    show();
  }

  function show() {
    const { trouble, lifeboat } = app.storage;
    const isAlarming = trouble !== null || lifeboat > 0;
    const stored = trouble === "full" ? bars.full : trouble === "blocked" ? bars.blocked : bars.lifeboat;
    storage.show(isSavedInPart ? bars.savedInPart : isAlarming && stored);
    tight.show(app.storage.isTight && !isAlarming && bars.tight);
    unpaired.show(app.sync.state === "unpaired" && app.catalog !== null && bars.unpaired);
    const { state } = app.sync;
    outdated.show((state === "app-old" || state === "server-old") && app.words.phone.states[state]);
    refused.show(app.sync.refusals.length > 0 && [bars.refused, ...app.sync.refusals.map((refusal) => refusal.message)].join(" "));
    update.show(app.update.ready && app.me.openVisits.length === 0 && bars.updateReady);
  }
  return { root, update: show };
}

/**
 * One bar: a sentence and what to do about it.
 *
 * @param {"alarm" | "notice"} kind @param {string} does @param {() => void} onAct
 */
function Bar(kind, does, onAct) {
  const says = element("p", {});
  const root = element("div", { class: "bar", "data-kind": kind, role: kind === "alarm" ? "alert" : "status", hidden: true }, says, element("button", { type: "button", onclick: onAct }, does));
  return {
    root,
    /** @param {string | false} text */
    show(text) {
      root.hidden = text === false;
      if (text !== false && says.textContent !== text) says.textContent = text;
    },
  };
}
