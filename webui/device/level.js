/**
 * The phone as a spirit level: which way is up, steadied, as long as somebody wants to know. Whether there is such a
 * sensor shows only when it speaks.
 */

/** @typedef {{ beta: number, gamma: number }} Lean degrees, as the browser gives them */
/** @typedef {{ isSilent: boolean, leans: Lean[] }} Felt isSilent: no sensor has spoken in time; leans: the newest last */

const KEPT = 24;
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
  /** @type {Lean[]} */
  let leans = [];
  const silence = setTimeout(() => leans.length === 0 && listener({ isSilent: true, leans }), SILENT_MS);

  /** @param {DeviceOrientationEvent} event */
  function feel({ beta, gamma }) {
    if (beta === null || gamma === null) return; // a desk computer speaks once, of nothing
    leans = [...leans, { beta, gamma }].slice(-KEPT);
    listener({ isSilent: false, leans });
  }
  addEventListener("deviceorientation", feel);
  return () => {
    clearTimeout(silence);
    removeEventListener("deviceorientation", feel);
  };
}
