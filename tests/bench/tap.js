// One tap each turn: the entry is asked for, and the next step stands on the screen; before it one bare strict add.
async ([visit, turns]) => {
  const bare = await new Promise((resolve) => {
    const request = indexedDB.open("bench");
    request.onupgradeneeded = () => request.result.createObjectStore("events", { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
  });
  const rest = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
  const shown = () => document.querySelector(".foot-slot")?.dataset.step;
  // Durable is when the browser says so of the entry's own transaction, whatever the app does on hearing it.
  let completedAt_ms = 0;
  const begin = (globalThis.beginTransaction ??= IDBDatabase.prototype.transaction);
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const transaction = begin.call(this, stores, mode, options);
    const note = () => (completedAt_ms ||= performance.now());
    if (this !== bare && mode === "readwrite" && transaction.objectStoreNames.contains("events")) transaction.addEventListener("complete", note);
    return transaction;
  };
  const times = [];
  let event = null;
  for (let turn = 0; turn < turns; turn++) {
    const step = fillfirst.visit(visit).visit.next;
    if (!step) break;
    await rest(60);
    const added_ms = await new Promise((resolve) => {
      const start = performance.now();
      const transaction = bare.transaction("events", "readwrite", { durability: "strict" });
      transaction.objectStore("events").add({ ...(event ?? {}), id: `${turn} ${Math.random()}` });
      transaction.oncomplete = () => resolve(performance.now() - start);
    });
    await rest(60);
    const tap = await new Promise((resolve) => {
      completedAt_ms = 0;
      const start = performance.now();
      const times = { told_ms: 0 };
      const look = () => {
        if (shown() === step) return;
        observer.disconnect();
        document.body.getBoundingClientRect(); // laid out, as it must be before it is painted
        resolve({ ...times, kept_ms: completedAt_ms - start, shown_ms: performance.now() - start });
      };
      const observer = new MutationObserver(look);
      observer.observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-step"] });
      fillfirst.record(visit, "step-done", { step }).then((made) => {
        event = made;
        times.told_ms = performance.now() - start;
      });
    });
    times.push({ added_ms, ...tap });
  }
  IDBDatabase.prototype.transaction = begin;
  bare.close();
  return times;
}
