/**
 * What must be laid out for a visit beside what is bought: tools with their sizes, torque wrenches that cover every
 * torque of the day, vessels that hold what comes out, and the equipment that the place must have.
 */

/** @import { Catalog, Composition, Value } from "./types.js" */
/** @import { Inventory, Thing } from "./inventory.js" */
/** @import { Planned } from "./shopping.js" */

import { compose, stepOf } from "./compose.js";
import { evaluate } from "./evaluate.js";
import { valueOf } from "./figures.js";
import { countOf, priceOf, thingsOf, TRUSTED_SPAN, wrenchesFor } from "./inventory.js";
import { toolPrice } from "./prices.js";
import { jobsOf } from "./shopping.js";

/** @typedef {{ title: string, why: string, kept: string[], count: number, jobs: string[], has: number | null, price: number | null }} Need has: how many there are, null where nobody keeps count of such things; price: of one that is missing */
/** @typedef {{ title: string, sizes: string[], has: boolean | null }} ToolLine */
/** @typedef {{ torque: number, what: string, wrench: Thing | null }} TorqueLine torque in N·m; what: the name of what says it */
/** @typedef {{ stream: string, out: number | null, largest: number | null, jobs: string[], pan: Thing | null, cans: number | null }} VesselLine m³: in all, and at one go; cans: what the house's cans hold together */

/** @param {Pick<Planned, "catalog" | "values">} planned @param {import("./types.js").Tree | null} when */
function holds({ catalog, values }, when) {
  return !when || evaluate(when, values, catalog.tables).value === true;
}

/**
 * The equipment that these jobs need, each thing once.
 *
 * @param {Planned} planned @param {string[]} jobs chosen and shared @returns {Need[]}
 */
export function listNeeds(planned, jobs) {
  /** @type {Map<string, Need>} */
  const needs = new Map();
  for (const job of jobs) {
    for (const one of planned.catalog.jobs[job]?.equipment ?? []) {
      if (!holds(planned, one.when)) continue;
      const { title, why, kept = [], count = 1 } = one;
      // "Lift or stands" asks for nothing more than what the preparation brings.
      const key = kept.length ? [...kept].sort().join() : title;
      const first = needs.get(key);
      const has = kept.length ? countOf(planned.inventory, kept) : null;
      const prices = kept.flatMap((kind) => priceOf(planned.inventory, toolPrice(kind))?.value ?? []);
      needs.set(key, { title: first?.title ?? title, why: first?.why ?? why, kept, count: Math.max(count, first?.count ?? 1), jobs: [...(first?.jobs ?? []), job], has, price: prices.length ? Math.min(...prices) : null });
    }
  }
  return dropCovered([...needs.values()]);
}

/** A need that another one meets already: stands are there, so "lift or stands" is. @param {Need[]} needs */
function dropCovered(needs) {
  return needs.filter((need) => need.kept.length < 2 || !needs.some((other) => other !== need && other.kept.length === 1 && need.kept.includes(other.kept[0] ?? "")));
}

/** What is kept count of and is not there, or too few of it. @param {Need[]} needs */
export function missingOf(needs) {
  return needs.filter(({ has, count }) => has !== null && has < count);
}

/**
 * Tools with every size they are needed in; those that are torque wrenches stand in `listTorques`.
 *
 * @param {Planned} planned @param {string[]} jobs chosen and shared @param {(name: string) => string} say the words for a size that a name holds
 * @returns {ToolLine[]}
 */
export function listTools(planned, jobs, say) {
  /** @type {Map<string, ToolLine>} */
  const tools = new Map();
  for (const tool of jobs.flatMap((job) => planned.catalog.jobs[job]?.tools ?? [])) {
    const named = tool.size && "name" in tool.size ? tool.size.name : null;
    if (!holds(planned, tool.when) || (named && isTorque(planned.catalog, named))) continue;
    const size = named ? say(named) : tool.size && "text" in tool.size ? tool.size.text : "";
    const first = tools.get(tool.title);
    const sizes = first?.sizes ?? [];
    const has = tool.kept?.length ? countOf(planned.inventory, tool.kept) > 0 : null;
    tools.set(tool.title, { title: tool.title, sizes: size && !sizes.includes(size) ? [...sizes, size] : sizes, has });
  }
  return [...tools.values()];
}

/** @param {Catalog} catalog @param {string} name */
function isTorque(catalog, name) {
  const unit = catalog.facts[name]?.unit ?? catalog.formulas[catalog.figures[name]?.formula ?? ""]?.result.unit;
  return catalog.units[unit ?? ""]?.measure === "torque";
}

/**
 * Every torque of the day, the smallest first, with the wrench of the house that suits it best.
 *
 * @param {Planned} planned @param {Composition} composition @returns {TorqueLine[]}
 */
export function listTorques(planned, composition) {
  /** @type {Map<number, TorqueLine>} */
  const lines = new Map();
  for (const instance of composition.steps) {
    const { torque } = stepOf(planned.catalog, instance);
    const value = torque ? valueOf(planned.catalog, { name: torque }, planned.values) : null;
    if (torque && typeof value === "number" && !lines.has(value)) lines.set(value, { torque: value, what: torque, wrench: wrenchesFor(planned.inventory, value)[0] ?? null });
  }
  return [...lines.values()].sort((one, other) => one.torque - other.torque);
}

/**
 * The fewest ranges of wrenches that cover the torques which no wrench of the house does.
 *
 * @param {TorqueLine[]} lines smallest first @returns {{ least: number, most: number }[]} N·m
 */
export function findRanges(lines) {
  /** @type {{ least: number, most: number }[]} */
  const ranges = [];
  for (const { torque, wrench } of lines) {
    const last = ranges.at(-1);
    if (wrench) continue;
    if (last && torque <= last.least * TRUSTED_SPAN * (1 + 1e-9)) last.most = torque;
    else ranges.push({ least: torque, most: torque });
  }
  return ranges;
}

/**
 * What a service lets out of this car: at most what each of its circuits holds. What is bought beyond that stays in its
 * bottle.
 *
 * @param {Pick<Planned, "catalog" | "values">} planned @param {string} job
 * @returns {{ circuit: string, volume: number | null }[]} volume in m³, null where it is not known
 */
export function listDrained({ catalog, values }, job) {
  const has = /** @param {string} circuit */ (circuit) => holds({ catalog, values }, catalog.variables[circuit]?.when ?? null);
  return (catalog.jobs[job]?.renews ?? []).filter(has).map((circuit) => {
    const volume = values[`${circuit.replaceAll("-", "_")}_capacity`];
    return { circuit, volume: typeof volume === "number" ? volume : null };
  });
}

/**
 * What comes out, by the stream it is collected in. A pan must hold the largest draining at one go, cans all of a stream
 * together; two streams never share one.
 *
 * @param {Planned} planned @param {string[]} jobs chosen @returns {VesselLine[]}
 */
export function listVessels(planned, jobs) {
  const cans = holdsOf(planned.inventory, "can");
  const all = cans.length ? cans.reduce((sum, { holds: size }) => sum + size, 0) : null;
  const pans = holdsOf(planned.inventory, "drain-pan").sort((one, other) => one.holds - other.holds);
  const streams = new Set(jobs.flatMap((job) => planned.catalog.jobs[job]?.stream || []));
  return [...streams].map((stream) => {
    const of = jobs.filter((job) => planned.catalog.jobs[job]?.stream === stream);
    const volumes = of.flatMap((job) => listDrained(planned, job)).map(({ volume }) => volume);
    const known = volumes.filter((volume) => volume !== null);
    const largest = known.length ? Math.max(...known) : null;
    const out = known.length && known.length === volumes.length ? known.reduce((sum, volume) => sum + volume, 0) : null;
    return { stream, out, largest, jobs: of, pan: pans.find(({ holds: size }) => largest !== null && size >= largest)?.thing ?? null, cans: all };
  });
}

/** @param {Inventory} inventory @param {string} kind @returns {{ thing: Thing, holds: number }[]} */
function holdsOf(inventory, kind) {
  return thingsOf(inventory, kind).flatMap((thing) => (thing.marks.holds ? [{ thing, holds: thing.marks.holds.value * thing.count }] : []));
}

/**
 * The ways of working that this house is equipped for: of a choice whose every answer asks for equipment, the first for
 * which all is there; the usual one where that is it, or where none is.
 *
 * @param {Catalog} catalog @param {Record<string, Value>} facts of the car @param {string[]} jobs @param {Inventory} inventory
 * @returns {Record<string, Value>}
 */
export function guessSettings(catalog, facts, jobs, inventory) {
  /** @type {Record<string, Value>} */
  const guessed = {};
  const choices = Object.entries(catalog.facts).filter(([, fact]) => fact.of === "visit" && fact.kind === "choice");
  for (const [name, { options, default: usual }] of choices) {
    const ids = Object.keys(options ?? {}).sort((one, other) => Number(other === usual) - Number(one === usual));
    const answers = ids.map((id) => {
      const composition = compose(catalog, jobs, { ...facts, ...guessed, [name]: id });
      const planned = { catalog, car: "", values: composition.facts, inventory };
      const own = listNeeds(planned, jobsOf(composition));
      return { id, all: own.map(({ title }) => title), lacks: missingOf(own).map(({ title }) => title) };
    });
    const common = answers[0]?.all.filter((title) => answers.every(({ all }) => all.includes(title))) ?? [];
    const isAsked = answers.length > 1 && answers.every(({ all }) => all.length > common.length);
    const best = answers.find(({ lacks }) => lacks.every((title) => common.includes(title)));
    if (isAsked && best && best.id !== usual) guessed[name] = best.id;
  }
  return guessed;
}

