/** Words for what waits on its own while hands are elsewhere. */

export const waits = {
  label: "What waits",
  meanwhile: "Meanwhile",
  left: (/** @type {number} */ minutes) => (minutes > 1 ? `${minutes} min left` : "less than a minute left"),
  over: "is over",
  overFor: (/** @type {number} */ minutes) => `over for ${minutes} min`,
  inDoubt: "how long has it run?",
  goBack: "Go back",
  rowLabel: (/** @type {string} */ title, /** @type {string} */ says) => `${title}: ${says}. Go back to it.`,
  isOver: (/** @type {string} */ title) => `${title}: the time is over.`,
};
