/** Words for a car that was closed up before the end of its visit, and for the visit taken up again. */

export const closedUpWords = {
  title: "Closed up on the way",
  closed: (/** @type {string} */ when, /** @type {string} */ by) => (by ? `Closed up ${when}, by ${by}` : `Closed up ${when}`),
  again: (/** @type {string} */ when, /** @type {string} */ by) => (by ? `taken up again ${when}, by ${by}` : `taken up again ${when}`),
  since: (/** @type {string} */ when, /** @type {string} */ by) => (by ? `Being closed up since ${when}, by ${by}.` : `Being closed up since ${when}.`),
  disputed: "Close it up, or go on?",
  disputedSays: "Two phones say two things. Talk to each other first: until one of you settles it, take it that work goes on.",
  says: (/** @type {string} */ who, /** @type {string} */ what, /** @type {string} */ time) => `${who} ${what}, ${time}`,
  closes: "closes the car up",
  goesOn: "goes on with the day",
  closeUp: "Close it up",
  goOn: "Go on with the day",
  toList: "See the list",
};
