/**
 * What this phone is and knows: its name among devices, its count of entries, its clock, how far it and the server
 * know each other. One record, so that whatever must change together is read and written together.
 */

/** @import { Clock } from "../core/types.js" */

import { asked } from "./database.js";
import { toHex } from "./hashes.js";

/**
 * @typedef {object} Phone
 * @property {string} device
 * @property {number} n entries made so far
 * @property {Clock} hlc
 * @property {string | null} epoch of the server's database
 * @property {number} cursor newest server sequence received
 * @property {number} ack own entries up to this one are on the server, or refused
 * @property {string | null} reoffer while everything held is offered again: the last id offered ("" at the start)
 * @property {string | null} serverId
 * @property {boolean} isPaired
 * @property {string} name what people call this phone
 * @property {string | null} catalog hash of the newest procedures
 * @property {string[]} openVisits visits begun and not closed that this phone took part in; the service worker reads it
 */

const KEY = "phone";

/** A random name for a phone. */
export function newDevice() {
  return toHex(crypto.getRandomValues(new Uint8Array(16)));
}

/** A phone that nobody has met. @returns {Phone} */
export function unknownPhone() {
  return {
    device: newDevice(),
    n: 0,
    hlc: { ms: 0, c: 0 },
    epoch: null,
    cursor: 0,
    ack: 0,
    reoffer: null,
    serverId: null,
    isPaired: false,
    name: "",
    catalog: null,
    openVisits: [],
  };
}

/** @param {IDBTransaction} transaction over "meta" @returns {Promise<Phone>} */
export async function readPhone(transaction) {
  return { ...unknownPhone(), ...(await asked(transaction.objectStore("meta").get(KEY))) };
}

/** @param {IDBTransaction} transaction @param {Phone} phone */
export function writePhone(transaction, phone) {
  transaction.objectStore("meta").put(phone, KEY);
}

/**
 * The phone, if its count continues its own log. It does not when the record was restored from a copy, or when the
 * log lost its end: the next entry would get a number that another one has.
 *
 * @param {IDBTransaction} transaction over "meta" and "events" @returns {Promise<Phone | null>}
 */
export async function readSoundPhone(transaction) {
  /** @type {Phone | undefined} */
  const stored = await asked(transaction.objectStore("meta").get(KEY));
  if (!stored) return null;
  const newest = transaction.objectStore("events").index("device_n").openKeyCursor(countsOf(stored.device), "prev");
  const found = await asked(newest);
  const last = found ? /** @type {[string, number]} */ (found.key)[1] : 0;
  return last === stored.n ? { ...unknownPhone(), ...stored } : null;
}

/**
 * Give the phone a name that no log has, and let it offer all it holds again.
 *
 * @param {IDBTransaction} transaction readwrite over "meta" and "events" @returns {Promise<Phone>}
 */
export async function renamePhone(transaction) {
  const sound = await readSoundPhone(transaction); // another tab may have been faster
  if (sound) return sound;
  const phone = { ...(await readPhone(transaction)), device: newDevice(), n: 0, ack: 0, reoffer: "" };
  writePhone(transaction, phone);
  return phone;
}

/** The keys in index device_n of a device's entries after a count. @param {string} device @param {number} [after] */
export function countsOf(device, after = 0) {
  return IDBKeyRange.bound([device, after], [device, Infinity], true);
}
