/** The places beside the cars: a quiet row at the end of the first screen. */

/** @import { App } from "../../app/types.js" */

import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";
import { Button } from "../controls/press.js";

/** In the order in which they are needed: address, and what it is called. @type {[string, string][]} */
const PLACES = [
  ["#/due", words.due],
  ["#/garage", words.garage],
  ["#/phone", words.phone.title],
  ["#/house", words.house],
];

/** @param {App} app */
export function Places(app) {
  return element("nav", { class: "places", "aria-label": words.cars.placesLabel }, ...PLACES.map(([address, title]) => Button({ class: "plain" }, () => app.go(address), title)));
}
