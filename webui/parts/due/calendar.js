/** The calendar that phones subscribe to: its address is made here, and taken back on the screen of the house. */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { due as words } from "../../app/words/due.js";
import { FoldSection } from "../controls/fold-section.js";
import { openMadeLink } from "../house/links.js";
import { Button } from "../controls/press.js";

/** @param {App} app */
export function CalendarSection(app) {
  const fold = FoldSection(words.calendar);
  const name = element("input", { id: "calendar-name", type: "text", autocomplete: "off" });
  const problem = element("p", { class: "trouble", role: "alert", hidden: true });
  const make = Button({ class: "second" }, makeAddress, words.calendarMake);
  fold.update(words.calendarGist, [element("p", {}, words.calendarSays), element("div", { class: "field" }, element("label", { for: "calendar-name" }, words.calendarName), name), problem, make]);

  async function makeAddress() {
    problem.hidden = true;
    try {
      const house = await app.loadHouse();
      openMadeLink(await house.makeLink({ opens: "calendar", subject: "", name: name.value.trim() || words.calendar }));
    } catch (error) {
      problem.hidden = false;
      problem.textContent = error instanceof TypeError || !(error instanceof Error) ? words.calendarAway : error.message;
    }
  }

  return { root: fold.root, update: () => {} };
}
