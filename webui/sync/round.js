/**
 * One round with the server, and the rounds that follow from it: entries until both sides hold the same, then the
 * procedures that are missing, then photos one at a time. Entries never wait for the rest.
 */

/** @import { Store } from "../storage/store.js" */
/** @import { Server } from "./server.js" */

import { chooseCatalog, keepAnswer, keepPhotoSent, readMissingCatalogs, readNextPhoto, readOffer, storeCatalog } from "../storage/rounds.js";
import { ServerError } from "./server.js";

/** @typedef {{ visits: string[], clockOffset_ms: number, hasNewCatalog: boolean }} News what changed on this phone */

export const EVENTS_A_ROUND = 500;

/**
 * Run rounds until neither side has more.
 *
 * @param {Store} store @param {Server} server
 * @param {(news: News) => void} tell called after each round that changed something
 */
export async function exchange(store, server, tell) {
  for (;;) {
    const offer = await readOffer(store.database, EVENTS_A_ROUND);
    const { epoch, cursor, ack, device, serverId } = offer.phone;
    const asked_ms = Date.now();
    const events = offer.events.map(withoutServersPart);
    const answer = await server.sync({ epoch, cursor, ack, client_now: asked_ms, device, events }, serverId);
    const { outcome, hasProgressed, visits } = await keepAnswer(store.database, offer, answer);
    const hasNewCatalog = await bringCatalogs(store, server, answer.catalog);
    tell({ visits, clockOffset_ms: answer.server_now - asked_ms, hasNewCatalog });
    const isMore = answer.more || !offer.isAll || outcome !== "kept";
    if (!isMore || !hasProgressed) break;
  }
  await sendPhotos(store, server);
}

/** The sequence and time of receipt are the server's own; it gets back what the phone made. @param {import("../core/types.js").Event} event */
function withoutServersPart({ seq, received_at, ...made }) {
  return made;
}

/**
 * Fetch the newest procedures, and those that visits from other phones began with.
 *
 * @param {Store} store @param {Server} server @param {string} newest @returns {Promise<boolean>} true when something came
 */
async function bringCatalogs(store, server, newest) {
  const missing = await readMissingCatalogs(store.database, newest);
  let hasCome = false;
  for (const hash of missing) {
    const text = await server.catalog(hash).catch(ignoreRefusal);
    if (text === null) continue; // a server that lost its past; the visit shows that its procedures are missing
    await storeCatalog(store.database, { hash, text });
    hasCome = true;
  }
  const phone = await store.readPhone();
  if (phone.catalog !== newest && (hasCome || !missing.includes(newest))) {
    await chooseCatalog(store.database, newest);
    hasCome = true;
  }
  return hasCome;
}

/** @param {unknown} error @returns {null} */
function ignoreRefusal(error) {
  if (error instanceof ServerError && error.code === "refused") return null;
  throw error;
}

/** One picture that the server will not have must not hold up the others. @param {string} sha256 @param {unknown} error */
function readRefusal(sha256, error) {
  if (!(error instanceof ServerError) || error.code !== "refused") throw error;
  return [{ id: sha256, code: "photo_refused", message: error.message, next: error.next }];
}

/** @param {Store} store @param {Server} server */
async function sendPhotos(store, server) {
  for (;;) {
    const photo = await readNextPhoto(store.database);
    if (!photo) return;
    const refused = await server.putPhoto(photo).then(() => [], (error) => readRefusal(photo.sha256, error));
    await keepPhotoSent(store.database, photo.sha256, refused);
  }
}
