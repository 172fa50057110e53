/** Words for what waits on its own while hands are elsewhere. */

export const waits = {
  label: "What waits",
  meanwhile: "Meanwhile",
  left: (/** @type {number} */ minutes) => (minutes > 1 ? `${minutes} min left` : "less than a minute left"),
  over: "is over",
  overFor: (/** @type {number} */ minutes) => `over for ${minutes} min`,
  about: (/** @type {number} */ minutes) => `About ${minutes}\u00a0min still`,
  likelyFrom: (/** @type {string} */ time) => `Likely from ${time} on, by common practice. The reading decides.`,
  likely: "Likely by now",
  likelyLook: "likely by now: look",
  decides: "Look: the reading decides.",
  longer: "Longer than usual",
  lookAgain: "look again now and then",
  decidesAgain: "Look again now and then.",
  inDoubt: "how long has it run?",
  goBack: "Go back",
  rowLabel: (/** @type {string} */ title, /** @type {string} */ says) => `${title}: ${says}. Go back to it.`,
  isLikely: (/** @type {string} */ title) => `${title}: likely by now. Look.`,
  isOver: (/** @type {string} */ title) => `${title}: the time is over.`,
};
