/** Addresses of the screens: `#/cars`, `#/car/CAR`, `#/plan/CAR`, `#/work/VISIT`, `#/open/VISIT`, `#/record/VISIT`, `#/due`, `#/phone`, `#/garage`, `#/house`, `#/let-in`. */

/** What the part of an address after the view names; a view that is not here has no address. */
const VIEWS = /** @type {const} */ ({
  cars: "nothing",
  car: "car",
  plan: "car",
  work: "visit",
  open: "visit",
  record: "visit",
  due: "nothing",
  phone: "nothing",
  garage: "nothing",
  house: "nothing",
  "let-in": "nothing",
});

/** @typedef {keyof typeof VIEWS} View */
/** @typedef {{ view: View, car: string, visit: string }} Place */

/** @param {string} hash the part of the address from "#" on @returns {Place} Cars for whatever is not an address */
export function parseAddress(hash) {
  const [, name = "", rest = ""] = hash.split("/");
  const subject = decode(rest);
  const view = Object.hasOwn(VIEWS, name) ? /** @type {View} */ (name) : "cars";
  const of = VIEWS[view];
  if (of !== "nothing" && !subject) return { view: "cars", car: "", visit: "" };
  return { view, car: of === "car" ? subject : "", visit: of === "visit" ? subject : "" };
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
