/** The words of Make safe: the list that closes the car up. */

export const safeWords = {
  title: "Make safe",
  says: "The shortest list of steps that closes the car up from here. It is worked out again after every entry.",
  aim: "How is the car to be left?",
  "to-stand": "Closed, to stand",
  "to-drive": "Closed, to drive",
  "to-stand-says": "Nothing stays open. No new fluid goes in.",
  "to-drive-says": "Closed and full: for this the new fluids must be here.",
  summary: (/** @type {number} */ steps, /** @type {string} */ time) => (steps === 1 ? `1 step, about ${time}` : `${steps} steps, about ${time}`),
  next: "Next",
  open: (/** @type {string} */ title) => `Do this step: ${title}`,
  done: "Done",
  finished: "The car is closed up.",
  none: "No list of this visit’s steps closes everything from here.",
  noneSays: "Close what is shown above by the maker’s manual, and confirm each with a second look. If it cannot be closed, hand the car over where it stands.",
  noDriveList: "From here the steps of this visit do not make it ready to drive.",
  warning: "Do not start it and do not drive it",
  warningSays: "Left like this:",
  stays: (/** @type {string} */ title, /** @type {string} */ state) => `${title}: ${state}`,
  stands: "It stays up on its stands or its lift. Nobody goes under it.",
  tag: "Hang a tag on the steering wheel that says so.",
};
