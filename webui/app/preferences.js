/**
 * How the person with this phone likes it: kept on the phone and nowhere else, read at once at the start, so that no
 * screen is ever drawn the wrong way first.
 */

/**
 * @typedef {object} Preferences
 * @property {"auto" | "light" | "dark"} theme
 * @property {"source" | "metric" | "us" | "imperial" | "mixed"} units which unit comes first; source: the one it was written in
 * @property {"right" | "left"} hand the hand that holds the phone
 * @property {boolean} sound timers that end are heard
 * @property {boolean} readAloud each step is spoken as it comes
 * @property {boolean} tapAnywhere a tap on any empty place does what the large button does
 */

/** @type {Preferences} */
const DEFAULTS = { theme: "auto", units: "source", hand: "right", sound: true, readAloud: false, tapAnywhere: false };
const KEY = "preferences";

/** What is kept under each name is only taken while it is of the kind that the name has today. @returns {Preferences} */
export function readPreferences() {
  const kept = parse(localStorage.getItem(KEY) ?? "");
  const known = Object.entries(DEFAULTS).map(([name, value]) => [name, typeof kept[name] === typeof value ? kept[name] : value]);
  return Object.fromEntries(known);
}

/** @param {Preferences} preferences */
export function keepPreferences(preferences) {
  localStorage.setItem(KEY, JSON.stringify(preferences));
}

/** Whatever of it the style sheets and the parts go by. @param {Preferences} preferences */
export function applyPreferences({ theme, hand, units }) {
  const { dataset } = document.documentElement;
  if (theme === "auto") delete dataset.theme;
  else dataset.theme = theme;
  dataset.hand = hand;
  dataset.units = units;
}

/** @param {string} text @returns {Record<string, any>} */
function parse(text) {
  try {
    const kept = JSON.parse(text);
    return kept && typeof kept === "object" ? kept : {};
  } catch {
    return {};
  }
}
