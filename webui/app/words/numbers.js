/** The words of the sheets that work something out beside a step, and of the cards of the plan. */

export const numbers = {
  usual: "usual for it",
  noGarage: "What the garage holds is not on this phone.",
  wrench: {
    offer: "Which wrench, with which adapter?",
    title: "Wrench and adapter",
    torque: (/** @type {string} */ torque) => `The bolt needs ${torque}.`,
    own: "In your garage",
    other: "Another wrench",
    adapter: "With an adapter that sticks out",
    lengthHint: "From the middle of the grip to the square. With an extension under a straight socket nothing changes.",
    wrenchSet: "A wrench set to that",
  },
  flats: { offer: "Without an angle gauge" },
  strength: {
    offer: "Read it another way",
    title: "Strength by another instrument",
    brix: "A refractometer marked in Brix",
    brixHint: "A glass that compensates by itself counts as 20 °C.",
    density: "A float, with the temperature",
    densityHint: "A specific gravity of 1.07 is 1070.",
    propylene: "This coolant is propylene glycol: neither Brix nor a float tells its strength. Read a scale that is marked for it.",
    glycerol: "This coolant is made of glycerol: no scale for glycols tells its strength.",
    take: (/** @type {string} */ text) => `Keep ${text} as the reading`,
  },
  warmth: {
    offer: "Set at another temperature?",
    title: "Level set at another temperature",
    density: "About 850 for oils, where no data sheet says",
    coolant: "Coolant level read warm",
  },
  lean: { offer: "What does the lean do to it?", title: "What the lean does to the level", says: "As the car was read when it was raised; the front and the right side are taken as the high ones." },
};
