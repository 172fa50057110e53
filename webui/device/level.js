/**
 * The phone as a spirit level: which way is up, steadied, as long as somebody wants to know. Whether there is such a
 * sensor shows only when it speaks.
 */

/** @typedef {{ beta: number, gamma: number }} Lean degrees, as the browser gives them */
/** @typedef {{ isSilent: boolean, leans: Lean[] }} Felt isSilent: no sensor has spoken in time; leans: the newest last */

/** A hand's tremor is out of the mean of so long, and a phone laid elsewhere is believed after it. */
const KEPT_MS = 500;
const SILENT_MS = 1500;

/**
 * Ask, in a tap: some browsers let nobody feel without a person's leave.
 *
 * @returns {Promise<boolean>} whether listening makes sense
 */
export async function askToFeel() {
  if (!("DeviceOrientationEvent" in globalThis)) return false;
  /** @type {(() => Promise<string>) | undefined} */
  const ask = Reflect.get(DeviceOrientationEvent, "requestPermission");
  if (typeof ask !== "function") return true;
  return (await ask.call(DeviceOrientationEvent).catch(() => "denied")) === "granted";
}

/**
 * @param {(felt: Felt) => void} listener
 * @returns {() => void} how to stop
 */
export function feelTilt(listener) {
  /** @type {(Lean & { at_ms: number })[]} */
  let leans = [];
  const silence = setTimeout(() => leans.length === 0 && listener({ isSilent: true, leans }), SILENT_MS);

  /** @param {DeviceOrientationEvent} event */
  function feel({ beta, gamma, timeStamp }) {
    if (beta === null || gamma === null) return; // a desk computer speaks once, of nothing
    leans = [...leans.filter(({ at_ms }) => at_ms > timeStamp - KEPT_MS), { beta, gamma, at_ms: timeStamp }];
    listener({ isSilent: false, leans });
  }
  addEventListener("deviceorientation", feel);
  return () => {
    clearTimeout(silence);
    removeEventListener("deviceorientation", feel);
  };
}

/** @typedef {{ x: number, y: number, z: number }} Zero what this phone feels on a level surface */
/** @typedef {{ length: number, width: number, ahead: number, right: number }} Plug metres: a fluid's surface, and where its plug sits from the middle */

const ZERO = "level-zero";
const PLUG = "level-plug/";

/** A phone's error is its own, and stays. @returns {{ zero: Zero, at_ms: number } | null} */
export function readZero() {
  const kept = parse(localStorage.getItem(ZERO));
  return Number.isFinite(kept?.zero?.z) && Number.isFinite(kept.at_ms) ? kept : null;
}

/** @param {Zero} zero */
export function keepZero(zero) {
  localStorage.setItem(ZERO, JSON.stringify({ zero, at_ms: Date.now() }));
}

/** @param {string} car @returns {Plug | null} */
export function readPlug(car) {
  const kept = parse(localStorage.getItem(PLUG + car));
  return Number.isFinite(kept?.length) ? kept : null;
}

/** @param {string} car @param {Plug | null} plug */
export function keepPlug(car, plug) {
  if (plug) localStorage.setItem(PLUG + car, JSON.stringify(plug));
  else localStorage.removeItem(PLUG + car);
}

/** @param {string | null} text */
function parse(text) {
  try {
    return JSON.parse(text ?? "null");
  } catch {
    return null;
  }
}
