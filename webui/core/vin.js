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
