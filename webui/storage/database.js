/**
 * The one connection to IndexedDB. It exists because browsers take connections away: a tab in the background, a
 * wake from sleep or another tab's newer version may close it at any moment, and whoever caches a dead connection
 * loses every write after it. Here a lost connection is dropped, opened again, and the work tried again.
 */

import { StorageError, explain, isConnectionLost } from "./errors.js";
import { migrations } from "./migrations.js";

/** @typedef {(transaction: IDBTransaction, attempt: number) => Promise<any>} Work may await nothing but requests of its transaction */

/**
 * @typedef {object} Database
 * @property {<Result>(stores: string[], work: (transaction: IDBTransaction, attempt: number) => Promise<Result>) => Promise<Result>} read
 * @property {<Result>(stores: string[], work: (transaction: IDBTransaction, attempt: number) => Promise<Result>) => Promise<Result>} write settles after the transaction's `complete`; may be lost with a flat battery in the next seconds
 * @property {<Result>(stores: string[], work: (transaction: IDBTransaction, attempt: number) => Promise<Result>) => Promise<Result>} writeStrictly settles after `complete` of a transaction that the browser flushed to disk
 * @property {() => Promise<void>} probe read something, so that a dead connection is found before a burst of writes
 * @property {() => void} close
 */

export const DATABASE_NAME = "fillfirst";

// Safari 14 may never answer the first open of a process; a second one answers at once.
const OPEN_TIMEOUT_MS = 3000;
const RETRIES = 3;

/**
 * @param {{ onBlocked?: () => void }} [options] called when another tab keeps an older layout open
 * @returns {Database}
 */
export function createDatabase({ onBlocked = () => {} } = {}) {
  /** @type {Promise<IDBDatabase> | null} */
  let opening = null;

  function drop() {
    const dropped = opening;
    opening = null;
    dropped?.then((connection) => connection.close()).catch(() => {});
  }

  function connect() {
    if (opening) return opening;
    const started = openOnce(onBlocked).then((connection) => {
      const forget = () => {
        if (opening === started) opening = null;
      };
      connection.onclose = forget;
      connection.onversionchange = () => {
        connection.close();
        forget();
      };
      return connection;
    });
    opening = started;
    return started;
  }

  /**
   * @template Result
   * @param {string[]} stores
   * @param {IDBTransactionMode} mode
   * @param {IDBTransactionDurability} durability
   * @param {(transaction: IDBTransaction, attempt: number) => Promise<Result>} work
   * @returns {Promise<Result>}
   */
  async function run(stores, mode, durability, work) {
    for (let attempt = 0; ; attempt++) {
      try {
        const connection = await connect();
        return await perform(connection.transaction(stores, mode, { durability }), work, attempt);
      } catch (error) {
        if (!isConnectionLost(error) || attempt >= RETRIES) throw explain(error);
        drop();
      }
    }
  }

  return {
    read: (stores, work) => run(stores, "readonly", "relaxed", work),
    write: (stores, work) => run(stores, "readwrite", "relaxed", work),
    writeStrictly: (stores, work) => run(stores, "readwrite", "strict", work),
    probe: () => run(["meta"], "readonly", "relaxed", async (transaction) => void (await asked(transaction.objectStore("meta").count()))),
    close: drop,
  };
}

/**
 * The result of a request, as a promise.
 *
 * @template Result
 * @param {IDBRequest<Result>} request
 * @returns {Promise<Result>}
 */
export function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * Do the work and wait for `complete`. An aborted transaction always rejects: one that settled quietly would be an
 * entry lost without a word.
 *
 * @template Result
 * @param {IDBTransaction} transaction
 * @param {(transaction: IDBTransaction, attempt: number) => Promise<Result>} work
 * @param {number} attempt
 * @returns {Promise<Result>}
 */
function perform(transaction, work, attempt) {
  return new Promise((resolve, reject) => {
    /** @type {Result} */
    let result;
    /** @type {unknown} */
    let reason = null;
    transaction.oncomplete = () => (reason === null ? resolve(result) : reject(reason));
    transaction.onabort = () => reject(reason ?? transaction.error ?? new StorageError("refused", "the browser ended the transaction"));
    work(transaction, attempt).then(
      (made) => {
        result = made;
      },
      (error) => {
        reason = error;
        try {
          transaction.abort();
        } catch {
          reject(error); // it had ended already
        }
      },
    );
  });
}

/** @param {() => void} onBlocked @returns {Promise<IDBDatabase>} */
function openOnce(onBlocked) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE_NAME, migrations.length);
    let isLate = false;
    let timer = setTimeout(giveUp, OPEN_TIMEOUT_MS);
    function giveUp() {
      isLate = true;
      reject(new DOMException("The database did not open in time.", "TimeoutError"));
    }
    request.onupgradeneeded = (change) => {
      clearTimeout(timer); // a migration takes the time it takes
      const transaction = /** @type {IDBTransaction} */ (request.transaction);
      for (const migrate of migrations.slice(change.oldVersion)) migrate(request.result, transaction);
    };
    request.onblocked = () => {
      clearTimeout(timer);
      onBlocked();
    };
    request.onerror = () => {
      clearTimeout(timer);
      reject(request.error);
    };
    request.onsuccess = () => {
      clearTimeout(timer);
      if (isLate) request.result.close();
      else resolve(request.result);
    };
  });
}
