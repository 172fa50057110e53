/** Oils: whether a grade still flows on the coldest morning, the film it keeps hot, and what a data sheet's numbers make of it. */

/** @import { CardInput, CardContent } from "./card.js" */
/** @import { Given } from "../worked.js" */

import { numbers } from "../../../app/words/numbers.js";
import { FormulaForm } from "../formula-form.js";
import { givenBy, typedGiven, workOut } from "../worked.js";
import { Ask, factOf, Line, LineOf, Lines, Part, present, renewedCircuits } from "./card.js";

const words = numbers.oil;
const ENGINE = "engine-oil";
const KINDS = {
  engine: { cold: "engine-oil-coldest-start", fits: "engine-oil-fits-grade" },
  gear: { cold: "gear-oil-coldest-start", fits: "gear-oil-fits-grade" },
};

/** @typedef {{ name: string, w: number, grade: number | null }} Grade "5W-30", "75W" */

/** Every grade a text names: the owner's book may allow several. @param {string} text @returns {Grade[]} */
export function readGrades(text) {
  return [...text.matchAll(/(\d{1,2})\s*W(?:[\s-]*(\d{1,3}))?/gi)].map(([, w = "", grade]) => ({ name: grade ? `${w}W-${grade}` : `${w}W`, w: Number(w), grade: grade ? Number(grade) : null }));
}

/** @param {CardInput} input @returns {CardContent[]} */
export function makeOilCard(input) {
  const { catalog } = input;
  const coldest = factOf(input, "coldest_start");
  const oils = renewedCircuits(input).flatMap(({ circuit, fact }) => {
    const text = factOf(input, `${fact}_grade`);
    return text ? [{ circuit, text, grades: readGrades(String(text.value)) }] : [];
  });
  if (oils.every(({ grades }) => grades.length === 0)) return [];
  const parts = oils.map(({ circuit, text, grades }) => {
    const kind = circuit === ENGINE ? KINDS.engine : KINDS.gear;
    return Part(catalog.variables[circuit]?.title ?? circuit, Lines(...grades.flatMap((grade) => GradeLines(input, kind, grade, text, coldest))), FitsForm(input, kind, grades, text));
  });
  const [first] = oils.flatMap(({ circuit, grades }) => grades.map(({ name, w }) => ({ name, limit: workOut(catalog, circuit === ENGINE ? KINDS.engine.cold : KINDS.gear.cold, { w_number: typedGiven(w) }) })));
  const asksCold = coldest && oils.some(({ circuit }) => circuit === ENGINE);
  const nodes = [
    ...parts,
    !coldest && first ? Ask(words.suits(first.name), FormulaForm(catalog, "oil-suits-cold", { limit: givenBy(first.limit) })) : null,
    asksCold ? Ask(words.ask, FormulaForm(catalog, KINDS.engine.cold, {}, { hints: { w_number: words.askHint }, results: (limit) => [limit, workOut(catalog, "oil-suits-cold", { coldest, limit: givenBy(limit) })] })) : null,
    Ask(words.viscosity, FormulaForm(catalog, "oil-viscosity-at-temperature", {}, { order: ["warm", "hot"], results: (worked) => [worked, workOut(catalog, "oil-viscosity-index", worked.given)] })),
  ];
  return [{ id: "oil", title: words.title, gist: [...new Set(oils.flatMap(({ grades }) => grades.map(({ name }) => name)))].join(", "), nodes: present(nodes) }];
}

/** @param {CardInput} input @param {typeof KINDS.engine} kind @param {Grade} grade @param {Given} text @param {Given | null} coldest */
function GradeLines({ catalog }, kind, { name, w, grade }, text, coldest) {
  const w_number = { ...text, value: w, text: String(w) };
  const limit = workOut(catalog, kind.cold, { w_number });
  return [
    LineOf(limit, words.down(name)),
    coldest && limit?.text ? Line(catalog, "oil-suits-cold", { coldest, limit: givenBy(limit) }, words.suits(name)) : null,
    kind === KINDS.engine && grade !== null ? Line(catalog, "engine-oil-hot-film", { grade: { ...text, value: grade, text: String(grade) }, w_number }, words.film(name)) : null,
  ];
}

/** The bottle in the hand against the grade of the book. @param {CardInput} input @param {typeof KINDS.engine} kind @param {Grade[]} grades @param {Given} text */
function FitsForm({ catalog }, kind, [first], text) {
  if (!first || first.grade === null) return null;
  return Ask(words.fits(first.name), FormulaForm(catalog, kind.fits, { grade: { ...text, value: first.grade, text: String(first.grade) } }));
}
