/**
 * Tries out what the app needs, and says plainly what this phone has not got. It runs only where the page came over
 * https from a server that the phone trusts; elsewhere browsers offer none of it.
 */

export {};

const WORKER = "/setup/worker.js";
/** @type {{ createPolicy(name: string, rules: object): { createScriptURL(address: string): string } } | undefined} */
const trustedTypes = Reflect.get(globalThis, "trustedTypes");
// The content policy allows one policy of this name, and no address from a plain string.
const policy = trustedTypes?.createPolicy("sw", {
  /** @param {string} address */
  createScriptURL(address) {
    if (address !== WORKER) throw new TypeError(`not a worker of this page: ${address}`);
    return address;
  },
});

/**
 * What is tried: its name, what to do where it fails, and the trial, which gives false or throws where it does.
 *
 * @type {[string, string, () => unknown][]}
 */
const TRIALS = [
  ["The phone trusts this server", "Trust the authority, as above.", () => isSecureContext],
  ["The app can start without a network", "Close the browser wholly, open it again, and try once more.", tryWorker],
  ["Entries can be kept on this phone", "A private window keeps nothing: use an ordinary one.", tryStorage],
  ["The phone promises not to throw them away", "Add the app to the home screen: phones then promise it.", tryPromise],
  ["The app is open from its icon", "Add it to the home screen, and open it there.", isInstalled],
  ["The screen can be kept on", "Set the phone's own screen lock to a long time while you work.", () => "wakeLock" in navigator],
  ["The clock agrees with the server's", "Let the phone set its clock by the network.", tryClock],
];

if (isSecureContext) await run();

async function run() {
  const list = /** @type {HTMLElement} */ (document.getElementById("found"));
  for (const [name, otherwise, trial] of TRIALS) {
    const holds = await Promise.resolve().then(trial).then(Boolean, () => false);
    const item = document.createElement("li");
    item.textContent = holds ? `✓ Yes: ${name}.` : `✗ No: ${name}. ${otherwise}`;
    item.dataset.holds = String(holds);
    list.append(item);
  }
  list.hidden = false;
  /** @type {HTMLElement} */ (document.getElementById("plain")).hidden = true;
  list.dataset.done = "true";
}

async function tryWorker() {
  const address = policy ? policy.createScriptURL(WORKER) : WORKER;
  const registration = await navigator.serviceWorker.register(address, { scope: "/setup/" });
  await registration.unregister();
  return true;
}

function tryStorage() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("setup-test", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("notes");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const writing = opening.result.transaction("notes", "readwrite", { durability: "strict" });
      writing.objectStore("notes").put(1, "note");
      writing.onabort = () => reject(writing.error);
      writing.oncomplete = () => {
        opening.result.close();
        indexedDB.deleteDatabase("setup-test");
        resolve(true);
      };
    };
  });
}

async function tryPromise() {
  return (await navigator.storage.persisted()) || (await navigator.storage.persist());
}

function isInstalled() {
  return matchMedia("(display-mode: standalone)").matches || Reflect.get(navigator, "standalone") === true;
}

async function tryClock() {
  const answer = await fetch("/api/health", { cache: "no-store" });
  const { server_now: now } = await answer.json();
  return Math.abs(now - Date.now()) < 60_000;
}
