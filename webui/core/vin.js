/**
 * What a vehicle identification number says of itself: whether its check digit fits, and the model year.
 *
 * `server/fillfirst/formulas/vin.py` is the same in the other language and says why; the vectors in
 * `tests/agreement/functions.json` drive both. Source: 49 CFR 565.15, Tables III to VI.
 */

/** @import { FunctionAnswer } from "./functions.js" */

const LETTERS = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ";
const VALUES = "012345678912345678123457923456789";
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
/** Model years from 1980, and again from 2010. */
const YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789";

/**
 * The check digit it should have, whether it has it, and the model year of a car that is no truck.
 *
 * @param {{ vin: string }} given
 * @returns {FunctionAnswer}
 */
export function readVin({ vin }) {
  const letters = vin.trim().toUpperCase();
  if (!/^[0-9A-HJ-NPR-Z]{17}$/.test(letters)) return { impossible: "17 letters and digits are needed, without I, O and Q" };
  const rest = WEIGHTS.reduce((sum, weight, at) => sum + Number(VALUES[LETTERS.indexOf(letters[at] ?? "")]) * weight, 0) % 11;
  const check = rest === 10 ? "X" : String(rest);
  const round = YEARS.indexOf(letters[9] ?? "");
  // Position 7 tells the two rounds apart: a digit in the first, a letter in the second.
  const year = round < 0 ? null : round + (/[0-9]/.test(letters[6] ?? "") ? 1980 : 2010);
  return { value: { check, agrees: letters[8] === check, year } };
}

/** Where the check digit is a duty: 49 CFR 565 holds for what is sold in the United States, and Canada asks the same. */
export const MANDATORY = "north-america";

/** @typedef {{ code: string, found?: string, check?: string }} VinRemark */
/** @typedef {{ verdict: "fine" | "odd" | "refused", remarks: VinRemark[], year: number | null }} VinJudgement */

/**
 * What is said of a VIN that somebody typed. The digit and the year are a duty in one market and a remark elsewhere.
 *
 * @param {string} vin
 * @param {string} market "north-america", another, or "" when nobody has said
 * @returns {VinJudgement}
 */
export function judgeVin(vin, market) {
  const letters = vin.trim().toUpperCase();
  const wrong = [...new Set(letters)].filter((letter) => !LETTERS.includes(letter)).join("");
  /** @type {VinRemark[]} */
  const refusals = [];
  if (letters.length !== 17) refusals.push({ code: "vin-length", found: String(letters.length) });
  if (wrong !== "") refusals.push({ code: "vin-letters", found: wrong });
  if (refusals.length > 0) return { verdict: "refused", remarks: refusals, year: null };
  const { check, agrees, year } = /** @type {any} */ (readVin({ vin: letters }).value);
  /** @type {VinRemark[]} */
  const remarks = agrees ? [] : [{ code: "vin-check-digit", found: letters[8] ?? "", check }];
  if (year === null && market === MANDATORY) remarks.push({ code: "vin-year", found: letters[9] ?? "" });
  const verdict = remarks.length === 0 ? "fine" : market === MANDATORY ? "refused" : "odd";
  return { verdict, remarks, year };
}
