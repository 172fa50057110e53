/**
 * The procedures, by the hash of their bytes. Kept in the database and not in the worker's cache: a visit keeps the
 * ones it began with until it is closed, however many versions of the app come and go.
 */

/** @import { Catalog } from "../core/types.js" */

import { asked } from "./database.js";

// Kept as text: parsing it is faster than the browser's own cloning of so many small objects.
/** @typedef {{ hash: string, text: string }} StoredCatalog */

/** @param {IDBTransaction} transaction @param {string} hash @returns {Promise<string | null>} */
export async function readCatalogText(transaction, hash) {
  /** @type {StoredCatalog | undefined} */
  const found = await asked(transaction.objectStore("catalogs").get(hash));
  return found?.text ?? null;
}

/** @param {IDBTransaction} transaction @returns {Promise<string[]>} */
export async function readCatalogHashes(transaction) {
  return /** @type {string[]} */ (await asked(transaction.objectStore("catalogs").getAllKeys()));
}

/** @param {IDBTransaction} transaction @param {StoredCatalog} catalog */
export function keepCatalog(transaction, catalog) {
  transaction.objectStore("catalogs").put(catalog);
}

/** @param {string} text @returns {Catalog} */
export function parseCatalog(text) {
  return JSON.parse(text);
}
