"""Nothing that was confirmed is ever lost: when the page dies, when the database refuses, when it is full."""

from __future__ import annotations

from typing import Any

import pytest
from phones import FINISH_STEP, OWN_COUNTS, Phone, Server, read_log
from screen_visits import Visit

# Records one step after the other and tells the test of each that the app confirmed.
RECORD_ALL = """
async (visit) => {
  for (;;) {
    const step = fillfirst.visit(visit).visit.next;
    await fillfirst.record(visit, "step-done", { step });
    await confirmed(step);
  }
}
"""

# Makes the browser refuse writes of entries in the way it is told, and not those of a round that happens to
# be held meanwhile; `mend()` ends it.
BREAK = """
({ how, after = 0, times = Infinity }) => {
  const fail = () => new DOMException("made to fail by a test", how);
  const original = IDBDatabase.prototype.transaction;
  let calls = 0;
  globalThis.mend = () => { IDBDatabase.prototype.transaction = original; };
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    if (options?.durability !== "strict") return original.call(this, stores, mode, options);
    calls += 1;
    if (calls > after && calls <= after + times) throw fail();
    return original.call(this, stores, mode, options);
  };
}
"""

BREAK_READS = """
() => {
  IDBDatabase.prototype.transaction = () => {
    throw new DOMException("made to fail by a test", "UnknownError");
  };
}
"""

NEVER_COMPLETE = """
() => {
  Object.defineProperty(IDBTransaction.prototype, "oncomplete", { set() {}, configurable: true });
}
"""

FILL_LIFEBOAT = """
() => {
  Storage.prototype.setItem = () => {
    throw new DOMException("made to fail by a test", "QuotaExceededError");
  };
}
"""

RECORD = """
async (visit) => {
  const step = fillfirst.visit(visit).visit.next;
  try {
    await fillfirst.record(visit, "step-done", { step });
    return { step, next: fillfirst.visit(visit).visit.next, error: null };
  } catch (error) {
    return { step, next: fillfirst.visit(visit).visit.next, error: error.code };
  }
}
"""

CHANGE_PHONE_RECORD = """
(change) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("fillfirst");
  opening.onsuccess = () => {
    const transaction = opening.result.transaction("meta", "readwrite");
    const meta = transaction.objectStore("meta");
    const reading = meta.get("phone");
    reading.onsuccess = () => meta.put({ ...reading.result, ...change }, "phone");
    transaction.oncomplete = () => { opening.result.close(); resolve(true); };
    transaction.onabort = () => reject(transaction.error);
  };
})
"""

CLOSE_EVERY_CONNECTION = """
() => {
  const original = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...asked) {
    IDBDatabase.prototype.transaction = original;
    this.close();
    return original.apply(this, asked);
  };
}
"""

HANG_FIRST_OPEN = """
const original = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...asked) {
  IDBFactory.prototype.open = original;
  return new EventTarget();
};
"""


def record(phone: Phone, visit: str) -> dict[str, Any]:
    return dict(phone.ask(RECORD, visit))


@pytest.mark.parametrize("confirmed_before", [0, 1, 3])
def test_no_confirmed_entry_is_lost_when_the_page_crashes_in_the_middle_of_a_save(
    phone: Phone, confirmed_before: int
) -> None:
    visit = phone.open_visit()
    confirmed: list[str] = []
    phone.context.expose_binding("confirmed", lambda _, step: confirmed.append(step))
    phone.reload()
    phone.ask("(visit) => fillfirst.loadVisit(visit).then(() => true)", visit)
    phone.ask(f"(visit) => void ({RECORD_ALL})(visit)", visit)
    while len(confirmed) < confirmed_before:
        phone.page.wait_for_timeout(1)
    phone.crash()

    phone.open_again()

    assert set(confirmed) <= set(phone.done(visit))
    assert phone.ask(OWN_COUNTS) == list(range(1, len(phone.done(visit)) + 2))


def test_the_screen_does_not_move_before_the_entry_is_on_disk(phone: Phone) -> None:
    visit = phone.open_visit()
    before = phone.next_step(visit)
    phone.ask(NEVER_COMPLETE)

    phone.ask(f"(visit) => void ({FINISH_STEP})(visit)", visit)
    phone.page.wait_for_timeout(200)

    assert phone.next_step(visit) == before


def test_an_entry_that_the_database_refuses_goes_to_the_lifeboat_and_comes_home_at_the_next_start(
    phone: Phone, server: Server
) -> None:
    visit = phone.open_visit()
    phone.ask(BREAK, {"how": "UnknownError"})
    first, second = record(phone, visit), record(phone, visit)
    assert (first["error"], second["error"]) == (None, None)
    assert second["step"] == first["next"]
    assert phone.ask("fillfirst.storage.lifeboat") == 2
    assert phone.page.locator(".bar[data-kind=alarm]").is_visible()

    phone.reload()

    assert phone.done(visit) == [first["step"], second["step"]]
    assert phone.ask("[fillfirst.storage.lifeboat, fillfirst.storage.trouble]") == [0, None]
    phone.wait_until_sent()
    assert [event["n"] for event in read_log(server, phone)] == [1, 2, 3]


def test_a_file_that_could_not_hold_everything_says_so(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.ask(BREAK, {"how": "UnknownError"})
    record(phone, visit)
    phone.ask(BREAK_READS)

    phone.page.locator(".bar[data-kind=alarm] button").click()

    phone.page.locator(".bar[data-kind=alarm]", has_text="holds only the emergency store").wait_for()
    export = (
        "fillfirst.exportUnsent().then(async ({ file, isWhole }) => [isWhole, file.name, await file.text()])"
    )
    is_whole, name, text = phone.ask(export)
    assert (is_whole, name.endswith("-in-part.jsonl")) == (False, True)
    assert text.count("\n") == 1


def test_the_lifeboat_is_emptied_by_the_next_write_that_succeeds(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.ask(BREAK, {"how": "QuotaExceededError", "times": 1})
    first = record(phone, visit)
    assert phone.ask("[fillfirst.storage.lifeboat, fillfirst.storage.trouble]") == [1, "full"]

    second = record(phone, visit)

    assert phone.ask("[fillfirst.storage.lifeboat, fillfirst.storage.trouble]") == [0, None]
    assert phone.done(visit) == [first["step"], second["step"]]
    assert phone.page.locator(".bar[data-kind=alarm]").is_hidden()


def test_an_entry_that_fits_nowhere_is_refused_aloud_while_the_screen_stays(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.ask(BREAK, {"how": "QuotaExceededError"})
    phone.ask(FILL_LIFEBOAT)

    refused = record(phone, visit)

    assert refused["error"] == "full"
    assert refused["next"] == refused["step"]
    assert phone.page.locator(".bar[data-kind=alarm]").is_visible()


def test_where_a_car_is_closed_up_a_refused_entry_is_told_in_sight_of_its_button(phone: Phone) -> None:
    visit = Visit(phone, ["power-steering"])
    visit.go(f"#/open/{visit.id}")
    phone.ask(
        "(id) => fillfirst.record(id, 'closing-up', { aim: 'to-stand', steps: [] }).then(() => 1)", visit.id
    )
    phone.page.locator(".safe-list [data-step]").wait_for()
    phone.ask(BREAK, {"how": "QuotaExceededError"})
    phone.ask(FILL_LIFEBOAT)

    visit.press(".open-screen footer .second")

    phone.page.locator(".open-screen footer .trouble").wait_for()
    assert phone.page.url.endswith(f"#/open/{visit.id}")


@pytest.mark.parametrize("after", [0, 1, 2, 3, 4])
def test_whichever_write_fails_nothing_confirmed_is_lost(phone: Phone, after: int) -> None:
    visit = phone.open_visit()
    phone.ask(BREAK, {"how": "QuotaExceededError", "after": after, "times": 1})
    confirmed = [taken["step"] for _ in range(5) if (taken := record(phone, visit))["error"] is None]

    phone.reload()

    assert phone.done(visit) == confirmed
    assert phone.ask(OWN_COUNTS) == [1, 2, 3, 4, 5, 6]


def test_a_connection_that_the_browser_closed_is_opened_again(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.ask(CLOSE_EVERY_CONNECTION)

    taken = record(phone, visit)

    assert taken["error"] is None
    assert phone.ask("fillfirst.storage.lifeboat") == 0
    assert phone.done(visit) == [taken["step"]]


def test_a_database_that_does_not_answer_at_first_is_asked_again(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.context.add_init_script(HANG_FIRST_OPEN)

    phone.reload()

    assert phone.next_step(visit) is not None
    assert phone.ask("fillfirst.storage.trouble") is None


def test_a_phone_whose_count_is_behind_its_log_goes_on_under_a_new_name(phone: Phone, server: Server) -> None:
    visit = phone.open_visit()
    phone.finish_step(visit)
    phone.wait_until_sent()
    old = phone.ask("fillfirst.me.device")
    phone.ask(CHANGE_PHONE_RECORD, {"n": 1})

    phone.reload()
    phone.ask("(visit) => fillfirst.loadVisit(visit).then(() => true)", visit)
    phone.finish_step(visit)
    phone.wait_until_sent()

    log = [(event["device"] == old, event["n"]) for event in read_log(server, phone)]
    assert log == [(True, 1), (True, 2), (False, 1)]


def test_a_photo_is_made_small_without_what_the_camera_wrote_into_it(phone: Phone, server: Server) -> None:
    visit = phone.open_visit()
    taken = phone.ask(TAKE_PHOTO, visit)
    phone.wait_until_sent()

    photo = phone.context.request.get(f"{server.address}/api/photos/{taken['payload']['sha256']}")

    assert photo.headers["content-type"] == "image/jpeg"
    assert b"Exif" not in photo.body()
    assert phone.ask(SIZE, taken["payload"]["sha256"]) == [1600, 1067]


# A picture of 3000 by 2000 pixels with an Exif segment after its first marker.
TAKE_PHOTO = """
async (visit) => {
  const canvas = new OffscreenCanvas(3000, 2000);
  canvas.getContext("2d").fillRect(0, 0, 3000, 1000);
  const picture = await canvas.convertToBlob({ type: "image/jpeg" });
  const drawn = new Uint8Array(await picture.arrayBuffer());
  const exif = [0xff, 0xe1, 0, 16, 0x45, 0x78, 0x69, 0x66, 0, 0, 0x49, 0x49, 0x2a, 0, 8, 0, 0, 0];
  const file = new Blob([drawn.slice(0, 2), new Uint8Array(exif), drawn.slice(2)], { type: "image/jpeg" });
  return fillfirst.addPhoto(visit, fillfirst.visit(visit).visit.next, file);
}
"""
SIZE = """
async (sha256) => {
  const image = new Image();
  image.src = await fillfirst.photoAddress(sha256);
  await image.decode();
  return [image.naturalWidth, image.naturalHeight];
}
"""
