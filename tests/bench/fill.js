// As many entries of other visits as are asked for, as if another phone had made them.
async ([visit, count]) => {
  const database = await new Promise((resolve, reject) => {
    const request = indexedDB.open("fillfirst");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const transaction = database.transaction("events", "readwrite");
  const device = "other phone";
  for (let n = 1; n <= count; n++) {
    const id = `${n.toString(16).padStart(8, "0")}-0000-7000-8000-000000000000`;
    const subject = `00000000-0000-4000-8000-${(n >> 7).toString(16).padStart(12, "0")}`;
    const payload = { step: "engine-oil/measure-out", reading: "engine_oil_out", value: 0.0042, typed: "4.2", unit: "l" };
    const wall = "2026-05-04T10:42:00+02:00";
    transaction.objectStore("events").add({ id, device, n, hlc: { ms: n, c: 0 }, seen: 0, wall, kind: "reading-taken",
      v: 1, subject, payload, seq: n, received_at: wall });
  }
  await new Promise((resolve) => (transaction.oncomplete = resolve));
  database.close();
}
