/**
 * What a plan does not know of its car. Numbers do not hold it up: each job tells which of its own are missing and where to
 * look, and a tap says one now; the step that needs it asks again. What the car is must be known first.
 */

/** @import { App, Car } from "../../app/types.js" */
/** @import { Catalog, Composition } from "../../core/types.js" */

import { element } from "../../dom/element.js";
import { carWords } from "../../app/words/car.js";
import { missingByJob } from "../../core/needs.js";
import { FoldSection } from "../controls/fold-section.js";
import { openFactSheet } from "./sheet.js";
import { titleOf } from "../texts/known.js";
import { Button } from "../controls/press.js";

/**
 * @param {App} app
 * @param {Catalog} catalog
 * @param {Car} car the plan's own; a number that is said here is in its facts from then on
 * @param {() => void} onChange
 */
export function MissingNumbers(app, catalog, car, onChange) {
  const say = carWords.plan;
  const folds = element("div", { class: "folds" });
  const root = element("section", { class: "missing-numbers" }, element("h2", {}, say.missing), element("p", { class: "quiet" }, car.own ? say.says : say.demo), folds);
  /** @type {Map<string, ReturnType<typeof FoldSection>>} */
  const sections = new Map();

  /** @param {Composition} composition */
  function update(composition) {
    const jobs = eachOnce(missingByJob(catalog, composition));
    root.hidden = jobs.length === 0;
    folds.replaceChildren(...jobs.map(([job, rows]) => section(job, rows)));
  }

  /** @param {string} job @param {{ name: string, steps: string[] }[]} rows */
  function section(job, rows) {
    const fold = sections.get(job) ?? FoldSection(catalog.jobs[job]?.title ?? job);
    sections.set(job, fold);
    fold.update(carWords.files.counts(rows.length), [element("ul", { class: "fact-rows" }, ...rows.map(Row))]);
    return fold.root;
  }

  /** @param {{ name: string, steps: string[] }} missing */
  function Row({ name, steps }) {
    const parts = [element("span", {}, titleOf(catalog, name)), element("b", { "data-known": "false" }, say.step(steps.length)), element("span", { class: "quiet where" }, catalog.facts[name]?.where ?? "")];
    if (!car.own) return element("li", { class: "fact-row" }, ...parts);
    const row = Button({ class: "fact-row" }, () => ask(name), ...parts);
    row.dataset.fact = name;
    return element("li", {}, row);
  }

  /** @param {string} name */
  function ask(name) {
    openFactSheet({
      catalog,
      fact: name,
      known: null,
      write: (draft) => app.loadGarage().then((garage) => garage.writeFact(car.id, draft)),
      onDone: () => {
        Object.assign(car, app.cars().find(({ id }) => id === car.id));
        onChange();
      },
    });
  }
  return { root, update };
}

/** A number that several jobs need is asked for under the first. @param {Record<string, { name: string, steps: string[] }[]>} found @returns {[string, { name: string, steps: string[] }[]][]} */
function eachOnce(found) {
  const told = new Set();
  return Object.entries(found)
    .map(([job, rows]) => /** @type {[string, { name: string, steps: string[] }[]]} */ ([job, rows.filter(({ name }) => !told.has(name) && told.add(name))]))
    .filter(([, rows]) => rows.length > 0);
}

/**
 * Questions without which some services cannot be told.
 *
 * @param {App} app @param {Catalog} catalog @param {Car} car @param {string[]} names
 */
export function MissingLayout(app, catalog, car, names) {
  if (!names.length) return null;
  const rows = names.map((name) => element("li", {}, element("b", {}, titleOf(catalog, name)), element("span", { class: "quiet" }, catalog.facts[name]?.where ?? "")));
  const answer = car.own ? Button({ class: "second" }, () => app.go(`#/car/${encodeURIComponent(car.id)}`), carWords.plan.answer) : null;
  return element("section", { class: "unknown" }, element("p", {}, carWords.plan.layout), element("ul", {}, ...rows.slice(0, 3)), answer);
}
