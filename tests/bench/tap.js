// One tap each turn: the entry is asked for, and the next step stands on the screen; before it one bare strict add.
async ([visit, turns]) => {
  const bare = await new Promise((resolve) => {
    const request = indexedDB.open("bench");
    request.onupgradeneeded = () => request.result.createObjectStore("events", { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
  });
  const rest = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
  const shown = () => document.querySelector(".foot-slot")?.dataset.step;
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
      const start = performance.now();
      const times = { kept_ms: 0 };
      const look = () => {
        if (shown() === step) return;
        observer.disconnect();
        document.body.getBoundingClientRect(); // laid out, as it must be before it is painted
        resolve({ ...times, shown_ms: performance.now() - start });
      };
      const observer = new MutationObserver(look);
      observer.observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-step"] });
      fillfirst.record(visit, "step-done", { step }).then((made) => {
        event = made;
        times.kept_ms = performance.now() - start;
      });
    });
    times.push({ added_ms, ...tap });
  }
  bare.close();
  return times;
}
