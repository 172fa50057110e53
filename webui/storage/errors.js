/**
 * What can go wrong with the phone's own storage, in our words; the browser's error stays as the cause.
 *
 *     StorageError
 *       code "full"     no room: the person can make some
 *       code "lost"     the browser took the database away, and three new openings did not bring it back
 *       code "blocked"  another tab holds an older or newer layout of the database
 *       code "refused"  the browser gave another reason not to write
 */

/** @typedef {"full" | "lost" | "blocked" | "refused"} StorageCode */

export class StorageError extends Error {
  /** @param {StorageCode} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(`The phone's storage failed (${code}): ${describe(cause)}`, { cause });
    this.name = "StorageError";
    this.code = code;
  }
}

/** Put whatever a transaction failed with into our words. @param {unknown} error @returns {StorageError} */
export function explain(error) {
  if (error instanceof StorageError) return error;
  const name = error instanceof DOMException ? error.name : "";
  if (name === "QuotaExceededError") return new StorageError("full", error);
  if (name === "VersionError") return new StorageError("blocked", error);
  return new StorageError(isConnectionLost(error) ? "lost" : "refused", error);
}

/**
 * True when opening the database again may help: the browser dropped the connection, not the data.
 * Safari ends its database process for tabs in the background; the old connection then fails for ever.
 *
 * @param {unknown} error
 */
export function isConnectionLost(error) {
  return error instanceof DOMException && ["InvalidStateError", "UnknownError", "TimeoutError"].includes(error.name);
}

/** @param {unknown} cause */
function describe(cause) {
  return cause instanceof Error ? `${cause.name}: ${cause.message}` : String(cause ?? "no reason given");
}
