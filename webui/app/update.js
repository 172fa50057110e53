/**
 * New versions of the app: they come by themselves, wait, and are used only when a person agrees and no visit is
 * open. The service worker refuses to install one during a visit, since a waiting worker takes over whenever the
 * phone happens to end the app.
 */

const WORKER = "/sw.js";
const TAKE_TIMEOUT_MS = 5_000;
const INSTALL_PATIENCE_MS = 5_000;

/** @typedef {{ createPolicy: (name: string, rules: { createScriptURL: (address: string) => string }) => { createScriptURL: (address: string) => any } }} TrustedTypes */

/** @typedef {ReturnType<typeof createUpdate>} Update */

/** @param {{ onChange: () => void, isHealthy: () => boolean }} page isHealthy: whether it shows something */
export function createUpdate({ onChange, isHealthy }) {
  /** @type {ServiceWorkerRegistration | null} */
  let registration = null;
  let isReady = false;
  let isTaken = false;

  function look() {
    const before = isReady;
    isReady = Boolean(registration?.waiting && registration.active);
    if (before !== isReady) onChange();
  }

  /** Register the worker, which makes the app start without a network from then on. */
  async function start() {
    if (!("serviceWorker" in navigator)) return;
    const hadWorker = navigator.serviceWorker.controller !== null;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      // The first worker ever takes over the page that brought it: same version, nothing to reload.
      if (hadWorker && !isTaken) reload();
    });
    navigator.serviceWorker.addEventListener("message", ({ data, ports }) => {
      if (data === "ALIVE?") ports[0]?.postMessage(isHealthy());
      if (data === "OFF") void leave();
    });
    registration = await navigator.serviceWorker.register(trustedAddress(), { updateViaCache: "none" });
    registration.addEventListener("updatefound", () => {
      registration?.installing?.addEventListener("statechange", look);
      look();
    });
    look();
  }

  /** The server's keeper takes the worker away, and this page is to come from the server again. */
  async function leave() {
    await registration?.unregister();
    if (!isTaken) reload();
  }

  function reload() {
    isTaken = true;
    location.reload();
  }

  /** Reload into the version that waits. The promise settles only if there is none. */
  async function take() {
    const waiting = registration?.waiting;
    if (!waiting) return;
    waiting.postMessage("SKIP");
    // Reloading before the new worker controls the page would mix old page and new files.
    await new Promise((resolve) => setTimeout(resolve, TAKE_TIMEOUT_MS));
    if (!isTaken) reload();
    await new Promise(() => {});
  }

  return {
    start,
    take,
    get isReady() {
      return isReady;
    },
    /** A version that was refused during a visit may come now. */
    check: () => void registration?.update().catch(() => {}),
    /** Wait a little for a version that is arriving. @returns {Promise<boolean>} true when one waits to be taken */
    async settle() {
      const deadline_ms = Date.now() + INSTALL_PATIENCE_MS;
      while (registration?.active && registration.installing && Date.now() < deadline_ms) {
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      look();
      return isReady;
    },
  };
}

/** The content policy forbids plain strings as addresses of scripts, and allows one policy, which allows one address. */
function trustedAddress() {
  /** @type {TrustedTypes | undefined} */
  const trustedTypes = Reflect.get(globalThis, "trustedTypes");
  if (!trustedTypes) return WORKER;
  const policy = trustedTypes.createPolicy("sw", {
    createScriptURL(address) {
      if (address !== WORKER) throw new TypeError(`${address} is not the service worker.`);
      return address;
    },
  });
  return policy.createScriptURL(WORKER);
}
