/** The words of the phone that is laid on a car as a level. */

export const levelWords = {
  use: "Use this phone as the level",
  lay: "Lay the phone flat on the spot, screen up, its top edge to the front of the car.",
  none: "This phone tells no tilt. Type what your level shows.",
  refused: "The browser was not allowed to tell the tilt. Allow it in its settings, or type what your level shows.",
  listening: "Listening to the phone’s tilt…",
  trembles: "Hold still…",
  keep: (/** @type {string} */ lengthwise, /** @type {string} */ crosswise) => `Keep ${lengthwise} and ${crosswise}`,
  keepEmpty: "Keep",
  zeroHere: "Here is level",
  zeroTurn: "Now turned half round",
  notZeroed: "Not set against a level surface yet: the phone’s own error counts. Lay it where it is level and press “Here is level”.",
  zeroedAt: (/** @type {string} */ day) => `Set against a level surface on ${day}.`,
  turnSays: "For any flat place that is not level: turn the phone half round on the same spot and press once more. Otherwise go on.",
  zeroedTurned: "Both ways round: the place’s own slope is out of it.",
};
