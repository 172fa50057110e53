/**
 * What stands between a person and the next step: needs, rules, and at the end whatever is not as it should be.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/visits/gate.py.
 */

/** @import { Catalog, Composition, Instance, Judgement, Rule, Step, Stop, Unfinished, Value, Variable } from "./types.js" */

import { effects, members, partsOf, stepOf, targets } from "./compose.js";
import { evaluate } from "./evaluate.js";
import { evaluateFigure } from "./figures.js";

/** Not in the specs: it speaks of a change, where every other rule speaks of a state. */
export const ONE_TIME_RULE = {
  id: "one-time-part",
  title: "A one-time part is fitted only once",
  reason: "A seal, washer or bolt that has done its work once does not hold a second time.",
};

/**
 * Why this step may not be done now; empty when it may.
 *
 * Rules are checked in the state the step leaves behind, and those that speak of where a person is also in the state
 * the step finds. A rule that is broken already does not stop the step that puts it right.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables the state before the step
 * @param {Instance} instance
 * @returns {Stop[]}
 */
export function stops(catalog, composition, variables, instance) {
  const step = stepOf(catalog, instance);
  const after = { ...variables, ...effects(catalog, composition, variables, instance) };
  /** @type {Omit<Stop, "cure">[]} */
  const found = [];

  for (const [base, expected] of Object.entries(step.needs)) {
    const { title } = /** @type {Variable} */ (catalog.variables[base]);
    for (const id of targets(catalog, composition, instance, base)) {
      const value = variables[id] ?? "";
      if (expected.includes(value)) continue;
      found.push({ kind: "need", id, variable: id, found: value, expected, title, reason: step.why, never: false });
    }
  }

  for (const rule of rulesInForce(catalog, composition)) {
    const broken = findBroken(catalog, composition, rule, after, step.where);
    if (speaksOfPlace(rule)) {
      for (const id of findBroken(catalog, composition, rule, variables, step.where)) if (!broken.includes(id)) broken.push(id);
    }
    const { id: ruleId, title, reason, never } = rule;
    for (const id of broken) {
      const expected = rule.must[id] ?? rule.must[composition.variables[id] ?? ""] ?? [];
      const value = id === "place" ? (step.where ?? "") : (after[id] ?? "");
      found.push({ kind: "rule", id: ruleId, variable: id, found: value, expected, title, reason, never });
    }
  }

  for (const part of findRefitted(catalog, composition, variables, after)) {
    found.push({ kind: "rule", ...ONE_TIME_RULE, variable: part, found: "used", expected: ["new"], never: false });
  }
  return found.map((stop) => ({ ...stop, cure: findCure(catalog, composition, instance, stop.variable, stop.expected) }));
}

/** @type {WeakMap<Composition, Rule[]>} */
const rulesByComposition = new WeakMap();

/**
 * The rules that count on this car. One that cannot be told for want of a fact counts.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 */
export function rulesInForce(catalog, composition) {
  let rules = rulesByComposition.get(composition);
  if (!rules) {
    rules = catalog.rules.filter(({ when }) => !when || evaluate(when, composition.facts, catalog.tables).value !== false);
    rulesByComposition.set(composition, rules);
  }
  return rules;
}

/** @param {Rule} rule */
export function speaksOfPlace(rule) {
  return "place" in rule.while || "place" in rule.must;
}

/**
 * The variables that a rule wants otherwise. `while` needs one item of a family, `must` all of them; what this car has
 * not is passed over in `must` and never true in `while`.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Rule} rule
 * @param {Record<string, string>} variables
 * @param {string | null | undefined} where
 * @returns {string[]}
 */
function findBroken(catalog, composition, rule, variables, where) {
  /** @param {string} base */
  const ids = (base) => (base === "place" ? (where ? ["place"] : []) : members(catalog, composition, base));
  /** @param {string} id */
  const valueOf = (id) => (id === "place" ? where : variables[id]) ?? "";

  const applies = Object.entries(rule.while).every(([base, values]) => ids(base).some((id) => values.includes(valueOf(id))));
  if (!applies) return [];
  return Object.entries(rule.must).flatMap(([base, values]) => ids(base).filter((id) => !values.includes(valueOf(id))));
}

/**
 * Used one-time parts of closures that this change tightens.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} before
 * @param {Record<string, string>} after
 */
function findRefitted(catalog, composition, before, after) {
  /** @type {Set<string>} */
  const parts = new Set();
  for (const id of Object.keys(after)) {
    const isTightened = after[id] !== before[id] && (after[id] === "first-pass" || after[id] === "closed");
    if (!isTightened) continue;
    for (const part of partsOf(catalog, composition, id)) if (after[part] === "used") parts.add(part);
  }
  return [...parts];
}

/**
 * The step that would bring a variable to one of these values: the last such before this one, else the next after it.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Instance} instance
 * @param {string} variable
 * @param {string[]} expected
 * @returns {string | null}
 */
function findCure(catalog, composition, instance, variable, expected) {
  const base = composition.variables[variable];
  if (base === undefined) return null;
  const cures = composition.steps.filter((other) => {
    const made = stepOf(catalog, other).makes[base];
    if (made === undefined || !expected.includes(made) || other.id === instance.id) return false;
    return targets(catalog, composition, other, base).includes(variable);
  });
  const here = composition.steps.findIndex((other) => other.id === instance.id);
  const before = cures.filter((other) => composition.steps.indexOf(other) < here);
  return (before.at(-1) ?? cures[0])?.id ?? null;
}

/**
 * What must still be put right before the visit is closed: anything not in an end state, and fluids not renewed.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables
 * @returns {Unfinished[]}
 */
export function unfinished(catalog, composition, variables) {
  const renewed = new Set(composition.jobs.flatMap((id) => (catalog.jobs[id]?.renews ?? []).map((circuit) => `${circuit}.fluid`)));
  return Object.entries(composition.variables).flatMap(([id, base]) => {
    const { title, ends } = /** @type {Variable} */ (catalog.variables[base]);
    const expected = renewed.has(id) ? ["new"] : ends;
    const found = variables[id] ?? "";
    return expected.includes(found) ? [] : [{ variable: id, found, expected, title }];
  });
}

/**
 * How the readings of a step are judged; `holds` is null while a judgement has no value.
 *
 * @param {Catalog} catalog
 * @param {Record<string, Value>} values
 * @param {Step} step
 * @returns {Judgement[]}
 */
export function judgements(catalog, values, step) {
  return step.judges.map((figure) => {
    const outcome = evaluateFigure(catalog, figure, values);
    const result = catalog.formulas[catalog.figures[figure]?.formula ?? ""]?.result;
    const holds = typeof outcome.value === "boolean" ? outcome.value : null;
    const says = holds === null ? null : ((holds ? result?.yes : result?.no) ?? null);
    return { figure, outcome, holds, says };
  });
}
