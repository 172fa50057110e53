/** Entries that the server did not take. The entries themselves stay where they are; this keeps why, so that a person can see it. */

import { asked } from "./database.js";

/** @typedef {{ id: string, code: string, message: string, next: string }} Refusal */

/** @param {IDBTransaction} transaction @param {Refusal[]} refused @param {string[]} accepted an entry taken after all is no longer refused */
export function keepRefusals(transaction, refused, accepted) {
  const store = transaction.objectStore("refusals");
  for (const id of accepted) store.delete(id);
  for (const { id, code, message, next } of refused) store.put({ id, code, message, next });
}

/** @param {IDBTransaction} transaction @returns {Promise<Refusal[]>} */
export function readRefusals(transaction) {
  return asked(transaction.objectStore("refusals").getAll());
}
