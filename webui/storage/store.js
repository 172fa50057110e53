/**
 * Everything this phone remembers, as one object: the only door to the database for the rest of the app. Each method
 * is one transaction, so that nothing is ever seen half-written.
 */

/** @import { Event } from "../core/types.js" */
/** @import { Draft } from "./events.js" */
/** @import { Phone } from "./phone.js" */
/** @import { Photo, Taken } from "./photos.js" */
/** @import { Rescued } from "./lifeboat.js" */

import { createDatabase } from "./database.js";
import { StorageError, explain } from "./errors.js";
import { addEvent, numberEvent, readEvent, readEventsOf, readEventsOfKind, tellWallTime } from "./events.js";
import { readRescued, release, rescue } from "./lifeboat.js";
import { readCatalogText } from "./catalogs.js";
import { keepPhoto, PHOTO_STORES, readPhoto, readThumbnail } from "./photos.js";
import { readPhone, readSoundPhone, renamePhone, unknownPhone, writePhone } from "./phone.js";

/** @typedef {ReturnType<typeof createStore>} Store */
/** @typedef {{ kind: string, subject: string, payload: Record<string, any> }} Entry what a person did, before it has a name or a place */
/** @typedef {import("./errors.js").StorageCode} Trouble */

// While the database is lost each new try may take seconds; taps meanwhile go straight to the lifeboat.
const LOST_PAUSE_MS = 10_000;

/** @param {{ onChange?: () => void }} [options] called when trouble or the lifeboat changes */
export function createStore({ onChange = () => {} } = {}) {
  /** @type {{ trouble: Trouble | null, lifeboat: number }} */
  const state = { trouble: null, lifeboat: readRescued().length };
  const database = createDatabase({ onBlocked: () => setState("blocked") });
  /** @type {Phone | null} what was last known; the truth is in the database, where other tabs write too */
  let lastPhone = null;
  let lostUntil_ms = 0;
  /** @type {Map<string, Event>} entries in the lifeboat, numbered as if they had got through */
  const afloat = new Map();

  /** @param {Trouble | null} trouble */
  function setState(trouble) {
    const lifeboat = readRescued().length;
    if (state.trouble === trouble && state.lifeboat === lifeboat) return;
    Object.assign(state, { trouble, lifeboat });
    onChange();
  }

  /** Open the database, settle who this phone is, bring home what the lifeboat holds. @returns {Promise<Phone>} */
  async function open() {
    try {
      // Read first: even a strict transaction that writes nothing costs a flush, at every start.
      const sound = await database.read(["events", "meta"], readSoundPhone);
      lastPhone = sound ?? (await database.writeStrictly(["events", "meta"], renamePhone));
      if (state.lifeboat > 0) await land();
      setState(null);
      return lastPhone;
    } catch (error) {
      const failure = explain(error);
      setState(failure.code);
      throw failure;
    }
  }

  /** Move the lifeboat's entries into the log. */
  async function land() {
    const rescued = readRescued();
    lastPhone = await database.writeStrictly(["events", "meta"], async (transaction) => {
      const phone = await readPhone(transaction);
      await addRescued(transaction, phone, rescued);
      writePhone(transaction, phone);
      return phone;
    });
    release(rescued);
    afloat.clear();
  }

  /**
   * Append an entry to the log: one strict transaction over the log, the phone's count and clock, and the photo that
   * belongs to it. Settles when the browser has flushed it. When the database refuses, the entry goes to the
   * lifeboat; when that refuses too, this throws and nothing was saved.
   *
   * @param {Entry} entry
   * @param {{ isVisitOpen: boolean, photo?: Taken }} options whether the visit is open once this entry is in
   * @returns {Promise<Event>}
   */
  async function append(entry, { isVisitOpen, photo }) {
    const now = new Date();
    /** @type {Draft} */
    const draft = { ...entry, id: null, wall: tellWallTime(now), made_ms: now.getTime() };
    const rescued = state.lifeboat > 0 ? readRescued() : [];
    const stores = photo ? ["events", "meta", ...PHOTO_STORES] : ["events", "meta"];
    if (now.getTime() < lostUntil_ms && !photo) return rescueInstead(new StorageError("lost"), { draft, isVisitOpen }, photo);
    try {
      const event = await database.writeStrictly(stores, async (transaction, attempt) => {
        const phone = await readPhone(transaction);
        await addRescued(transaction, phone, rescued);
        // A connection may be lost after the browser wrote and before it said so.
        const made = attempt > 0 && draft.id ? await readEvent(transaction, draft.id) : undefined;
        const event = made ?? addDraft(transaction, phone, draft, isVisitOpen);
        if (photo) keepPhoto(transaction, photo);
        writePhone(transaction, phone);
        lastPhone = phone;
        return event;
      });
      release(rescued);
      afloat.clear();
      setState(null);
      return event;
    } catch (error) {
      return rescueInstead(explain(error), { draft, isVisitOpen }, photo);
    }
  }

  /** @param {StorageError} failure @param {Rescued} rescued @param {Taken | undefined} photo @returns {Event} */
  function rescueInstead(failure, rescued, photo) {
    if (failure.code === "lost" && Date.now() > lostUntil_ms) lostUntil_ms = Date.now() + LOST_PAUSE_MS;
    if (photo) {
      setState(failure.code);
      throw failure; // a picture does not fit into the lifeboat
    }
    lastPhone ??= unknownPhone();
    const event = numberEvent(lastPhone, rescued.draft);
    try {
      rescue(rescued);
    } catch {
      setState(failure.code);
      throw failure;
    }
    afloat.set(event.id, event);
    setState(failure.code);
    return event;
  }

  return {
    state,
    /** For the folders that keep more here; each gives it one transaction's worth of work. */
    database,
    open,
    append,
    /** A visit's entries, those in the lifeboat among them. @param {string} visit @returns {Promise<Event[]>} */
    async readVisit(visit) {
      const rescued = [...afloat.values()].filter((event) => event.subject === visit);
      const kept = await database.read(["events"], (transaction) => readEventsOf(transaction, visit)).catch((error) => {
        if (rescued.length > 0) return [];
        throw error;
      });
      const ids = new Set(kept.map((event) => event.id));
      return [...kept, ...rescued.filter((event) => !ids.has(event.id))];
    },
    /** What tells the visits apart without reading their steps. */
    readVisits: () =>
      database.read(["events"], async (transaction) => {
        /** @param {string} kind */
        const read = async (kind) => {
          const kept = await readEventsOfKind(transaction, kind);
          return [...kept, ...[...afloat.values()].filter((event) => event.kind === kind)];
        };
        return { opened: await read("visit-opened"), closed: await read("visit-closed"), undone: await read("undone") };
      }),
    /** The cars that were typed in, by whomever. @returns {Promise<string[]>} */
    readCarIds: async () => {
      const kept = await database.read(["events"], (transaction) => readEventsOfKind(transaction, "car-added"));
      const adrift = [...afloat.values()].filter((event) => event.kind === "car-added");
      return [...new Set([...kept, ...adrift].map((event) => event.subject))];
    },
    readPhone: () => database.read(["meta"], readPhone),
    /** @param {string} hash @returns {Promise<string | null>} */
    readCatalogText: (hash) => database.read(["catalogs"], (transaction) => readCatalogText(transaction, hash)),
    /** @param {string} sha256 @returns {Promise<Photo | undefined>} */
    readPhoto: (sha256) => database.read(["photos"], (transaction) => readPhoto(transaction, sha256)),
    /** @param {string} sha256 */
    readThumbnail: (sha256) => database.read(["thumbnails"], (transaction) => readThumbnail(transaction, sha256)),
  };
}

/**
 * @param {IDBTransaction} transaction @param {Phone} phone @param {Draft} draft @param {boolean} isVisitOpen
 * @returns {Event}
 */
function addDraft(transaction, phone, draft, isVisitOpen) {
  const event = numberEvent(phone, draft);
  addEvent(transaction, event);
  const others = phone.openVisits.filter((visit) => visit !== draft.subject);
  phone.openVisits = isVisitOpen ? [...others, draft.subject] : others;
  return event;
}

/** @param {IDBTransaction} transaction @param {Phone} phone @param {Rescued[]} rescued */
async function addRescued(transaction, phone, rescued) {
  for (const { draft, isVisitOpen } of rescued) {
    if (!draft.id || !(await readEvent(transaction, draft.id))) addDraft(transaction, phone, draft, isVisitOpen);
  }
}
