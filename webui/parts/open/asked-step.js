/**
 * A step that another screen asks Work to show out of its turn, kept while one screen gives way to the next.
 */

/** @type {{ visit: string, step: string } | null} */
let asked = null;

/** @param {string} visit @param {string} step */
export function askForStep(visit, step) {
  asked = { visit, step };
}

/** The step that was asked for, once. @param {string} visit @returns {string | null} */
export function takeAskedStep(visit) {
  const step = asked?.visit === visit ? asked.step : null;
  asked = null;
  return step;
}
