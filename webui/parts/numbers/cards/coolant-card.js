/**
 * Each cooling circuit by itself: at what temperature it would boil under its cap where the car stands, what it is made
 * of, and what rinsing leaves behind.
 */

/** @import { CardInput, CardContent } from "./card.js" */
/** @import { Given, Worked } from "../worked.js" */

import { numbers } from "../../../app/words/numbers.js";
import { FormulaForm } from "../formula-form.js";
import { givenBy, givenOf, workOut } from "../worked.js";
import { Ask, factOf, Line, LineOf, Lines, present, renewedCircuits, Says } from "./card.js";

const words = numbers.coolant;

/** @param {CardInput} input @returns {CardContent[]} */
export function makeCoolantCards(input) {
  const { catalog, knowledge } = input;
  const circuits = renewedCircuits(input).filter(({ colour }) => colour.startsWith("coolant"));
  const altitude = givenOf(knowledge, "site_altitude");
  const pressure = workOut(catalog, "air-pressure-at-altitude", { altitude });
  return circuits.flatMap(({ circuit, fact }) => {
    const strength = factOf(input, `${fact}_strength`);
    if (!strength) return [];
    const glycol = factOf(input, `${fact}_glycol`);
    const made = String(glycol?.value ?? "");
    const boils = boilingPoint(input, fact, made, strength, pressure);
    const nodes = [
      MadeOf(made),
      Lines(LineOf(boils, words.boils), LineOf(pressure, words.pressure), made === "propylene" ? Line(catalog, "freeze-protection-propylene", { strength }, words.protection) : null),
      made === "propylene" ? Ask(words.strength, FormulaForm(catalog, "coolant-strength-propylene", {})) : null,
      Rinses(input, fact),
      Ask(words.weather, FormulaForm(catalog, "air-pressure-from-weather", { altitude }, { results: (air) => [air, ...underPressure(input, fact, made, strength, air)] })),
    ];
    return [{ id: `coolant-${circuit}`, title: words.title(catalog.variables[circuit]?.title ?? circuit), gist: [strength.text, boils?.text].filter(Boolean).join(" · "), nodes: present(nodes) }];
  });
}

/** @param {string} made */
function MadeOf(made) {
  if (made === "propylene" || made === "glycerol") return Says(words[made]);
  return made ? null : Says(words.unknown);
}

/** No curve, no number: glycerol has none here. @param {CardInput} input @param {string} fact @param {string} made @param {Given} strength @param {Worked | null} pressure */
function boilingPoint({ catalog, ...input }, fact, made, strength, pressure) {
  const cap_pressure = factOf({ catalog, ...input }, `${fact}_cap_pressure`);
  if (!cap_pressure || made === "glycerol") return null;
  return workOut(catalog, made === "propylene" ? "coolant-boiling-point-propylene" : "coolant-boiling-point", { strength, cap_pressure, air_pressure: givenBy(pressure) });
}

/** What a report's pressure changes: the vacuum there can be, the one to pull, and where it boils. @param {CardInput} input @param {string} fact @param {string} made @param {Given} strength @param {Worked} air */
function underPressure(input, fact, made, strength, air) {
  const { catalog } = input;
  const air_pressure = givenBy(air);
  const wanted = factOf(input, `${fact}_vacuum`);
  return [
    wanted ? workOut(catalog, "vacuum-possible", { air_pressure }) : null,
    wanted ? workOut(catalog, "vacuum-target", { air_pressure, vacuum_at_sea_level: wanted }) : null,
    boilingPoint(input, fact, made, strength, air),
  ];
}

/** Where it is to be rinsed today: how much of the old strength so many rinses leave. @param {CardInput} input @param {string} fact */
function Rinses(input, fact) {
  const { catalog, knowledge } = input;
  const volume = factOf(input, `${fact}_capacity`);
  if (!volume || knowledge.values[`${fact}_rinsed`] !== true) return null;
  return Ask(words.rinses, FormulaForm(catalog, "coolant-strength-after-rinses", { volume }, { order: ["strength", "drained", "times"] }));
}
