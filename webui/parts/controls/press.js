/**
 * Presses by a gloved hand: one finger, on the same thing from start to end, and never a leftover tap that lands where
 * the next step's button has just appeared.
 */

import "../../dom/by-keys.js";
import { element } from "../../dom/element.js";
import { words } from "../../app/words.js";

/** How long after a change of step a tap is taken for a leftover of the one before. */
const GHOST_MS = 400;
/** How long a press must last for what cannot be undone. */
export const HOLD_MS = 800;

let quietUntil = 0;
/** @type {Set<number>} */
const fingers = new Set();
let hadSeveral = false;

addEventListener("pointerdown", ({ pointerId, isPrimary }) => {
  // Whoever is first has no other beside it: one that a phone never saw lifted, as when a call came, is none any more.
  if (isPrimary) fingers.clear();
  if (fingers.size === 0) hadSeveral = false;
  fingers.add(pointerId);
  if (fingers.size > 1) hadSeveral = true;
}, { capture: true, passive: true });
for (const kind of ["pointerup", "pointercancel"]) {
  addEventListener(kind, (event) => fingers.delete(/** @type {PointerEvent} */ (event).pointerId), { capture: true, passive: true });
}

/** Take no taps for a moment: what is under the finger has just changed. */
export function ignoreGhosts() {
  quietUntil = performance.now() + GHOST_MS;
}

/** Whether a press is one that a person meant. @param {MouseEvent} event */
export function isMeant(event) {
  const isFromKeyboard = event.detail === 0;
  return isFromKeyboard || (!hadSeveral && performance.now() >= quietUntil);
}

/**
 * @typedef {object} ButtonLook
 * @property {string} class
 * @property {string} [label] what is read aloud, where the words on it are not enough
 * @property {string} [tone]
 */

/**
 * A button that acts once per meant press and not again until its work is done.
 *
 * @param {ButtonLook} look
 * @param {(event: MouseEvent) => unknown} action
 * @param {...import("../../dom/element.js").Child} children
 */
export function Button(look, action, ...children) {
  let isBusy = false;
  const button = element(
    "button",
    { type: "button", class: look.class, "aria-label": look.label, "data-tone": look.tone, onclick: press },
    ...children,
  );

  /** @param {MouseEvent} event */
  async function press(event) {
    if (isBusy || button.getAttribute("aria-disabled") === "true" || !isMeant(event)) return;
    isBusy = true;
    button.setAttribute("aria-busy", "true");
    try {
      await action(event);
    } finally {
      isBusy = false;
      button.removeAttribute("aria-busy");
    }
  }
  return button;
}

/**
 * A button that is held until it fills. A short press says so; the keyboard and assistive technology get a second,
 * explicit button instead of the hold.
 *
 * @param {ButtonLook & { confirm: string }} look
 * @param {() => unknown} action
 * @param {...import("../../dom/element.js").Child} children
 */
export function HoldButton(look, action, ...children) {
  let startedAt = 0;
  let frame = 0;
  const hint = element("p", { class: "quiet", "aria-live": "polite" });
  const button = element(
    "button",
    { type: "button", class: `${look.class} hold-button`, "data-tone": look.tone, onpointerdown: start, onclick: click },
    ...children,
  );
  for (const kind of ["pointerup", "pointercancel", "pointerleave"]) button.addEventListener(kind, stop);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  const confirm = Button({ class: "second", tone: look.tone }, action, look.confirm);
  confirm.hidden = true;
  const root = element("div", { class: "hold" }, button, hint, confirm);

  /** @param {PointerEvent} event */
  function start(event) {
    if (event.button !== 0 || performance.now() < quietUntil || button.disabled) return;
    startedAt = performance.now();
    frame = requestAnimationFrame(fill);
  }

  function fill() {
    const held = startedAt ? Math.min(1, (performance.now() - startedAt) / HOLD_MS) : 0;
    button.style.setProperty("--held", String(held));
    if (!startedAt) return;
    if (hadSeveral) stop();
    else if (held < 1) frame = requestAnimationFrame(fill);
    else {
      stop();
      hint.textContent = "";
      void action();
    }
  }

  function stop() {
    if (startedAt && performance.now() - startedAt < HOLD_MS) hint.textContent = words.parts.keepHolding;
    startedAt = 0;
    cancelAnimationFrame(frame);
    button.style.setProperty("--held", "0");
  }

  /** @param {MouseEvent} event */
  function click(event) {
    if (event.detail !== 0) return;
    confirm.hidden = false;
    confirm.focus();
  }

  return { root, button };
}
