/** Words for two people on one car: who works here, who did what, and what the other did meanwhile. */

export const together = {
  someone: "another phone",
  begun: (/** @type {string} */ who, /** @type {string} */ when) => `Begun by ${who}, ${when}`,
  last: (/** @type {string} */ who, /** @type {string} */ time, /** @type {string} */ title) => `${who} is on it too: ${title}, ${time}`,
  joined: (/** @type {string} */ who) => `${who} is on it too`,
  doneBy: (/** @type {string} */ who, /** @type {string} */ time) => `${who} has done this step, ${time}.`,
  skippedBy: (/** @type {string} */ who, /** @type {string} */ time) => `${who} has passed over this step, ${time}.`,
  takeBackTitle: "This is another’s step",
  takeBackSays: "Talk to each other first: where it is taken back, it counts as not done on both phones.",
  takeBack: (/** @type {string} */ who) => `Take back the step of ${who}`,
  closedBy: (/** @type {string} */ who, /** @type {string} */ time) => `${who} has closed this visit, ${time}. What you do at this step is still kept.`,
  movedOn: "The day goes on at another step now.",
  goOn: "Go on",
  says: (/** @type {string} */ who, /** @type {string} */ value) => `${who}: ${value}`,
  whoWorks: "Who works here?",
  whoSays: "Your steps will carry this name.",
  thatIsMe: "That is me",
};
