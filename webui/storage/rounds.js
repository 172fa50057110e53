/**
 * What a round with the server reads from this phone and writes to it. An answer is stored whole or not at all:
 * entries, cursor, epoch and acknowledgement in one transaction, or a phone that died between two of them would
 * never ask for the missing part again.
 */

/** @import { Event } from "../core/types.js" */
/** @import { Database } from "./database.js" */
/** @import { Phone } from "./phone.js" */
/** @import { Refusal } from "./refusals.js" */

import { believable, countOutbox, readEvent, readEventsOfKind, readOutbox, receiveEvents } from "./events.js";
import { keepCatalog, readCatalogHashes } from "./catalogs.js";
import { countWaitingPhotos, markPhotoSent, offerAllPhotos, readPhoto, readWaitingPhoto, readWaitingPhotoNames } from "./photos.js";
import { newDevice, readPhone, writePhone } from "./phone.js";
import { keepRefusals, readRefusals } from "./refusals.js";

/** @typedef {{ phone: Phone, events: Event[], isAll: boolean }} Offer what a round sends, whether that is all there is, and who the phone was */

/**
 * @typedef {object} Answer
 * @property {string} epoch
 * @property {string[]} accepted
 * @property {(Omit<Refusal, "id"> & { id: string | null, index: number })[]} refused index: its place in the offer
 * @property {number} ack
 * @property {{ seq: number, received_at: string, event: object }[]} events
 * @property {number} cursor
 * @property {boolean} more
 * @property {number} server_now
 * @property {string} catalog
 * @property {string} server_id
 * @property {number} [protocol] the edition that the server follows
 */

/** "stale": another tab moved on meanwhile; "reset": the server's database is another one, all is offered again. */
/** @typedef {{ outcome: "kept" | "stale" | "reset", hasProgressed: boolean, visits: string[] }} Kept */

/** @param {Database} database @param {number} limit @returns {Promise<Offer>} */
export function readOffer(database, limit) {
  return database.read(["events", "meta"], async (transaction) => {
    const phone = await readPhone(transaction);
    const events = await readOutbox(transaction, phone, limit);
    return { phone, events, isAll: events.length < limit };
  });
}

/** @param {Database} database @param {Offer} offer @param {Answer} answer @returns {Promise<Kept>} */
export function keepAnswer(database, offer, answer) {
  const stores = ["events", "meta", "refusals", "photos", "waiting_photos"];
  return database.write(stores, async (transaction) => {
    const phone = await readPhone(transaction);
    const before = offer.phone;
    const hasMoved = phone.device !== before.device || phone.epoch !== before.epoch || phone.cursor < before.cursor;
    if (hasMoved) return { outcome: "stale", hasProgressed: false, visits: [] };

    if (isAnotherLog(before, answer)) {
      Object.assign(phone, { epoch: answer.epoch, cursor: 0, ack: 0, reoffer: "" });
      await offerAllPhotos(transaction);
      writePhone(transaction, phone);
      return { outcome: "reset", hasProgressed: true, visits: [] };
    }

    const received = believable(answer.events.map(({ seq, received_at, event }) => ({ ...event, seq, received_at })));
    await receiveEvents(transaction, phone, received);
    keepRefusals(transaction, nameRefused(offer, answer), answer.accepted);
    const closed = received.filter((event) => event.kind === "visit-closed").map((event) => event.subject);
    phone.openVisits = phone.openVisits.filter((visit) => !closed.includes(visit));
    advancePhone(phone, offer, answer);
    writePhone(transaction, phone);
    const hasProgressed = phone.cursor > before.cursor || phone.ack > before.ack || phone.reoffer !== before.reoffer;
    return { outcome: "kept", hasProgressed, visits: [...new Set(received.map((event) => event.subject))] };
  });
}

/**
 * True when the server lost something that it once acknowledged or counted: it was restored from an older copy, or
 * began anew. What phones hold then fills the gap, if they offer it.
 *
 * @param {Phone} before @param {Answer} answer
 */
function isAnotherLog(before, answer) {
  if (before.epoch === null) return false;
  return answer.epoch !== before.epoch || answer.cursor < before.cursor || answer.ack < before.ack;
}

/** The entries refused, by the names they have here; the server may not have found any in them. @param {Offer} offer @param {Answer} answer */
function nameRefused(offer, answer) {
  return answer.refused.flatMap(({ id, index, code, message, next }) => {
    const name = id ?? offer.events[index]?.id;
    return name === undefined ? [] : [{ id: name, code, message, next }];
  });
}

/** @param {Phone} phone @param {Offer} offer @param {Answer} answer */
function advancePhone(phone, offer, answer) {
  phone.epoch = answer.epoch;
  phone.cursor = Math.max(phone.cursor, answer.cursor);
  phone.ack = Math.max(phone.ack, answer.ack);
  if (offer.phone.reoffer !== null && phone.reoffer === offer.phone.reoffer) {
    phone.reoffer = offer.isAll ? null : (offer.events.at(-1)?.id ?? null);
  }
  // The server knows entries of this phone's that the phone does not: it is a copy, and goes on under its own name.
  if (phone.ack > phone.n) Object.assign(phone, { device: newDevice(), n: 0, ack: 0, reoffer: "" });
}

/** @param {Database} database @returns {Promise<{ waiting: number, waitingPhotos: number, refusals: Refusal[] }>} entries and photos not on the server, and how many of these are photos */
export function readBacklog(database) {
  return database.read(["events", "meta", "refusals", "waiting_photos"], async (transaction) => {
    const phone = await readPhone(transaction);
    const waitingPhotos = await countWaitingPhotos(transaction);
    const waiting = (await countOutbox(transaction, phone)) + waitingPhotos;
    return { waiting, waitingPhotos, refusals: await readRefusals(transaction) };
  });
}

/** The server let this phone in. @param {Database} database @param {{ serverId: string, name: string }} pairing */
export function keepPairing(database, { serverId, name }) {
  return changePhone(database, (phone) => Object.assign(phone, { isPaired: true, serverId, name }));
}

/** The server no longer knows this phone. Nothing else changes: recording goes on. @param {Database} database */
export function forgetPairing(database) {
  return changePhone(database, (phone) => Object.assign(phone, { isPaired: false }));
}

/** Use these procedures for new visits. @param {Database} database @param {string} hash */
export function chooseCatalog(database, hash) {
  return changePhone(database, (phone) => Object.assign(phone, { catalog: hash }));
}

/** @param {Database} database @param {(phone: Phone) => unknown} change */
function changePhone(database, change) {
  return database.write(["meta"], async (transaction) => {
    const phone = await readPhone(transaction);
    change(phone);
    writePhone(transaction, phone);
  });
}

/** @param {Database} database @param {{ hash: string, text: string }} catalog */
export function storeCatalog(database, catalog) {
  return database.write(["catalogs"], async (transaction) => keepCatalog(transaction, catalog));
}

/**
 * The procedures that visits on this phone began with and that it does not hold.
 *
 * @param {Database} database @param {string} newest @returns {Promise<string[]>}
 */
export function readMissingCatalogs(database, newest) {
  return database.read(["events", "catalogs"], async (transaction) => {
    const held = await readCatalogHashes(transaction);
    const opened = await readEventsOfKind(transaction, "visit-opened");
    const wanted = new Set([newest, ...opened.map((event) => String(event.payload.catalog))]);
    return [...wanted].filter((hash) => !held.includes(hash));
  });
}

/** @param {Database} database */
export function readNextPhoto(database) {
  return database.read(["photos", "waiting_photos"], readWaitingPhoto);
}

/** @param {Database} database @param {string} sha256 @param {Refusal[]} refused why the server did not take it, if it did not */
export function keepPhotoSent(database, sha256, refused) {
  return database.write(["waiting_photos", "refusals"], async (transaction) => {
    markPhotoSent(transaction, sha256);
    keepRefusals(transaction, refused, []);
  });
}

/** The photos that the server may not have, by name. @param {Database} database */
export function readUnsentPhotoNames(database) {
  return database.read(["waiting_photos"], readWaitingPhotoNames);
}

/** @param {Database} database @param {string} sha256 */
export function readPhotoNamed(database, sha256) {
  return database.read(["photos"], (transaction) => readPhoto(transaction, sha256));
}

/** Everything the server may not have, for a file. @param {Database} database */
export function readUnsent(database) {
  return database.read(["events", "meta", "refusals"], async (transaction) => {
    const phone = await readPhone(transaction);
    const unsent = await readOutbox(transaction, phone, 2 ** 31);
    const refused = (await readRefusals(transaction)).map((refusal) => refusal.id);
    const others = refused.filter((id) => !unsent.some((event) => event.id === id));
    const kept = await Promise.all(others.map((id) => readEvent(transaction, id)));
    return [...kept.filter((event) => event !== undefined), ...unsent];
  });
}
