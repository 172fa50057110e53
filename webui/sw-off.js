/**
 * The kill switch: served in place of the service worker, at its address, when a keeper needs every phone to load the
 * app from the server again. It removes the app's files and the worker, then has the pages loaded anew; what people
 * recorded lies in the database, which it does not touch.
 */

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

// It works before it is in charge: one that took the pages over first could not send them away, as a browser lets nobody
// navigate a page whose worker is gone.
worker.addEventListener("install", (event) => event.waitUntil(clear()));
worker.addEventListener("activate", (event) => event.waitUntil(worker.registration.unregister()));

async function clear() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("app-")).map((name) => caches.delete(name)));
  // A page that came from the server just now asks for a worker too, and gets this one: it is where it should be.
  if (worker.registration.active) {
    const pages = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
    for (const page of pages) page.postMessage("OFF");
  }
  // For pages that do not listen, the next time they are opened. Not awaited: it waits for this event to end.
  void worker.registration.unregister();
}
