/** Where the picture of a photo is found: on this phone if it is here, else at the server. */

/** @import { Store } from "../storage/store.js" */

/** @param {Store} store @param {string} sha256 @returns {Promise<string>} */
export async function findPhoto(store, sha256) {
  const photo = await store.readPhoto(sha256);
  return photo ? URL.createObjectURL(new Blob([photo.bytes], { type: photo.type })) : `/api/photos/${sha256}`;
}

/** @param {Store} store @param {string} sha256 @returns {Promise<string>} small, where this phone took it */
export async function findThumbnail(store, sha256) {
  const small = await store.readThumbnail(sha256).catch(() => undefined);
  return small ? URL.createObjectURL(new Blob([small.bytes], { type: "image/jpeg" })) : findPhoto(store, sha256);
}
