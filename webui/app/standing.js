/** How safe and how roomy the browser's storage is: read from the browser, never remembered. */

/** @typedef {{ persisted: boolean, used_bytes: number | null, left_bytes: number | null, isTight: boolean }} Standing */

// A day of photos and a new version still fit.
const TIGHT_BYTES = 200e6;

/** @returns {Promise<Standing>} */
export async function readStanding() {
  const storage = navigator.storage;
  const persisted = (await storage?.persisted?.().catch(() => false)) ?? false;
  /** @type {StorageEstimate | undefined} */
  const estimate = await storage?.estimate?.().catch(() => undefined);
  const { usage = null, quota = null } = estimate ?? {};
  const left_bytes = usage === null || quota === null ? null : Math.max(0, quota - usage);
  return { persisted, used_bytes: usage, left_bytes, isTight: left_bytes !== null && left_bytes < TIGHT_BYTES };
}

/** Browsers decide by how the app is used, and some only after a tap. */
export async function askToPersist() {
  await navigator.storage?.persist?.().catch(() => false);
}
