/**
 * Which steps a visit consists of: chosen jobs and what is known of the car, laid over the one master order.
 * The same vectors (tests/agreement) drive this file and server/fillfirst/visits/compose.py.
 */

/** @import { Catalog, Composition, Instance, Step, Tree, Value, Values, Variable } from "./types.js" */

import { evaluate } from "./evaluate.js";

/**
 * The names an expression asks for, each once.
 *
 * @param {unknown} tree
 * @returns {string[]}
 */
export function namesIn(tree) {
  if (!Array.isArray(tree)) return [];
  if (tree[0] === "name" || tree[0] === "known") return [String(tree[1])];
  return [...new Set(tree.flatMap(namesIn))];
}

/**
 * Facts as they hold on this car: an inapplicable one is at its `otherwise`, one left open at its default.
 * `blame` says, for a fact that may or may not apply, which unknown facts decide it.
 *
 * @param {Catalog} catalog
 * @param {Values} facts
 */
export function resolve(catalog, facts) {
  /** @type {Record<string, Value>} */
  const values = {};
  /** @type {Record<string, string[]>} */
  const blame = {};
  const settled = new Set();

  /** @param {string} name */
  function settle(name) {
    const fact = catalog.facts[name];
    if (!fact || settled.has(name)) return;
    settled.add(name);
    let applies = true;
    if (fact.when) {
      namesIn(fact.when).forEach(settle);
      const outcome = evaluate(fact.when, values, catalog.tables);
      if (outcome.missing) {
        blame[name] = outcome.missing.flatMap((cause) => blame[cause] ?? [cause]);
        return;
      }
      applies = outcome.value === true;
    }
    const value = applies ? (facts[name] ?? fact.default) : fact.otherwise;
    if (value !== null && value !== undefined) values[name] = value;
  }

  Object.keys(catalog.facts).forEach(settle);
  return { values, blame };
}

/**
 * Compose the visit: never sorts, only picks steps from the master order and expands `each` and `block`.
 * What cannot be decided for want of a fact is left out and the fact is named in `missing`.
 *
 * @param {Catalog} catalog
 * @param {string[]} jobs ids
 * @param {Values} facts facts and visit settings
 * @returns {Composition}
 */
export function compose(catalog, jobs, facts) {
  const unknown = jobs.find((id) => !Object.hasOwn(catalog.jobs, id));
  if (unknown !== undefined) throw new Error(`This catalog has no job "${unknown}".`);

  const { values, blame } = resolve(catalog, facts);
  /** @type {Set<string>} */
  const missing = new Set();

  /** @param {string[]} names */
  function miss(names) {
    names.flatMap((name) => blame[name] ?? [name]).forEach((name) => missing.add(name));
  }

  /** @param {Tree | null | undefined} tree */
  function holds(tree, note = miss) {
    if (!tree) return true;
    const outcome = evaluate(tree, values, catalog.tables);
    if (outcome.missing) note(outcome.missing);
    return outcome.value === true;
  }

  /** @param {string} name a list fact @returns {string[]} */
  function itemsOf(name, note = miss) {
    const items = values[name];
    if (Array.isArray(items)) return items;
    const fact = catalog.facts[name];
    if (blame[name] || !fact?.when || holds(fact.when, () => {})) note([name]);
    return [];
  }

  const chosen = Object.keys(catalog.jobs).filter((id) => {
    const job = catalog.jobs[id];
    return job && !job.shared && jobs.includes(id) && holds(job.when);
  });
  const uses = chosen.map((id) => catalog.jobs[id]?.uses ?? {});

  /** @param {Step} step */
  function isIn(step) {
    const job = catalog.jobs[step.job];
    if (!job) return false;
    const { serves } = step;
    if (!job.shared) return chosen.includes(step.job) && holds(step.when);
    if (serves && !uses.some((use) => use[serves] && holds(use[serves]))) return false;
    return holds(job.when) && holds(step.when);
  }

  /** @type {Instance[]} */
  const steps = [];
  /** @type {Instance[]} */
  const standby = [];
  /** @type {Set<string>} */
  const touched = new Set();
  for (const group of groups(catalog.steps)) {
    const present = group.filter(isIn);
    for (const step of present) for (const id of [...Object.keys(step.needs), ...Object.keys(step.makes)]) touched.add(id);
    const each = present[0]?.each;
    const items = each ? itemsOf(each) : [null];
    items.forEach((item, index) => {
      for (const step of present) {
        (step.standby ? standby : steps).push({ id: item === null ? step.id : `${step.id}@${item}`, step: step.id, item, index, of: items.length });
      }
    });
  }

  /** @type {Record<string, string>} */
  const variables = {};
  for (const [id, variable] of Object.entries(catalog.variables)) {
    // What no step touches stays as it starts, so nobody is asked whether it exists.
    const note = touched.has(id) ? miss : () => {};
    const circuit = variable.circuit ? catalog.variables[variable.circuit] : undefined;
    if (!holds(circuit?.when, note) || !holds(variable.when, note)) continue;
    if (!variable.each) variables[id] = id;
    else for (const item of itemsOf(variable.each, note)) variables[`${id}@${item}`] = id;
  }

  return { jobs: chosen, steps, variables, missing: [...missing].sort(), facts: values, standby };
}

/**
 * Steps that expand together: neighbours in the master order with the same job, block and list.
 *
 * @param {Step[]} steps
 */
export function groups(steps) {
  /** @type {Step[][]} */
  const result = [];
  for (const step of steps) {
    const group = result.at(-1);
    const first = group?.[0];
    const joins = first && step.block && step.block === first.block && step.job === first.job && step.each === first.each;
    if (joins) group.push(step);
    else result.push([step]);
  }
  return result;
}

/**
 * The ids of a variable on this car: itself, every item of a family, or none when the car has no such thing.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {string} base
 */
export function members(catalog, composition, base) {
  if (!catalog.variables[base]?.each) return composition.variables[base] === undefined ? [] : [base];
  return Object.keys(composition.variables).filter((id) => composition.variables[id] === base);
}

/**
 * The ids a step means by a variable: this item's where step and variable go over one list, else all.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Instance} instance
 * @param {string} base
 */
export function targets(catalog, composition, instance, base) {
  const each = catalog.variables[base]?.each;
  const own = `${base}@${instance.item}`;
  if (each && stepOf(catalog, instance).each === each) return composition.variables[own] ? [own] : [];
  return members(catalog, composition, base);
}

/** @type {WeakMap<Catalog, Map<string, Step>>} */
const stepsById = new WeakMap();

/**
 * @param {Catalog} catalog
 * @param {Instance} instance
 * @returns {Step}
 */
export function stepOf(catalog, instance) {
  let byId = stepsById.get(catalog);
  if (!byId) stepsById.set(catalog, (byId = new Map(catalog.steps.map((step) => [step.id, step]))));
  const step = byId.get(instance.step);
  if (!step) throw new Error(`This catalog has no step "${instance.step}".`);
  return step;
}

/**
 * The state a car arrives in.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @returns {Record<string, string>}
 */
export function startingVariables(catalog, composition) {
  return Object.fromEntries(
    Object.entries(composition.variables).map(([id, base]) => [id, /** @type {Variable} */ (catalog.variables[base]).starts]),
  );
}

/**
 * What a step writes: its `makes` (or those of its way back), and one-time parts that are used up because a closure
 * leaves `closed`. A part the step itself replaces is written as the step says.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Record<string, string>} variables before
 * @param {Instance} instance
 * @param {Record<string, string>} [makes]
 * @returns {Record<string, string>} by variable id
 */
export function effects(catalog, composition, variables, instance, makes = stepOf(catalog, instance).makes) {
  const made = Object.entries(makes).flatMap(([base, value]) =>
    targets(catalog, composition, instance, base).map((id) => /** @type {[string, string]} */ ([id, value])),
  );
  const opened = made.filter(([id, value]) => variables[id] === "closed" && value !== "closed");
  const usedUp = opened.flatMap(([id]) => partsOf(catalog, composition, id));
  return { ...Object.fromEntries(usedUp.map((part) => [part, "used"])), ...Object.fromEntries(made) };
}

/**
 * The one-time parts of a closure: those of its own item where they go over one list.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {string} closure variable id
 */
export function partsOf(catalog, composition, closure) {
  const [base = "", item] = closure.split("@");
  const variable = catalog.variables[base];
  return (variable?.one_time ?? []).flatMap((part) => {
    const isOwn = item !== undefined && catalog.variables[part]?.each === variable?.each;
    return isOwn ? [`${part}@${item}`].filter((id) => composition.variables[id]) : members(catalog, composition, part);
  });
}

/**
 * Where a step leads back to when it is missed or fails: the same item's instance, else the first.
 *
 * @param {Catalog} catalog
 * @param {Composition} composition
 * @param {Instance} instance
 * @returns {Instance | null}
 */
export function backTarget(catalog, composition, instance) {
  const to = stepOf(catalog, instance).back?.to;
  const all = composition.steps.filter((other) => other.step === to);
  return all.find((other) => other.item === instance.item) ?? all[0] ?? null;
}
