/** What the finished sheet says, read off the folded visit: every step, number, judgement, reason. Pure. */

/** @import { Catalog, Instance, Step, StepStatus } from "../../core/types.js" */
/** @import { Open } from "../../app/types.js" */
/** @import { Known } from "../texts/known.js" */

import { stepOf } from "../../core/compose.js";
import { judgements, unfinished } from "../../core/gate.js";
import { amountText } from "../texts/unit-amount.js";
import { filledText, itemText, knowledgeOf, lookUp, stateText, variableText } from "../texts/known.js";
import { record } from "../../app/words/record.js";
import { whoMade } from "../texts/people.js";
import { listText, timeText } from "../texts/reading-words.js";

/**
 * @typedef {object} Row one step of the sheet
 * @property {string} id
 * @property {string} step
 * @property {string} phase
 * @property {string} item words for the item, where the step is done for each of several
 * @property {(item: string) => string} titleFor
 * @property {string} title
 * @property {StepStatus | undefined} status
 * @property {string} finding what was found, after what had been found before and led back
 * @property {boolean} isWell whether the finding is a good one, or there is none to name
 * @property {{ label: string, value: string }[]} readings
 * @property {Known | null} torque
 * @property {{ holds: boolean | null, says: string | null }[]} judged
 * @property {{ reason: string, rules: string[], who: string }[]} overrides
 * @property {{ sha256: string, who: string }[]} photos
 */

/** @param {Open} open @returns {Row[]} */
export function findRows(open) {
  return open.composition.steps.map((instance) => rowOf(open, instance, stepOf(open.catalog, instance)));
}

/** @param {Open} open @param {Instance} instance @param {Step} step @returns {Row} */
function rowOf(open, instance, step) {
  const { catalog, visit } = open;
  const item = itemText(catalog, step.each, instance.item);
  const titleFor = /** @param {string} words */ (words) => {
    const filled = filledText(knowledgeOf(open), step.title, words);
    return words && !step.title.includes("{item}") ? `${filled}: ${words}` : filled;
  };
  const status = visit.steps[instance.id];
  const isDone = status?.status === "done";
  const labelOf = /** @param {string} found */ (found) => step.findings.find(({ id }) => id === found)?.label ?? found;
  const found = step.findings.find(({ id }) => id === status?.finding);
  const before = visit.found[instance.id] ?? [];
  return {
    id: instance.id,
    step: step.id,
    item,
    titleFor,
    phase: step.phase,
    title: titleFor(item),
    status,
    finding: [...before.map(labelOf), ...(found ? [found.label] : [])].join(record.thenFound),
    isWell: (found?.good ?? true) && !before.length,
    readings: step.readings.flatMap((name) => readingOf(open, instance, name)),
    torque: step.torque && isDone ? lookUp(knowledgeOf(open), step.torque) : null,
    judged: isDone ? judgements(catalog, visit.values, step) : [],
    overrides: visit.overrides.filter((one) => one.step === instance.id).map(({ reason, stops, event }) => ({ reason, rules: stops.map((id) => ruleText(open, id)), who: whoMade(open, event) })),
    photos: (visit.photos[instance.id] ?? []).map((sha256) => ({ sha256, who: whoTook(open, instance.id, sha256) })),
  };
}

/** @param {Open} open @param {Instance} instance @param {string} name */
function readingOf({ catalog, visit }, instance, name) {
  const taken = (visit.readings[name] ?? []).filter(({ step }) => step === instance.id);
  const label = catalog.readings[name]?.label ?? name;
  const last = taken.at(-1);
  return last ? [{ label, value: amountText(catalog, last.unit, last.value).text }] : [];
}

/** Who took a photo first. @param {Open} open @param {string} instance @param {string} sha256 */
function whoTook(open, instance, sha256) {
  const taken = open.events.find(({ id, kind, payload }) => kind === "photo-taken" && payload.step === instance && payload.sha256 === sha256 && !open.visit.undone.includes(id));
  return taken ? whoMade(open, taken.id) : "";
}

/** A rule by its title; a need by what it asks of. @param {Open} open @param {string} id */
function ruleText({ catalog }, id) {
  return catalog.rules.find((rule) => rule.id === id)?.title ?? variableText(catalog, id);
}

/**
 * Torques, one line for all items of a step that had the same.
 *
 * @param {Row[]} rows
 */
export function gatherTorques(rows) {
  /** @type {Map<string, Row[]>} */
  const groups = new Map();
  for (const row of rows) {
    if (!row.torque) continue;
    const key = `${row.step} ${row.torque.text}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()].flatMap((group) => {
    const [first, last] = [group[0], group.at(-1)];
    if (!first?.torque) return [];
    const title = first.titleFor(listText(group.map(({ item }) => item).filter(Boolean)));
    const at = /** @param {Row | undefined} row */ (row) => (row?.status ? timeText(row.status.at) : "");
    return [{ job: first.step.split("/")[0] ?? "", title, torque: first.torque, from: at(first), to: at(last) }];
  });
}

/**
 * Each renewed fluid: which, its approval and grade, what came out and what went in.
 *
 * @param {Open} open
 */
export function findFluids(open) {
  const { catalog } = open;
  const knowledge = knowledgeOf(open);
  const say = /** @param {string | null | undefined} name */ (name) => (name ? lookUp(knowledge, name).text : "");
  return open.composition.jobs.flatMap((job) =>
    (catalog.jobs[job]?.renews ?? []).flatMap((circuit) => {
      const variable = catalog.variables[circuit];
      const fluid = variable?.fluid ? catalog.fluids[variable.fluid] : undefined;
      if (!variable || !(circuit in open.composition.variables)) return [];
      const supply = catalog.jobs[job]?.supplies.find((one) => one.fluid === variable.fluid);
      const amounts = namesOfAmounts(catalog, job);
      const last = /** @param {string[]} names */ (names) => names.map(say).find(Boolean) ?? "";
      const isNew = open.visit.variables[`${circuit}.fluid`] === "new";
      return [{ circuit, title: variable.title, fluid: fluid?.title ?? "", approval: say(supply?.approval), grade: say(supply?.grade), out: last(amounts.drained), into: last(amounts.filled), isNew }];
    }),
  );
}

/** What says how much came out and went in, by the figures that hold one against the other: one way of filling or another. @param {Catalog} catalog @param {string} job */
function namesOfAmounts(catalog, job) {
  const compared = Object.values(catalog.figures).filter((figure) => figure.job === job && figure.with.drained && figure.with.filled);
  const bound = /** @param {"drained" | "filled"} input */ (input) => [...new Set(compared.flatMap(({ with: { [input]: amount } }) => (amount && "name" in amount ? [amount.name] : [])))];
  return { drained: bound("drained"), filled: bound("filled") };
}

/** Everything that departed from the procedure. @param {Row[]} rows */
export function findExceptions(rows) {
  return rows.flatMap((row) => [
    ...(row.status?.status === "skipped" ? [{ title: row.title, what: record.passedOver, reason: row.status.reason ?? "" }] : []),
    ...(!row.status ? [{ title: row.title, what: record.notDone, reason: "" }] : []),
    ...row.overrides.map(({ reason, rules, who }) => ({ title: row.title, what: [record.overruled(rules.join(", ")), who].filter(Boolean).join(" · "), reason })),
  ]);
}

/** @param {Open} open */
export function findLeftOpen(open) {
  return unfinished(open.catalog, open.composition, open.visit.variables).map(({ variable, found }) => {
    const base = variable.split("@")[0] ?? "";
    return { title: variableText(open.catalog, variable), says: stateText(open.catalog, base, found) };
  });
}
