/** What every card of the plan gets, and how its lines are made. */

/** @import { Catalog, Composition } from "../../../core/types.js" */
/** @import { Inventory } from "../../../core/inventory.js" */
/** @import { Knowledge } from "../../texts/known.js" */
/** @import { Given, Worked } from "../worked.js" */

import { element } from "../../../dom/element.js";
import { WorkedLine } from "../formula-form.js";
import { givenOf, workOut } from "../worked.js";

/**
 * @typedef {object} CardInput
 * @property {Catalog} catalog
 * @property {Knowledge} knowledge
 * @property {Composition} composition
 * @property {Inventory | null} inventory null where the garage is not loaded
 * @property {Record<string, number>} ages by job: seconds since it was last done
 */

/** @typedef {{ id: string, title: string, gist: string, nodes: HTMLElement[] }} CardContent */
/** @typedef {(input: CardInput) => CardContent[]} MakeCards none where there is nothing to say of this car */

/** Lines that open, without those that have nothing to say. @param {...(HTMLElement | null)} lines */
export function Lines(...lines) {
  const shown = lines.filter((line) => line !== null);
  return shown.length ? element("div", { class: "number-lines" }, ...shown) : null;
}

/**
 * One line, or none where the catalog has no such formula or a number it needs is not known.
 *
 * @param {Catalog} catalog @param {string} id @param {Record<string, Given>} given @param {string} [label]
 */
export function Line(catalog, id, given, label) {
  return LineOf(workOut(catalog, id, given), label);
}

/** What is only missing is left out; what is out of range says so. @param {Worked | null} worked @param {string} [label] */
export function LineOf(worked, label) {
  return worked && !worked.outcome.missing ? WorkedLine(worked, label) : null;
}

/** A part of a card that is not there at all where it holds nothing. @param {string} title @param {...(HTMLElement | null)} inside */
export function Part(title, ...inside) {
  const shown = inside.filter((one) => one !== null);
  return shown.length ? element("section", { class: "card-part" }, element("h3", {}, title), ...shown) : null;
}

/** Something to be typed first: closed until somebody wants it. @param {string} title @param {HTMLElement | null} form */
export function Ask(title, form) {
  return form && element("details", { class: "card-ask" }, element("summary", {}, title), form);
}

/** @param {string} text */
export function Says(text) {
  return element("p", { class: "quiet" }, text);
}

/** @param {(HTMLElement | null)[]} nodes @returns {HTMLElement[]} */
export function present(nodes) {
  return nodes.filter((node) => node !== null);
}

/** A fact of the car, or nothing where it has no value. @param {CardInput} input @param {string} name @returns {Given | null} */
export function factOf({ knowledge, catalog }, name) {
  if (!catalog.facts[name]) return null;
  const given = givenOf(knowledge, name);
  return given.value === null ? null : given;
}

/** The circuits that the chosen jobs renew. @param {CardInput} input @returns {{ circuit: string, job: string, fact: string, colour: string }[]} */
export function renewedCircuits({ catalog, composition }) {
  return composition.jobs.flatMap((job) =>
    (catalog.jobs[job]?.renews ?? []).map((circuit) => ({
      circuit,
      job,
      fact: circuit.replaceAll("-", "_"),
      colour: catalog.fluids[catalog.variables[circuit]?.fluid ?? ""]?.colour ?? "",
    })),
  );
}
