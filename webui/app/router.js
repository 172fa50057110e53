/** Addresses of the screens: `#/cars`, `#/plan/CAR`, `#/work/VISIT`, `#/open/VISIT`, `#/record/VISIT`, `#/let-in`. */

/** @typedef {"cars" | "plan" | "work" | "open" | "record" | "let-in"} View */
/** @typedef {{ view: View, car: string, visit: string }} Place */

const WITH_CAR = new Set(["plan"]);
const WITH_VISIT = new Set(["work", "open", "record"]);

/** @param {string} hash the part of the address from "#" on @returns {Place} Cars for whatever is not an address */
export function parseAddress(hash) {
  const [, view = "", rest = ""] = hash.split("/");
  const subject = decode(rest);
  if (WITH_CAR.has(view) && subject) return { view: /** @type {View} */ (view), car: subject, visit: "" };
  if (WITH_VISIT.has(view) && subject) return { view: /** @type {View} */ (view), car: "", visit: subject };
  return { view: view === "let-in" ? "let-in" : "cars", car: "", visit: "" };
}

/** The one-time code in the address that lets the first browser in, such as `#let-in=BCDF-GHJK`. @param {string} hash @returns {string | null} */
export function parseInvitation(hash) {
  return /^#let-in=([A-Za-z0-9-]+)$/.exec(hash)?.[1] ?? null;
}

/** @param {string} text */
function decode(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}
