/** How the app comes to the home screen: by the browser's own offer where it makes one, else in plain steps. */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { phone as words } from "../../app/words/phone.js";
import { Button } from "../controls/press.js";

/** @param {App} app */
export function InstallHint(app) {
  const says = element("p", {});
  const take = Button({ class: "second" }, () => app.install.take?.(), words.installDoes);
  const steps = element("ol", { class: "plain-steps" }, ...words.installSteps[kindOfPhone()].map((step) => element("li", {}, step)));
  const root = element("section", {}, element("h2", {}, words.install), says, take, steps);

  function update() {
    const { isInstalled, take: offered } = app.install;
    says.textContent = isInstalled ? words.installed : words.installSays;
    take.hidden = isInstalled || offered === null;
    steps.hidden = isInstalled || offered !== null;
  }
  return { root, update };
}

/** The names of menus differ; nothing else depends on this. @returns {keyof typeof words.installSteps} */
function kindOfPhone() {
  const { userAgent, maxTouchPoints } = navigator;
  if (/iPhone|iPad/.test(userAgent) || (/Macintosh/.test(userAgent) && maxTouchPoints > 1)) return "apple";
  return /Android/.test(userAgent) ? "android" : "desk";
}
