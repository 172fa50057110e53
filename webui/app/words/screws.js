/** The words of the order proposed for the screws of a cover. */

/** @param {number} turn */
function ordinal(turn) {
  const ending = turn % 100 >= 11 && turn % 100 <= 13 ? "th" : (["th", "st", "nd", "rd"][turn % 10] ?? "th");
  return `${turn}${ending}`;
}

export const screws = {
  title: "Order from a drawing",
  says: "Only where the maker shows no order. The front of the car is on the left; both passes take the same order.",
  shapes: { rectangle: "Rectangular", round: "Round", own: "Tap them" },
  counts: { round: "Screws", long: "Along a long side, corners too", short: "Along a short side, corners too" },
  fewer: (/** @type {string} */ what) => `${what}: one less`,
  more: (/** @type {string} */ what) => `${what}: one more`,
  drawn: (/** @type {number} */ count) => `A cover with ${count} screws`,
  order: (/** @type {string} */ order) => `Tighten ${order}.`,
  tapFirst: "Tap where the screws sit; tap one again to take it away.",
  turn: (/** @type {number} */ turn) => (turn ? ordinal(turn) : ""),
  why: "Why this order",
  take: "Take this order",
};
