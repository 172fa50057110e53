/**
 * The log of entries: what a person did, in order, never changed. Everything a screen shows of a visit is a fold over
 * these, so one rule stands above all: an entry is called saved only after the browser has flushed it to disk.
 */

/** @import { Event } from "../core/types.js" */
/** @import { Phone } from "./phone.js" */

import { merge, next, uuid7 } from "../core/clock.js";
import { readEvent as checkEvent } from "../core/events.js";
import { asked } from "./database.js";
import { countsOf } from "./phone.js";

/** @typedef {{ id: string | null, wall: string, made_ms: number, kind: string, subject: string, payload: Record<string, any> }} Draft an entry that has no count and no place in the order yet */

/**
 * Turn a draft into the phone's next entry. Changes the phone's count and clock, and names the draft: a
 * second try must write the same entry.
 *
 * @param {Phone} phone @param {Draft} draft @returns {Event}
 */
export function numberEvent(phone, draft) {
  phone.n += 1;
  phone.hlc = next(phone.hlc, draft.made_ms);
  const id = (draft.id ??= uuid7(phone.hlc, crypto.getRandomValues(new Uint8Array(8))));
  const { wall, kind, subject, payload } = draft;
  return { id, device: phone.device, n: phone.n, hlc: phone.hlc, seen: phone.cursor, wall, kind, v: 1, subject, payload };
}

/** @param {IDBTransaction} transaction @param {string} id @returns {Promise<Event | undefined>} */
export function readEvent(transaction, id) {
  return asked(transaction.objectStore("events").get(id));
}

/** @param {IDBTransaction} transaction @param {Event} event */
export function addEvent(transaction, event) {
  transaction.objectStore("events").add(event);
}

/** @param {IDBTransaction} transaction @param {string} visit @returns {Promise<Event[]>} */
export function readEventsOf(transaction, visit) {
  return asked(transaction.objectStore("events").index("subject").getAll(visit));
}

/** @param {IDBTransaction} transaction @param {string} kind @returns {Promise<Event[]>} */
export function readEventsOfKind(transaction, kind) {
  return asked(transaction.objectStore("events").index("kind").getAll(kind));
}

/**
 * The entries that the server may not have, oldest first: a view of the log, not a queue that things are taken from.
 *
 * @param {IDBTransaction} transaction @param {Phone} phone @param {number} limit @returns {Promise<Event[]>}
 */
export function readOutbox(transaction, phone, limit) {
  const events = transaction.objectStore("events");
  if (phone.reoffer !== null) return asked(events.getAll(IDBKeyRange.lowerBound(phone.reoffer, true), limit));
  return asked(events.index("device_n").getAll(countsOf(phone.device, phone.ack), limit));
}

/** @param {IDBTransaction} transaction @param {Phone} phone @returns {Promise<number>} */
export function countOutbox(transaction, phone) {
  const events = transaction.objectStore("events");
  if (phone.reoffer !== null) return asked(events.count(IDBKeyRange.lowerBound(phone.reoffer, true)));
  return asked(events.index("device_n").count(countsOf(phone.device, phone.ack)));
}

/**
 * Store what the server sent and move the phone's clock past it. An entry that is here already keeps its content and
 * learns its sequence number.
 *
 * @param {IDBTransaction} transaction @param {Phone} phone @param {Event[]} received
 */
export async function receiveEvents(transaction, phone, received) {
  const store = transaction.objectStore("events");
  const held = await Promise.all(received.map((event) => readEvent(transaction, event.id)));
  received.forEach((event, index) => {
    const known = held[index];
    if (!known) store.add(event);
    else if (known.seq !== event.seq) store.put({ ...known, seq: event.seq, received_at: event.received_at });
    phone.hlc = merge(phone.hlc, event.hlc);
  });
}

/**
 * The entries that can be stored and folded safely, whoever sent them. Kinds that this version does not know are
 * among them: they are kept and passed on as they came.
 *
 * @param {unknown[]} received @returns {Event[]}
 */
export function believable(received) {
  return received.flatMap((raw) => {
    try {
      return [checkEvent(raw)];
    } catch (error) {
      console.warn("An entry that the server sent is not one.", error);
      return [];
    }
  });
}

/** Local time with its offset, such as "2026-05-04T10:42:00+02:00". @param {Date} moment */
export function tellWallTime(moment) {
  const offset_min = -moment.getTimezoneOffset();
  const local = new Date(moment.getTime() + offset_min * 60_000).toISOString().slice(0, 19);
  const size_min = Math.abs(offset_min);
  return `${local}${offset_min < 0 ? "-" : "+"}${twoDigits(Math.floor(size_min / 60))}:${twoDigits(size_min % 60)}`;
}

/** @param {number} number */
function twoDigits(number) {
  return String(number).padStart(2, "0");
}
