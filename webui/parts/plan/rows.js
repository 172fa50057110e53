/** The services of a plan: one row each, opening to its reasons; those that are always handed over stand at the end. */

/** @import { App, Car, PlanGround } from "../../app/types.js" */
/** @import { Judged } from "../../core/decide.js" */
/** @import { Choice } from "../../core/inventory.js" */
/** @import { Catalog, Value } from "../../core/types.js" */
/** @import { Service } from "./model.js" */

import { element } from "../../dom/element.js";
import { plan as words } from "../../app/words/plan.js";
import { compose, stepOf } from "../../core/compose.js";
import { decide } from "../../core/decide.js";
import { missingByJob } from "../../core/needs.js";
import { plainValues } from "./model.js";
import { PlanReasons } from "./reasons.js";
import { Button } from "../controls/press.js";
import { ServiceRow } from "./service-row.js";

/**
 * @param {App} app @param {Catalog} catalog @param {Car} car
 * @param {{ services: Service[], reserved: Service[] }} services
 * @param {PlanGround} ground
 * @param {(job: string, choice: Choice) => unknown} onDecide
 */
export function PlanRows(app, catalog, car, { services, reserved }, ground, onDecide) {
  /** @type {Map<string, Judged>} */
  const judged = new Map();
  const rows = [...services, ...reserved].map((service) =>
    ServiceRow(catalog, service, { onChoose: (isChosen) => onDecide(service.id, isChosen ? "home" : "leave"), fill: () => fill(service) }),
  );
  const hint = element("section", { class: "garage-hint" }, element("p", {}, words.garageFirst), Button({ class: "plain" }, () => app.go("#/garage"), words.toGarage));
  const root = element("div", { class: "plan-rows" }, hint, element("ul", { class: "services" }, ...rows.map((row) => row.root)));

  /** @param {Service} service */
  function fill(service) {
    const isAway = ground.plan().decisions[service.id]?.choice === "hand-over";
    const told = { catalog, car: car.id, service, judged: /** @type {Judged} */ (judged.get(service.id)), isAway, actions: ground.actions() };
    return PlanReasons(told, (goesAway) => onDecide(service.id, goesAway ? "hand-over" : "leave"));
  }

  /** @param {Set<string>} chosen @param {Record<string, Value>} settings */
  function update(chosen, settings) {
    const facts = { ...plainValues(car.facts), ...settings };
    const { decisions } = ground.plan();
    for (const { id, isReserved, work_s, wait_s, people } of [...services, ...reserved]) {
      const composition = compose(catalog, [id], facts);
      const numbers = isReserved ? [] : (missingByJob(catalog, composition)[id] ?? []).map(({ name }) => name);
      const planned = { catalog, car: car.id, values: composition.facts, inventory: ground.inventory() };
      const around_s = composition.steps.reduce((sum, instance) => sum + stepOf(catalog, instance).work_s, -work_s);
      judged.set(id, decide(planned, id, isReserved ? null : composition, { work_s, wait_s, people, numbers, around_s: Math.max(0, around_s), others: [...chosen] }));
    }
    hint.hidden = !ground.actions() || ground.isTold();
    for (const row of rows) {
      row.update({ isChosen: chosen.has(row.id), judged: ground.isTold() ? (judged.get(row.id) ?? null) : null, decision: decisions[row.id] ?? null, due: ground.due(row.id) });
    }
  }

  return { root, update, verdict: /** @param {string} id */ (id) => (ground.isTold() ? judged.get(id)?.verdict : undefined) };
}
