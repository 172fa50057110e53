/**
 * Makes the app start without a network: one cache per version, filled whole and checked before it counts, never
 * changed afterwards. The server writes `self.PACKAGE` above this text, so any change of any file is a new worker.
 *
 * A new version is not even installed while a visit is open. One that waited would take over by itself whenever the
 * phone ends the app, which is what phones do in the middle of a job.
 */

/** @typedef {{ version: string, files: Record<string, string>, force: boolean }} Package files: sha256 by path; force: a fix that may not wait for a visit to end */

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
/** @type {Package} */
const { version, files, force } = Reflect.get(self, "PACKAGE");
// Pictures are for the phone's home screen, which fetches them itself when the app is installed.
const KEPT = Object.entries(files).filter(([path]) => !path.endsWith(".png"));
const PREFIX = "app-";
const CACHE = PREFIX + version;
// Not pages of the app: a failure there must look like one.
const NOT_PAGES = ["/api/", "/setup", "/record/"];
const CHECK_AFTER_MS = 5_000;
const SIGN_OF_LIFE_MS = 1_000;
// Up to so many files are fetched each by itself; more come in one answer, which is less to send than these.
const APIECE = 30;
// An entry of this name in a cache says: this version lost a file that no server has any more.
const BROKEN = "/broken";

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));
worker.addEventListener("message", (event) => {
  if (event.data === "SKIP") event.waitUntil(worker.skipWaiting());
  if (event.data === "CHECK") event.waitUntil(repair());
});
worker.addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== worker.location.origin) return;
  if (NOT_PAGES.some((start) => pathname.startsWith(start)) || pathname === "/sw.js") return;
  if (mode === "navigate") event.waitUntil(checkSoon());
  event.respondWith(answer(event.request, mode === "navigate" ? "/" : pathname));
});

async function install() {
  const isRescue = await isAnyBroken();
  if (!isRescue) await refuseDuringVisit();
  const cache = await caches.open(CACHE);
  const held = await listHeld();
  /** @type {[string, string][]} */
  const missing = [];
  for (const [path, hash] of KEPT) {
    const kept = held.get(nameIn(path));
    const unchanged = kept && (await takeUnchanged(kept, hash));
    if (unchanged) await cache.put(path, unchanged);
    else missing.push([path, hash]);
  }
  const together = missing.length > APIECE ? await bringTogether() : {};
  // One after another: a small box on a weak network answers two hundred at once badly.
  for (const [path, hash] of missing) {
    await cache.put(path, (await takeFrom(together, path, hash)) ?? (await bring(path, hash)));
  }
  if (isRescue) await worker.skipWaiting();
  else await refuseDuringVisit(); // one may have been opened meanwhile
}

async function activate() {
  const isRescue = await isAnyBroken();
  for (const name of await listCaches()) if (name !== CACHE) await caches.delete(name);
  await worker.clients.claim();
  // Not awaited: the pages' requests wait for this event to end.
  if (isRescue) void startPagesAnew();
}

/** The caches of the app's versions; there may be others, which are not ours to touch. */
async function listCaches() {
  return (await caches.keys()).filter((name) => name.startsWith(PREFIX));
}

/**
 * The cached file, else the network: browsers may drop part of a cache.
 *
 * @param {Request} request @param {string} path
 */
async function answer(request, path) {
  const kept = await caches.match(path, { cacheName: CACHE, ignoreSearch: true });
  if (kept) return kept;
  if (path in files) console.warn(`${path} is missing from ${CACHE}.`);
  return fetch(request);
}

/** A file from the server, if it has the right bytes. @param {string} path @param {string} hash */
async function bring(path, hash) {
  // "reload": the browser's own cache may hold an older file under this address.
  const response = await fetch(path, { cache: "reload", credentials: "same-origin" });
  if (!response.ok) throw new Error(`${path} could not be fetched: ${response.status}.`);
  const copy = await rebuild(response, hash);
  if (!copy) throw new Error(`${path} came with other bytes than this version has.`);
  return copy;
}

/** @typedef {{ headers?: Headers, files?: Record<string, [type: string, text: string]> }} Together */

/** All files in one answer; nothing where it cannot be had, for then each is fetched by itself. @returns {Promise<Together>} */
async function bringTogether() {
  try {
    const response = await fetch(`/v/${version}/whole.json`, { cache: "no-store", credentials: "same-origin" });
    return response.ok ? { headers: response.headers, files: await response.json() } : {};
  } catch {
    return {};
  }
}

/** @param {Together} together @param {string} path @param {string} hash @returns {Promise<Response | null>} null if it is not among them, or has other bytes */
async function takeFrom({ headers, files: texts }, path, hash) {
  const found = texts?.[nameIn(path).slice(1)];
  if (!found) return null;
  const own = new Headers(headers);
  own.set("content-type", found[0]);
  own.delete("etag");
  return rebuild(new Response(found[1], { headers: own }), hash);
}

/** @typedef {{ cache: Cache, request: Request }} Held */

/** What any version's cache holds, by name: most files are the same in the next version. @returns {Promise<Map<string, Held>>} */
async function listHeld() {
  /** @type {Map<string, Held>} */
  const held = new Map();
  for (const name of await listCaches()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) held.set(nameIn(new URL(request.url).pathname), { cache, request });
  }
  return held;
}

/** @param {Held} held @param {string} hash @returns {Promise<Response | null>} null if the bytes are others */
async function takeUnchanged({ cache, request }, hash) {
  const kept = await cache.match(request);
  return kept ? rebuild(kept, hash) : null;
}

/** A file's path without its version. @param {string} path */
function nameIn(path) {
  return path.replace(/^\/v\/[^/]+/, "");
}

/**
 * The response again, made of its bytes, if they have the hash. Made anew because Safari refuses to use one that was
 * redirected.
 *
 * @param {Response} response @param {string} hash
 */
async function rebuild(response, hash) {
  const bytes = await response.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (found !== hash) return null;
  const headers = new Headers(response.headers);
  headers.delete("content-encoding"); // the bytes are unpacked by now
  headers.delete("content-length");
  return new Response(bytes, { status: 200, headers });
}

let isChecked = false;

/** Once in a worker's life, when the page has long been painted. */
async function checkSoon() {
  if (isChecked) return;
  isChecked = true;
  await new Promise((resolve) => setTimeout(resolve, CHECK_AFTER_MS));
  await repair();
}

/** Fetch again what is missing or damaged in this version's cache, and start pages anew that stumbled over it. */
async function repair() {
  if (!(await caches.has(CACHE))) return; // taken away on purpose, by the kill switch
  const cache = await caches.open(CACHE);
  let isRepaired = false;
  for (const [path, hash] of KEPT) {
    const kept = await cache.match(path);
    if (kept && (await rebuild(kept, hash))) continue;
    await cache.delete(path);
    const brought = await bring(path, hash).catch(() => null);
    if (brought) await cache.put(path, brought);
    else if (await isGone(path)) return giveUp(cache);
    isRepaired ||= brought !== null;
  }
  if (!isRepaired) return;
  console.warn(`${CACHE} was damaged; it is whole again.`);
  await startPagesAnew();
}

/** True when a server answers and does not have the file: this version cannot be made whole. @param {string} path */
async function isGone(path) {
  const response = await fetch(path, { cache: "no-store" }).catch(() => null);
  return response !== null;
}

/** Let the next version come, visit or not: half an app helps nobody. @param {Cache} cache */
async function giveUp(cache) {
  await cache.put(BROKEN, new Response());
  await worker.registration.update();
}

async function isAnyBroken() {
  for (const name of await listCaches()) if (await (await caches.open(name)).match(BROKEN)) return true;
  return false;
}

/** Reload pages that show nothing; one that works is left alone, someone may be typing. */
async function startPagesAnew() {
  for (const page of await worker.clients.matchAll({ type: "window" })) {
    if (!(await isAlive(page))) await page.navigate(page.url).catch(() => null);
  }
}

/** @param {Client} page @returns {Promise<boolean>} */
function isAlive(page) {
  const { port1, port2 } = new MessageChannel();
  return new Promise((resolve) => {
    port1.onmessage = ({ data }) => resolve(data === true);
    setTimeout(() => resolve(false), SIGN_OF_LIFE_MS);
    page.postMessage("ALIVE?", [port2]);
  });
}

/** Throw while this phone is in the middle of a visit; the browser tries the new version again later. */
async function refuseDuringVisit() {
  if (force || !worker.registration.active) return;
  const visits = await readOpenVisits();
  if (visits > 0) throw new Error(`A visit is open: version ${version} waits until it is closed.`);
}

/** Looks without a version of its own, and never creates what is not there. @returns {Promise<number>} */
function readOpenVisits() {
  return new Promise((resolve) => {
    const request = indexedDB.open("fillfirst");
    request.onupgradeneeded = () => request.transaction?.abort();
    request.onerror = () => resolve(0);
    request.onsuccess = () => {
      const database = request.result;
      database.onversionchange = () => database.close();
      const transaction = database.transaction("meta");
      const phone = transaction.objectStore("meta").get("phone");
      transaction.oncomplete = () => {
        database.close();
        resolve(phone.result?.openVisits?.length ?? 0);
      };
    };
  });
}
