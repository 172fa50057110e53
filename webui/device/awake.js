/**
 * The screen stays on while a car is worked on. What is told is what the browser granted, never what was asked for:
 * a phone that saves its battery says no, and some grant it and take it away again.
 */

/** @typedef {"off" | "on" | "refused" | "missing"} Awake "off": not wanted; "missing": the browser cannot do it */
/** @typedef {(state: Awake) => void} Listener */

/** @type {Set<Listener>} */
const listeners = new Set();
/** @type {WakeLockSentinel | null} */
let held = null;
let isAsking = false;
/** @type {Awake} */
let state = "off";

/** @param {Awake} now */
function tell(now) {
  if (state === now) return;
  state = now;
  for (const listener of [...listeners]) listener(now);
}

async function ask() {
  if (held || isAsking || listeners.size === 0 || document.visibilityState !== "visible") return;
  if (!("wakeLock" in navigator)) return tell("missing");
  isAsking = true;
  try {
    const sentinel = await navigator.wakeLock.request("screen");
    held = sentinel;
    sentinel.addEventListener("release", () => lose(sentinel));
    tell("on");
  } catch {
    tell("refused");
  } finally {
    isAsking = false;
  }
  if (listeners.size === 0) letGo();
}

/** @param {WakeLockSentinel} sentinel */
function lose(sentinel) {
  if (held !== sentinel) return;
  held = null;
  tell(listeners.size > 0 ? "refused" : "off");
}

function letGo() {
  if (listeners.size > 0) return; // the next screen of the visit wants it too
  void held?.release();
  held = null;
  state = "off";
}

/**
 * Keep the screen on until the returned function is called.
 *
 * @param {Listener} listener told at once and at every change
 */
export function stayAwake(listener) {
  listeners.add(listener);
  listener(state);
  void ask();
  return () => {
    listeners.delete(listener);
    setTimeout(letGo);
  };
}

// The browser takes it back whenever the page is hidden; some want a tap before they grant it.
document.addEventListener("visibilitychange", () => void ask());
addEventListener("pointerup", () => void ask(), { passive: true });
