/**
 * Photos, by the hash of their bytes. Bytes and a type, never a Blob: browsers have lost stored Blobs for years. They
 * have their own queue to the server, so that entries never wait for pictures.
 */

import { asked } from "./database.js";

/** @typedef {{ sha256: string, type: string, bytes: ArrayBuffer }} Photo */
/** @typedef {Photo & { small?: ArrayBuffer | null }} Taken with a picture of it as small as a list shows it, where one could be made */

/** What a transaction that keeps a photo is over. */
export const PHOTO_STORES = ["photos", "waiting_photos", "thumbnails"];

/** @param {IDBTransaction} transaction over PHOTO_STORES @param {Taken} taken */
export function keepPhoto(transaction, { small, ...photo }) {
  transaction.objectStore("photos").put(photo);
  transaction.objectStore("waiting_photos").put(1, photo.sha256);
  if (small) transaction.objectStore("thumbnails").put({ sha256: photo.sha256, bytes: small });
}

/** A list of hundreds never reads the photos themselves. @param {IDBTransaction} transaction @param {string} sha256 @returns {Promise<{ sha256: string, bytes: ArrayBuffer } | undefined>} */
export function readThumbnail(transaction, sha256) {
  return asked(transaction.objectStore("thumbnails").get(sha256));
}

/** @param {IDBTransaction} transaction @param {string} sha256 @returns {Promise<Photo | undefined>} */
export function readPhoto(transaction, sha256) {
  return asked(transaction.objectStore("photos").get(sha256));
}

/** The next photo the server may not have. @param {IDBTransaction} transaction @returns {Promise<Photo | undefined>} */
export async function readWaitingPhoto(transaction) {
  const [sha256] = await asked(transaction.objectStore("waiting_photos").getAllKeys(null, 1));
  return sha256 === undefined ? undefined : readPhoto(transaction, String(sha256));
}

/** Those the server may not have. @param {IDBTransaction} transaction @returns {Promise<string[]>} */
export async function readWaitingPhotoNames(transaction) {
  return (await asked(transaction.objectStore("waiting_photos").getAllKeys())).map(String);
}

/** @param {IDBTransaction} transaction @returns {Promise<number>} */
export function countWaitingPhotos(transaction) {
  return asked(transaction.objectStore("waiting_photos").count());
}

/** @param {IDBTransaction} transaction @param {string} sha256 */
export function markPhotoSent(transaction, sha256) {
  transaction.objectStore("waiting_photos").delete(sha256);
}

/** Offer every photo again: the server's database is not the one that took them. @param {IDBTransaction} transaction */
export async function offerAllPhotos(transaction) {
  for (const sha256 of await asked(transaction.objectStore("photos").getAllKeys())) {
    transaction.objectStore("waiting_photos").put(1, sha256);
  }
}
