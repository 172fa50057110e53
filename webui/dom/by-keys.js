/**
 * Whether the page is worked with keys: only then the ring is drawn around a heading that a new place begins at. For a
 * finger it would frame words that cannot be pressed.
 */

/** Typing is no sign of it: the keys of a phone's own keyboard come the same way. */
const WALKING = new Set(["Tab", "Escape", "ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]);

const { dataset } = document.documentElement;

addEventListener("keydown", ({ key }) => WALKING.has(key) && (dataset.byKeys = ""), { capture: true, passive: true });
addEventListener("pointerdown", () => delete dataset.byKeys, { capture: true, passive: true });
