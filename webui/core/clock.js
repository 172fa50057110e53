/**
 * The hybrid logical clock that orders entries, and the ids made from it. A clock never refuses what it hears: a phone
 * whose time is a year ahead costs the others a large number and nothing else.
 */

/** @import { Clock } from "./types.js" */

/**
 * The time of the next entry: later than all this device has made or heard.
 *
 * @param {Clock} clock the last time made or heard
 * @param {number} now_ms this device's own time
 * @returns {Clock}
 */
export function next(clock, now_ms) {
  const now = Number.isFinite(now_ms) ? Math.floor(now_ms) : 0;
  return now > clock.ms ? { ms: now, c: 0 } : { ms: clock.ms, c: clock.c + 1 };
}

/**
 * The later of two clocks; what is no clock is passed over.
 *
 * @param {Clock} clock
 * @param {Partial<Clock> | null | undefined} remote
 * @returns {Clock}
 */
export function merge(clock, remote) {
  const { ms, c } = remote ?? {};
  if (!Number.isSafeInteger(ms) || !Number.isSafeInteger(c)) return clock;
  const heard = { ms: Number(ms), c: Number(c) };
  return heard.ms > clock.ms || (heard.ms === clock.ms && heard.c > clock.c) ? heard : clock;
}

/**
 * A UUID of version 7 (RFC 9562, section 5.7) whose time and counter are the clock's, so that the ids of one device
 * never go backwards even when its time does.
 *
 * @param {Clock} clock
 * @param {Uint8Array} random at least eight random bytes
 * @returns {string}
 */
export function uuid7({ ms, c }, random) {
  // Twelve bits hold the counter; what is above them moves the time on.
  const time = (ms + Math.floor(c / 0x1000)).toString(16).padStart(12, "0").slice(-12);
  const counter = (c % 0x1000).toString(16).padStart(3, "0");
  const rest = [...random.slice(0, 8)].map((byte, index) => (index === 0 ? (byte & 0x3f) | 0x80 : byte));
  const hex = rest.map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${time.slice(0, 8)}-${time.slice(8)}-7${counter}-${hex.slice(0, 4)}-${hex.slice(4)}`;
}

/** Less than this is a clock being trimmed, not set. */
export const SET_MS = 2000;

/**
 * How far the wall clock was set between two looks at it, by what the page saw itself run; 0 where it was not.
 *
 * @param {{ wall_ms: number, ran_ms: number }} earlier
 * @param {{ wall_ms: number, ran_ms: number }} later
 * @returns {number} milliseconds, negative where it was set back
 */
export function setBetween(earlier, later) {
  const moved = later.wall_ms - earlier.wall_ms - (later.ran_ms - earlier.ran_ms);
  return Math.abs(moved) > SET_MS ? Math.round(moved) : 0;
}
