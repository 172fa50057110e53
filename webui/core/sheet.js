/**
 * A car's sheet: all that is known of one car, with where it was found, as one TOML file that people can read, keep and
 * pass on. It is written like the demo cars in specs/vehicles, with the car's id and marks of what its owner confirmed.
 * server/fillfirst/cars/sheet.py judges the same files by the same rules; tests/agreement drives both.
 */

/** @import { Catalog, Fact, Value } from "./types.js" */
/** @import { CarFold, KnownFact } from "./car.js" */
/** @import { FactJudgement, Remark } from "./judgement.js" */
/** @import { TomlTable, TomlValue } from "./toml.js" */

import { isSameValue } from "./fold.js";
import { judgeFact } from "./judgement.js";
import { TomlError, isTable, parseToml, writeKey, writeToml } from "./toml.js";
import { fromSI, toSI, unitOf } from "./units.js";
import { judgeVin } from "./vin.js";

/**
 * @typedef {object} SheetFact
 * @property {string | number | boolean | string[]} value a quantity is a text, "25 N*m"
 * @property {{ kind: string, reference: string }} source
 * @property {boolean} [confirmed] whether the owner of the sheet looked it up; yes, if left out
 * @property {string} [because] why it was changed last
 * @property {string} [doubt] what was answered when it was asked about
 */

/** @typedef {{ id?: string, title: string, plate: string, note?: string, owner?: string, vin?: string, market?: string, odometer?: string, facts: Record<string, SheetFact> }} Sheet */
/** @typedef {{ line: number, message: string }} SheetError */
/** @typedef {{ verdict: FactJudgement["verdict"], facts: Record<string, FactJudgement>, vin: import("./vin.js").VinJudgement | null, odometer: Remark[] }} SheetJudgement */

const TEXTS = /** @type {const} */ (["id", "title", "plate", "note", "owner", "vin", "market", "odometer"]);
const FACT_KEYS = ["value", "source", "confirmed", "because", "doubt"];

/** @param {Sheet} sheet @returns {string} */
export function writeSheet(sheet) {
  const head = TEXTS.filter((key) => sheet[key] !== undefined).map((key) => `${key} = ${writeToml(sheet[key] ?? "")}`);
  const facts = Object.entries(sheet.facts).map(([name, fact]) => {
    const { value, source, confirmed, because, doubt } = fact;
    const kept = Object.entries({ value, source: { kind: source.kind, reference: source.reference }, confirmed, because, doubt });
    return `${writeKey(name)} = ${writeToml(/** @type {TomlTable} */ (Object.fromEntries(kept.filter(([, one]) => one !== undefined))))}`;
  });
  const says = "# A car's sheet: what is known of it and where each number was found. Read every number again before you trust it.";
  return [says, ...head, "", "[facts]", ...facts, ""].join("\n");
}

/**
 * @param {string} text
 * @returns {{ sheet: Sheet, errors?: undefined } | { sheet?: undefined, errors: SheetError[] }}
 */
export function readSheet(text) {
  let read;
  try {
    read = parseToml(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return { errors: [{ line: error.line, message: error.told }] };
  }
  const { table, lines } = read;
  /** @type {SheetError[]} */
  const errors = [];
  /** @param {string} path @param {string} message */
  function tell(path, message) {
    const parent = path.slice(0, Math.max(0, path.lastIndexOf(".")));
    errors.push({ line: lines.get(path) ?? lines.get(parent) ?? 1, message });
  }
  for (const key of Object.keys(table)) {
    if (key !== "facts" && !TEXTS.includes(/** @type {any} */ (key))) tell(key, `"${key}" is no key of a sheet.`);
  }
  for (const key of TEXTS) {
    if (table[key] !== undefined && typeof table[key] !== "string") tell(key, `"${key}" must be a text in quotes.`);
  }
  for (const key of ["title", "plate"]) if (table[key] === undefined) tell(key, `The key "${key}" is missing.`);
  if (!isTable(table.facts)) tell("facts", "The table [facts] is missing.");
  const written = isTable(table.facts) ? Object.entries(table.facts) : [];
  const facts = Object.fromEntries(written.map(([name, fact]) => [name, readFact(name, fact, tell)]));
  if (errors.length > 0) return { errors: errors.sort((a, b) => a.line - b.line) };
  const head = Object.fromEntries(TEXTS.filter((key) => table[key] !== undefined).map((key) => [key, table[key]]));
  return { sheet: /** @type {Sheet} */ ({ ...head, facts }) };
}

/**
 * @param {string} name @param {TomlValue} fact @param {(path: string, message: string) => void} tell
 * @returns {SheetFact}
 */
function readFact(name, fact, tell) {
  const here = `facts.${name}`;
  if (!isTable(fact)) {
    tell(here, `"${name}" must be a table: { value = …, source = { kind = …, reference = … } }.`);
    return { value: "", source: { kind: "", reference: "" } };
  }
  for (const key of Object.keys(fact)) if (!FACT_KEYS.includes(key)) tell(`${here}.${key}`, `"${key}" is no key of a fact.`);
  const { value, source, confirmed, because, doubt } = fact;
  if (value === undefined) tell(here, `"${name}" has no value.`);
  else if (isTable(value) || (Array.isArray(value) && !value.every((item) => typeof item === "string"))) {
    tell(`${here}.value`, `The value of "${name}" must be a text, a number, true or false, or a list of texts.`);
  }
  if (!isTable(source)) tell(here, `"${name}" has no source: { kind = …, reference = … }.`);
  else {
    for (const key of Object.keys(source)) if (key !== "kind" && key !== "reference") tell(`${here}.source`, `"${key}" is no key of a source.`);
    for (const key of ["kind", "reference"]) if (typeof source[key] !== "string") tell(`${here}.source`, `The ${key} of the source of "${name}" must be a text.`);
  }
  if (confirmed !== undefined && typeof confirmed !== "boolean") tell(`${here}.confirmed`, `"confirmed" must be true or false.`);
  for (const [key, text] of Object.entries({ because, doubt })) {
    if (text !== undefined && typeof text !== "string") tell(`${here}.${key}`, `"${key}" must be a text.`);
  }
  const { kind = "", reference = "" } = isTable(source) ? source : {};
  const kept = Object.entries({ confirmed, because, doubt }).filter(([, one]) => one !== undefined);
  return /** @type {SheetFact} */ ({ value, source: { kind, reference }, ...Object.fromEntries(kept) });
}

/**
 * Judge every number of a sheet as if it were typed, in the light of all the others.
 *
 * @param {Catalog} catalog @param {Sheet} sheet @returns {SheetJudgement}
 */
export function judgeSheet(catalog, sheet) {
  const read = Object.entries(sheet.facts).map(([name, fact]) => /** @type {const} */ ([name, fact, readValue(catalog, name, fact.value)]));
  const values = Object.fromEntries(read.flatMap(([name, , { value }]) => (value === undefined ? [] : [[name, value]])));
  const facts = Object.fromEntries(
    read.map(([name, { source }, { value, remark }]) => {
      /** @type {FactJudgement} */
      const refused = { verdict: "refused", remarks: remark ? [remark] : [] };
      return [name, remark ? refused : judgeFact(catalog, values, name, value, source)];
    }),
  );
  const vin = sheet.vin === undefined ? null : judgeVin(sheet.vin, sheet.market ?? "");
  const odometer = sheet.odometer === undefined ? [] : judgeOdometer(catalog, sheet.odometer);
  const verdicts = [...Object.values(facts), ...(vin ? [vin] : [])].map(({ verdict }) => verdict);
  if (odometer.length > 0) verdicts.push("refused");
  const verdict = verdicts.includes("refused") ? "refused" : verdicts.includes("odd") ? "odd" : "fine";
  return { verdict, facts, vin, odometer };
}

/** @param {Catalog} catalog @param {string} text @returns {Remark[]} */
function judgeOdometer(catalog, text) {
  const { value, remark } = readQuantity(catalog, "km", text);
  if (remark) return [remark];
  return Number(value) < 0 ? [{ code: "out-of-range", from: 0, to: null }] : [];
}

/**
 * The value of a fact as a sheet writes it, in SI; or why it cannot be read.
 *
 * @param {Catalog} catalog @param {string} name @param {unknown} written
 * @returns {{ value: Value, unit: string | null, remark?: undefined } | { value?: undefined, unit?: undefined, remark: Remark }}
 */
export function readValue(catalog, name, written) {
  const fact = Object.hasOwn(catalog.facts, name) ? catalog.facts[name] : undefined;
  if (!fact || fact.of !== "car") return { remark: { code: "unknown-fact" } };
  if (fact.kind !== "quantity") return { value: /** @type {Value} */ (written), unit: null };
  if (typeof written === "number") return readQuantity(catalog, fact.unit ?? "1", String(written));
  if (typeof written !== "string") return { remark: { code: "wrong-kind", kind: "quantity" } };
  return readQuantity(catalog, fact.unit ?? "1", written);
}

/**
 * A quantity as files write it, "25 N*m": a decimal point, one space, a unit that the catalog lists.
 *
 * @param {Catalog} catalog @param {string} unit what it must measure @param {string} text
 * @returns {{ value: number, unit: string, remark?: undefined } | { value?: undefined, unit?: undefined, remark: Remark }}
 */
export function readQuantity(catalog, unit, text) {
  const found = /^([+-]?\d+(?:\.\d+)?(?:e[+-]?\d{1,2})?)(?: (\S.*\S|\S))?$/i.exec(text);
  if (!found) return { remark: { code: "unreadable", found: text } };
  const key = found[2] ?? "1";
  const listed = Object.hasOwn(catalog.units, key) ? catalog.units[key] : undefined;
  if (!listed || listed.measure !== unitOf(catalog, unit).measure) return { remark: { code: "wrong-unit", found: key, kind: unit } };
  return { value: toSI(listed, Number(found[1])), unit: key };
}

/** A number as files write it. @param {Catalog} catalog @param {string} unit @param {number} value SI */
export function writeQuantity(catalog, unit, value) {
  const number = String(fromSI(unitOf(catalog, unit), value));
  return unit === "1" ? number : `${number} ${unit}`;
}

/**
 * The sheet of a car. A fact in dispute is left out: nobody knows it.
 *
 * @param {Catalog} catalog @param {string} id @param {CarFold} car @returns {Sheet}
 */
export function sheetOf(catalog, id, car) {
  const { title, plate, note, vin, market, odometer } = car;
  const said = Object.entries({ note, vin, market }).filter(([, text]) => text !== "");
  const read = odometer ? { odometer: writeQuantity(catalog, odometer.unit, odometer.value) } : {};
  const facts = Object.fromEntries(Object.entries(car.facts).map(([name, fact]) => [name, sheetFact(catalog, catalog.facts[name], fact)]));
  return { id, title, plate, ...Object.fromEntries(said), ...read, facts };
}

/** @param {Catalog} catalog @param {Fact | undefined} declared @param {KnownFact} known @returns {SheetFact} */
function sheetFact(catalog, declared, { value, unit, source, because, doubt, confirmed }) {
  const written = typeof value === "number" ? writeQuantity(catalog, unit ?? declared?.unit ?? "1", value) : value;
  const said = Object.entries({ because, doubt }).filter(([, text]) => text !== null);
  return { value: written, source: { kind: source.kind, reference: source.reference }, confirmed: confirmed !== null, ...Object.fromEntries(said) };
}

/** @param {SheetFact["source"]} one @param {SheetFact["source"]} other */
function isSameSource(one, other) {
  return one.kind === other.kind && one.reference === other.reference;
}

/**
 * What must be recorded so that a car says what a sheet says. A number that is here already, with its source, is not
 * written again; one that comes from somebody else's sheet waits to be confirmed, number by number.
 *
 * @param {Catalog} catalog
 * @param {Sheet} sheet judged before, and not refused
 * @param {CarFold | null} car what is here of it
 * @param {{ isOwn: boolean, by: string }} whose isOwn: the marks of the sheet are this owner's own
 * @returns {{ kind: string, payload: Record<string, any> }[]}
 */
export function entriesOf(catalog, sheet, car, { isOwn, by }) {
  const { title, plate, note, vin, market, odometer } = sheet;
  const names = Object.fromEntries(Object.entries({ title, plate, note, vin, market }).filter(([, text]) => text !== undefined));
  const isNew = Object.entries(names).some(([key, text]) => car?.[/** @type {"title"} */ (key)] !== text);
  /** @type {{ kind: string, payload: Record<string, any> }[]} */
  const entries = [];
  if (!car?.added) entries.push({ kind: "car-added", payload: { ...names, by } });
  else if (isNew) entries.push({ kind: "car-described", payload: { ...names, by } });
  const read = odometer === undefined ? null : readQuantity(catalog, "km", odometer);
  if (read?.value !== undefined && car?.odometer?.value !== read.value) {
    entries.push({ kind: "odometer-read", payload: { value: read.value, typed: String(odometer).split(" ")[0] ?? "", unit: read.unit, by } });
  }
  for (const [name, fact] of Object.entries(sheet.facts)) {
    const { value, unit } = readValue(catalog, name, fact.value);
    const held = car?.facts[name];
    if (value === undefined || (held && isSameValue(held.value, value) && isSameSource(held.source, fact.source))) continue;
    const typed = unit === null ? {} : { typed: String(fact.value).split(" ")[0], unit };
    const said = Object.fromEntries(Object.entries({ because: fact.because, doubt: fact.doubt }).filter(([, text]) => text !== undefined));
    const confirmed = isOwn && fact.confirmed !== false;
    entries.push({ kind: "fact-written", payload: { fact: name, value, ...typed, source: fact.source, ...said, confirmed, by } });
  }
  return entries;
}
