/** Brake fluid: what its class promises, what may go in instead, how old it is, and what a tester says of it. */

/** @import { CardInput, CardContent } from "./card.js" */

import { optionsOf } from "../../../core/options.js";
import { numbers } from "../../../app/words/numbers.js";
import { FormulaForm } from "../formula-form.js";
import { fixedGiven, givenBy, givenOf, workOut } from "../worked.js";
import { Ask, factOf, Line, LineOf, Lines, present, renewedCircuits, Says } from "./card.js";

const CLASS = "brake_fluid_class";
const NIPPLES = "brake_nipples";
const CAPACITY = "brake_fluid_capacity";
const CLUTCH = "clutch_hydraulics";
const words = numbers.brake;

/** @param {CardInput} input @returns {CardContent[]} */
export function makeBrakeCard(input) {
  const { catalog } = input;
  const job = renewedCircuits(input).find(({ colour }) => colour === "brake")?.job;
  const fluid = job ? factOf(input, CLASS) : null;
  const number = fluid ? workOut(catalog, "brake-fluid-class-number", { fluid }) : null;
  if (!job || !fluid || !number) return [];
  const offers = catalog.facts[CLASS] ? optionsOf(catalog.facts[CLASS]) : [];
  const class_number = givenBy(number);
  const hasClass = number.value !== null;
  const nodes = [
    hasClass ? null : Says(words.noClass),
    Lines(
      AgeLine(input, job),
      hasClass ? Line(catalog, "brake-fluid-dry-boiling-point", { class_number }, words.dry) : null,
      hasClass ? Line(catalog, "brake-fluid-wet-boiling-point", { class_number }, words.wet) : null,
      hasClass ? Line(catalog, "brake-fluid-cold-viscosity", { class_number }, words.cold) : null,
      ...offers.map(([offered]) => ReplaceLine(input, offered)),
      ToBuyLine(input),
    ),
    hasClass ? Ask(words.tester, FormulaForm(catalog, "brake-fluid-still-good", { class_number }, { hints: { measured: words.testerHint } })) : null,
    Ask(words.why, FormulaForm(catalog, "brake-line-volume", {}, { hints: { bore: words.whyHint } })),
  ];
  return [{ id: "brake", title: words.title, gist: fluid.text ?? "", nodes: present(nodes) }];
}

/** Only what may go in beside the fluid on the cap. @param {CardInput} input @param {string} offered */
function ReplaceLine({ catalog, knowledge }, offered) {
  const specified = givenOf(knowledge, CLASS);
  const name = catalog.facts[CLASS]?.options?.[offered] ?? offered;
  const worked = specified.value === offered ? null : workOut(catalog, "brake-fluid-may-replace", { specified, offered: { ...fixedGiven(offered, ""), text: name } });
  return worked?.holds ? LineOf(worked, words.instead(name)) : null;
}

/** @param {CardInput} input @param {string} job */
function AgeLine({ catalog, ages }, job) {
  const age = ages[job];
  return age === undefined ? null : Line(catalog, "brake-fluid-age", { age: fixedGiven(age, catalog.jobs[job]?.title ?? job) }, words.age);
}

/** By the rule of thumb, while the car's own number is not known: with it the shopping list says how much. @param {CardInput} input */
function ToBuyLine(input) {
  const { catalog, knowledge } = input;
  const nipples = givenOf(knowledge, NIPPLES);
  if (!Array.isArray(nipples.value) || factOf(input, CAPACITY)) return null;
  const clutch = knowledge.values[CLUTCH] === "shared" ? 1 : 0;
  return Line(catalog, "brake-fluid-to-buy", { corners: { ...nipples, value: nipples.value.length + clutch } });
}
