/** One service in the due list: its state, the day or range, whose word brings it, and its line over the years. */

/** @import { Catalog } from "../../core/types.js" */
/** @import { ServiceDue } from "../../core/due-list.js" */
/** @import { Stretch } from "./track.js" */

import { element } from "../../dom/element.js";
import { due as words } from "../../app/words/due.js";
import { dateText, distanceText, reasonText, whenText } from "./words.js";
import { DueTrack } from "./track.js";
import { Button } from "../controls/press.js";

/** @param {Catalog} catalog @param {ServiceDue} service @param {Stretch} stretch @param {() => void} onOpen */
export function DueRow(catalog, service, stretch, onOpen) {
  const { gist, range } = whenText(service);
  const isPast = service.state === "due";
  const says = [isPast ? "" : range, reasonText(catalog, service)].filter(Boolean).join(" · ");
  return element(
    "li",
    { class: "due-row", "data-state": service.state },
    Button(
      { class: "due-open" },
      onOpen,
      element("span", { class: "due-head" }, element("b", {}, service.title), StateTag(service.state)),
      element("span", { class: "due-when" }, isPast ? words.wasDue(gist) : gist),
      says && element("span", { class: "quiet" }, says),
      DueTrack(stretch, service),
      service.last && element("span", { class: "quiet" }, words.last(dateText(service.last.date), service.last.odometer_m === null ? "" : distanceText(catalog, service.last.odometer_m))),
    ),
  );
}

/** @param {ServiceDue["state"]} state */
export function StateTag(state) {
  const tone = state === "due" || state === "maybe" ? "warning" : null;
  return element("span", { class: "tag", "data-tone": tone }, words.states[state]);
}

/** A service of which nobody knows when it was last done. @param {ServiceDue} service @param {() => void} onOpen */
export function UnknownRow(service, onOpen) {
  return element("li", { class: "due-row", "data-state": "unknown" }, Button({ class: "due-open" }, onOpen, element("b", {}, service.title), element("span", { class: "quiet" }, service.last ? words.noDay : words.neverDone)));
}
