/**
 * The kill switch: served in place of the service worker, at its address, when a keeper needs every phone to load the
 * app from the server again. It removes the app's files and itself; what people recorded lies in the database, which
 * it does not touch.
 */

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", () => {
  void worker.skipWaiting();
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(leave());
});

async function leave() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("app-")).map((name) => caches.delete(name)));
  await worker.registration.unregister();
  const pages = await worker.clients.matchAll({ type: "window" });
  await Promise.all(pages.map((page) => page.navigate(page.url).catch(() => null)));
}
