/**
 * The layout of the database, as a list of steps from one version to the next. Stores are added rarely and never
 * removed: a new version locks older code out, so it must only ever arrive between visits.
 */

/** @type {((database: IDBDatabase, transaction: IDBTransaction) => void)[]} */
export const migrations = [
  function createFirstStores(database) {
    const events = database.createObjectStore("events", { keyPath: "id" });
    events.createIndex("device_n", ["device", "n"]);
    events.createIndex("subject", "subject");
    events.createIndex("kind", "kind");
    database.createObjectStore("meta");
    database.createObjectStore("catalogs", { keyPath: "hash" });
    database.createObjectStore("refusals", { keyPath: "id" });
    database.createObjectStore("photos", { keyPath: "sha256" });
    database.createObjectStore("waiting_photos");
  },
  function createThumbnails(database) {
    database.createObjectStore("thumbnails", { keyPath: "sha256" });
  },
];
