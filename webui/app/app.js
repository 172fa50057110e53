/**
 * The app as its screens know it: what is on this phone, what a person may do, and how far the rest of the world has
 * heard of it. Data flows out of here, actions come in, and every change ends in one call to the listeners.
 */

/** @import { Event } from "../core/types.js" */
/** @import { Store } from "../storage/store.js" */
/** @import { App, Garage, House, Order } from "./types.js" */
/** @import { Update } from "./update.js" */

import { readEvent } from "../core/events.js";
import { listCars } from "./cars.js";
import { applyPreferences, keepPreferences, readPreferences } from "./preferences.js";
import { createVisits } from "./visits.js";
import { words } from "./words.js";

/** @typedef {{ noteEntry: () => void, now: () => Promise<void> }} Loop */

/**
 * What the shell does and screens do not see.
 *
 * @typedef {object} Inside
 * @property {() => Promise<void>} open read what this phone holds
 * @property {(state: Partial<App["sync"]>) => void} showSync
 * @property {(news: { visits: string[], hasNewCatalog: boolean }) => Promise<void>} showNews
 * @property {(loop: Loop, update: Update) => void} attach what is loaded after the first screen is shown
 * @property {(isReady: boolean) => void} showUpdate
 * @property {() => void} showChange
 */

const INTENT = "fillfirst/open-visit";

/**
 * @param {{ makeStore: (options: { onChange: () => void }) => Store }} needs
 * @returns {{ app: App, inside: Inside }}
 */
export function createApp({ makeStore }) {
  /** @type {Set<() => void>} */
  const listeners = new Set();
  const channel = new BroadcastChannel("events");
  let lifeboat = 0;
  const store = makeStore({ onChange: () => void showStorage() });
  const visits = createVisits(store);
  /** @type {Loop | null} */
  let loop = null;
  /** @type {Update | null} */
  let update = null;
  /** @type {Garage | null} */
  let garage = null;
  /** @type {Promise<Garage> | null} */
  let opening = null;
  /** @type {Promise<House> | null} */
  let house = null;

  /** @type {App} */
  const app = {
    catalog: null,
    catalogHash: null,
    me: { paired: false, name: "", device: null, openVisits: [] },
    words,
    cars: () => (app.catalog ? listCars(app.catalog, visits.list(), garage?.list()) : []),
    loadGarage,
    visits: visits.list,
    visit: visits.get,
    loadVisit: visits.load,
    openVisit,
    record,
    undo: (visitId, eventId) => record(visitId, "undone", { event: eventId }),
    addPhoto,
    recordWithPhoto,
    photoAddress: async (sha256) => (await import("./photo-address.js")).findPhoto(store, sha256),
    thumbnailAddress: async (sha256) => (await import("./photo-address.js")).findThumbnail(store, sha256),
    async pair(code, name) {
      const { letIn } = await import("./pairing.js");
      await letIn(store, code, name);
      await readPhone();
      showChange();
      await loop?.now();
    },
    loadHouse: () => (house ??= openHouse()),
    async exportUnsent() {
      const { makeExport } = await import("./export.js");
      return makeExport(store);
    },
    sync: { state: "busy", waiting: 0, waitingPhotos: 0, lastAt: null, clockOffset_ms: 0, refusals: [], problem: null, now: async () => loop?.now() },
    storage: { persisted: false, used_bytes: null, left_bytes: null, isTight: false, ...store.state },
    update: { ready: false, take: takeUpdate },
    install: { isInstalled: matchMedia("(display-mode: standalone)").matches || Reflect.get(navigator, "standalone") === true, take: null },
    keepSafe,
    preferences: readPreferences(),
    prefer,
    go: (hash) => void (location.hash = hash),
    goInstead: (hash) => location.replace(hash),
    subscribe(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
  };

  let isChanging = false;

  function showChange() {
    if (isChanging) return;
    for (const listener of [...listeners]) listener();
  }

  /** Whatever it says of itself on the way, the screens are drawn once, when all of it is true. @param {() => void} change */
  function showAsOne(change) {
    isChanging = true;
    try {
      change();
    } finally {
      isChanging = false;
    }
    showChange();
  }

  /** @param {Partial<App["preferences"]>} wishes */
  function prefer(wishes) {
    app.preferences = { ...app.preferences, ...wishes };
    keepPreferences(app.preferences);
    applyPreferences(app.preferences);
    showChange();
  }

  async function showStorage() {
    const hasLanded = lifeboat > 0 && store.state.lifeboat === 0;
    lifeboat = store.state.lifeboat;
    Object.assign(app.storage, store.state);
    if (hasLanded) await Promise.all([visits.reload(), garage?.reload(undefined)]).catch(() => {});
    showChange();
  }

  async function readPhone() {
    const phone = await store.readPhone();
    app.me = { paired: phone.isPaired, name: phone.name, device: phone.device, openVisits: phone.openVisits };
    if (phone.catalog !== null && phone.catalog !== app.catalogHash) {
      app.catalog = await visits.catalog(phone.catalog);
      app.catalogHash = app.catalog ? phone.catalog : null;
    }
  }

  /** @param {string} visitId @param {string} kind @param {Record<string, any>} payload @returns {Promise<Event>} */
  function record(visitId, kind, payload) {
    return append({ kind, subject: visitId, payload });
  }

  /** The garage is loaded once, and again after it failed to. @returns {Promise<Garage>} */
  function loadGarage() {
    opening ??= openGarage().catch((error) => {
      opening = null;
      throw error;
    });
    return opening;
  }

  async function openGarage() {
    const { createGarage } = await import("./garage.js");
    const opened = createGarage({
      store,
      catalog: () => app.catalog,
      visit: visits.get,
      record: (subject, kind, payload) => append({ kind, subject, payload }, undefined, true),
      recordInVisit: record,
    });
    await opened.load();
    garage = opened;
    return opened;
  }

  async function openHouse() {
    const { createHouse } = await import("./house.js");
    return createHouse({ store, onChange: showChange, onLeft: async () => loop?.now() });
  }

  /**
   * @param {{ kind: string, subject: string, payload: Record<string, any> }} entry
   * @param {import("../storage/photos.js").Photo} [photo]
   * @param {boolean} [isAboutCar] a car is no visit that could be open
   */
  async function append(entry, photo, isAboutCar = false) {
    checkBody(entry);
    const isVisitOpen = !isAboutCar && willBeOpen(entry);
    const event = await store.append(entry, photo ? { isVisitOpen, photo } : { isVisitOpen });
    if (isAboutCar) garage?.add(event);
    else await visits.add(event);
    const others = app.me.openVisits.filter((visit) => visit !== event.subject);
    channel.postMessage([event.subject]);
    showAsOne(() => {
      app.me = { ...app.me, openVisits: isVisitOpen ? [...others, event.subject] : others };
      loop?.noteEntry();
      if (!isVisitOpen && !isAboutCar) update?.check();
    });
    return event;
  }

  /** @param {{ kind: string, subject: string, payload: Record<string, any> }} entry */
  function willBeOpen({ kind, subject, payload }) {
    const closed = visits.get(subject)?.visit.closed ?? null;
    if (kind === "visit-closed") return false;
    return closed === null || (kind === "undone" && payload.event === closed.id);
  }

  /** @param {Order} order @returns {Promise<string>} */
  async function openVisit(order) {
    void keepSafe(); // at once: browsers grant it after a tap only
    if (await update?.settle()) {
      // The new version must come before the visit, not in the middle of it; the wish is carried over the reload.
      sessionStorage.setItem(INTENT, JSON.stringify(order));
      await update?.take();
    }
    return beginVisit(order);
  }

  /** @param {Order} order */
  async function beginVisit(order) {
    return (await import("./begin-visit.js")).beginVisit(app, order);
  }

  async function resumeIntent() {
    const intent = sessionStorage.getItem(INTENT);
    if (intent === null) return;
    sessionStorage.removeItem(INTENT);
    app.go(`#/work/${await beginVisit(JSON.parse(intent))}`);
  }

  /** @param {string} visitId @param {string} step @param {Blob} file @param {{ by?: string }} [signature] @returns {Promise<Event>} */
  function addPhoto(visitId, step, file, signature) {
    return recordWithPhoto(visitId, "photo-taken", (sha256, type) => ({ step, sha256, type, ...signature }), file);
  }

  /**
   * @param {string} visitId @param {string} kind
   * @param {(sha256: string, type: string) => Record<string, any>} payload
   * @param {Blob} file
   */
  async function recordWithPhoto(visitId, kind, payload, file) {
    const { preparePhoto } = await import("./photo.js");
    const photo = await preparePhoto(file);
    const event = await append({ kind, subject: visitId, payload: payload(photo.sha256, photo.type) }, photo);
    void watchRoom();
    return event;
  }

  async function takeUpdate() {
    if ((await store.readPhone()).openVisits.length > 0) throw new Error(words.errors.updateWhileOpen);
    await update?.take();
  }

  async function keepSafe() {
    await (await import("./standing.js")).askToPersist();
    await watchRoom();
  }

  async function watchRoom() {
    const { readStanding } = await import("./standing.js");
    Object.assign(app.storage, await readStanding());
    showChange();
  }

  watchInstall(app, showChange);

  channel.onmessage = async ({ data }) => {
    await readPhone().catch(() => {});
    const changed = Array.isArray(data) ? data : undefined;
    await Promise.all([visits.reload(changed), garage?.reload(changed)]).catch(() => {});
    showChange();
  };

  /** @type {Inside} */
  const inside = {
    showChange,
    async open() {
      await store.open();
      await readPhone();
      await visits.readSummaries();
      await resumeIntent();
    },
    showSync(state) {
      Object.assign(app.sync, state);
      app.me = { ...app.me, paired: app.me.paired && state.state !== "unpaired" };
      if (state.state === "app-old") update?.check();
      showChange();
    },
    async showNews({ visits: changed, hasNewCatalog }) {
      if (hasNewCatalog || changed.length > 0) await readPhone();
      if (changed.length > 0) {
        await Promise.all([visits.reload(changed), garage?.reload(changed)]);
        channel.postMessage(changed);
      }
      showChange();
    },
    showUpdate(isReady) {
      app.update.ready = isReady;
      showChange();
    },
    attach(newLoop, newUpdate) {
      loop = newLoop;
      update = newUpdate;
      void (visits.list().length > 0 ? keepSafe() : watchRoom()); // browsers change their minds as an app is used more
    },
  };
  return { app, inside };
}

/** The browser's own offer comes once, at a moment of its choosing: it is kept until a person asks. @param {App} app @param {() => void} showChange */
function watchInstall(app, showChange) {
  addEventListener("beforeinstallprompt", (offer) => {
    offer.preventDefault();
    app.install.take = async () => {
      app.install.take = null;
      await /** @type {{ prompt: () => Promise<unknown> }} */ (/** @type {unknown} */ (offer)).prompt();
      showChange();
    };
    showChange();
  });
  addEventListener("appinstalled", () => {
    Object.assign(app.install, { isInstalled: true, take: null });
    showChange();
  });
}

/**
 * Refuse an entry that no phone could fold, before it is in the log for ever: that is a mistake of ours, to be seen at once.
 *
 * @param {{ kind: string, subject: string, payload: Record<string, any> }} entry
 */
function checkBody(entry) {
  readEvent({ id: "new", device: "new", n: 1, hlc: { ms: 0, c: 0 }, seen: 0, wall: "new", v: 1, ...entry });
}
