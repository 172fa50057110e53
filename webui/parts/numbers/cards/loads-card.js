/** Raising the car: what one stand and the jack carry at each axle, against the ones in the garage, and how steep one raised axle makes it. */

/** @import { CardInput, CardContent } from "./card.js" */
/** @import { Given, Worked } from "../worked.js" */

import { numbers } from "../../../app/words/numbers.js";
import { leastMark } from "../../../core/inventory.js";
import { FormulaForm } from "../formula-form.js";
import { fixedGiven, givenBy, typedGiven, workOut } from "../worked.js";
import { Ask, factOf, Line, LineOf, Lines, present, Says } from "./card.js";

const words = numbers.loads;
/** How far a stand raises an axle, and how high the weight of a car sits; metres, common practice. */
const RISE = 0.35;
const HEIGHT = 0.55;

/** @param {CardInput} input @returns {CardContent[]} */
export function makeLoadsCard(input) {
  const { catalog, composition } = input;
  const axles = [["front_axle_load", words.front], ["rear_axle_load", words.rear]].flatMap(([fact = "", name = ""]) => {
    const load = factOf(input, fact);
    return load ? [{ load, name }] : [];
  });
  if (!axles.length || !composition.steps.some(({ step }) => catalog.steps.some(({ id, makes }) => id === step && makes["support"]))) return [];
  const wheelbase = factOf(input, "wheelbase");
  const nodes = [
    Lines(...axles.flatMap(({ load, name }) => AxleLines(input, load, name))),
    wheelbase ? Ask(words.tilt, FormulaForm(catalog, "tilt-of-raised-axle", { wheelbase }, { starts: { rise: RISE } })) : null,
    wheelbase ? NoseUp(input, wheelbase, axles.map(({ load }) => Number(load.value))) : null,
    Says(words.caution),
  ];
  return [{ id: "loads", title: words.title, gist: axles.map(({ load, name }) => `${name} ${load.text}`).join(" · "), nodes: present(nodes) }];
}

/** @param {CardInput} input @param {Given} axle_load @param {string} name */
function AxleLines({ catalog, inventory }, axle_load, name) {
  const stand = workOut(catalog, "stand-load", { axle_load });
  const jack = workOut(catalog, "jack-load", { axle_load, whole_axle: fixedGiven(false, words.jack(name)) });
  const whole = workOut(catalog, "jack-load", { axle_load, whole_axle: fixedGiven(true, words.jackWhole(name)) });
  return [
    LineOf(stand, words.stand(name)),
    CarriesLine(catalog, "stand-carries-load", stand, inventory && leastMark(inventory, "stands", "rating"), words.standCarries(name)),
    LineOf(jack, words.jack(name)),
    LineOf(whole, words.jackWhole(name)),
    CarriesLine(catalog, "jack-carries-load", whole, inventory && leastMark(inventory, "jack", "rating"), words.jackCarries(name)),
  ];
}

/** @param {CardInput["catalog"]} catalog @param {string} id @param {Worked | null} load @param {number | null} rating kg @param {string} label */
function CarriesLine(catalog, id, load, rating, label) {
  return rating === null ? null : Line(catalog, id, { load: givenBy(load), rating: { ...typedGiven(rating), from: label } }, label);
}

/**
 * With one axle up the other one carries more; where the weight sits is guessed from the plate's axle loads.
 *
 * @param {CardInput} input @param {Given} wheelbase @param {number[]} loads front, rear
 */
function NoseUp(input, wheelbase, [front = 0, rear = 0]) {
  const { catalog } = input;
  const mass = factOf(input, "car_mass");
  if (!mass) return null;
  const behind = rear > 0 ? Math.round((Number(wheelbase.value) * rear * 100) / (front + rear)) / 100 : undefined;
  /** @param {Worked} nose */
  const results = (nose) => [
    workOut(catalog, "axle-load-front", nose.given),
    nose,
    workOut(catalog, "axle-load-rear", nose.given),
    workOut(catalog, "axle-load-rear-nose-up", nose.given),
  ];
  return Ask(
    words.nose,
    FormulaForm(catalog, "axle-load-front-nose-up", { mass, wheelbase }, {
      order: ["tilt", "centre_of_gravity", "centre_of_gravity_height"],
      starts: { centre_of_gravity_height: HEIGHT, ...(behind ? { centre_of_gravity: behind } : {}) },
      hints: { centre_of_gravity: words.cogHint, centre_of_gravity_height: words.heightHint },
      results,
      labels: [words.front, words.noseUp(words.front), words.rear, words.noseUp(words.rear)],
    }),
  );
}
