"""The screen about this phone, photos by the hundred, and what happens when the phone gets in the way."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import Visit, ask_look, start_afresh

GEAR = ["transfer-case"]
STEP = "transfer-case/loosen-fill-plug"

# Photos as a camera would give them, each another picture, so that none has the name of another.
TAKE_PHOTOS = """
async ([visit, step, count]) => {
  for (let at = 0; at < count; at += 1) {
    const canvas = new OffscreenCanvas(640, 480);
    const drawing = canvas.getContext("2d");
    drawing.fillStyle = `hsl(${(at * 47) % 360} 60% 50%)`;
    drawing.fillRect(0, 0, 640, 240);
    drawing.fillText(`${at} ${Date.now()}`, 20, 400);
    const file = await canvas.convertToBlob({ type: "image/jpeg" });
    await fillfirst.addPhoto(visit, step, new File([file], "photo.jpg", { type: file.type }));
  }
}
"""
# Which addresses of pictures are held in memory.
COUNT_ADDRESSES = """
() => {
  globalThis.held = new Set();
  const [create, revoke] = [URL.createObjectURL, URL.revokeObjectURL];
  URL.createObjectURL = (blob) => {
    const address = create.call(URL, blob);
    held.add(address);
    return address;
  };
  URL.revokeObjectURL = (address) => { held.delete(address); revoke.call(URL, address); };
}
"""
# The database has no room for another write, until the page is loaded anew.
FILL_UP = """
() => {
  const original = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    if (mode === "readwrite") throw new DOMException("made to fail by a test", "QuotaExceededError");
    return original.call(this, stores, mode, options);
  };
}
"""
OFFER_INSTALL = """
() => {
  globalThis.asked = 0;
  const offer = new Event("beforeinstallprompt", { cancelable: true });
  offer.prompt = async () => { globalThis.asked += 1; };
  dispatchEvent(offer);
  return offer.defaultPrevented;
}
"""
EXPORT = "fillfirst.exportUnsent().then(({ file }) => file.text())"
READ_KEPT = """
(sha256) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("fillfirst");
  opening.onsuccess = () => {
    const reading = opening.result.transaction("photos").objectStore("photos").get(sha256);
    reading.onsuccess = () => { opening.result.close(); resolve([...new Uint8Array(reading.result.bytes)]); };
    reading.onerror = () => reject(reading.error);
  };
})
"""

# As a browser does where making the file took longer than it believes a tap.
REFUSE_TO_SHARE = """
async () => {
  navigator.canShare = () => true;
  navigator.share = async () => { throw new DOMException("", "NotAllowedError"); };
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.restore()
    kept_phone.check()


def show(phone: Phone) -> str:
    """Open the screen from the cars, by the line that tells how the phone stands."""
    phone.page.locator("button.phone-state").click()
    phone.page.locator(".phone-page h1").wait_for()
    return phone.page.locator(".phone-page").inner_text()


def test_the_line_on_the_first_screen_leads_to_all_there_is_to_say(phone: Phone) -> None:
    show(phone)

    # What the app begins its day with may still be under way to the server.
    phone.page.get_by_text("In touch with the server.").wait_for()
    assert phone.page.get_by_text("Nothing waits to be sent.").is_visible()
    assert phone.page.get_by_role("button", name="Save what waits to a file").is_hidden()
    assert ask_look(phone, "tooSmall") == []


def test_what_a_person_wishes_outlives_a_reload(phone: Phone) -> None:
    show(phone)
    phone.page.locator("input[name=hand][value=left]").check()
    phone.page.locator("input[name=tapAnywhere]").check()
    phone.page.locator("input[name=sound]").uncheck()
    phone.page.locator("input[name=units][value=us]").check()

    phone.reload()
    wishes = phone.ask("fillfirst.preferences")
    phone.ask(
        "fillfirst.prefer({ hand: 'right', tapAnywhere: false, sound: true, units: 'source', theme: 'auto' })"
    )

    assert (wishes["hand"], wishes["tapAnywhere"], wishes["sound"], wishes["units"]) == (
        "left",
        True,
        False,
        "us",
    )


def test_the_browsers_promise_is_read_and_not_remembered(phone: Phone) -> None:
    said = show(phone)
    assert "has not promised to keep" in said

    phone.ask("navigator.storage.persist = async () => true; navigator.storage.persisted = async () => true")
    phone.page.get_by_role("button", name="Ask it to keep everything").click()

    phone.page.get_by_text("has promised to keep").wait_for()


def test_little_room_is_told_before_it_is_gone(phone: Phone) -> None:
    # The browser's own override of the quota does not show in its estimate, so the estimate is given here.
    phone.ask("navigator.storage.estimate = async () => ({ usage: 30e6, quota: 200e6 })")

    phone.ask("fillfirst.keepSafe()")
    bar = phone.page.locator(".bar", has_text="Little room is left")
    bar.get_by_role("button").click()
    phone.page.get_by_text("photos may soon not fit. Send what waits").wait_for()
    phone.ask("navigator.storage.estimate = async () => ({ usage: 30e6, quota: 9e9 })")
    phone.ask("fillfirst.keepSafe()")

    bar.wait_for(state="hidden")


def test_a_full_phone_says_so_and_goes_on_recording(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=STEP)
    phone.ask(FILL_UP)

    picture = {"name": "photo.png", "mimeType": "image/png", "buffer": PIXEL}
    visit.page.locator("input[type=file]").set_input_files(picture)
    visit.page.locator(".trouble", has_text="The photo was not saved").wait_for()
    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not(STEP)
    phone.page.locator(".bar[data-kind=alarm]", has_text="storage is full").wait_for()

    phone.reload()
    phone.page.locator(".open-screen").wait_for()
    visit.show()
    assert visit.status(STEP) is not None


def test_the_file_of_what_waits_holds_the_photos_themselves(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    phone.wait_until_sent()
    phone.cut()
    phone.ask(TAKE_PHOTOS, [visit.id, STEP, 1])
    phone.wait_for("fillfirst.sync.waitingPhotos === 1")
    visit.go("#/phone")
    assert "1 entry and 1 photo wait to be sent." in phone.page.locator(".phone-page").inner_text()

    lines = [json.loads(line) for line in phone.ask(EXPORT).splitlines()]

    (event, last) = lines
    assert event["kind"] == "photo-taken"
    assert last["photo"]["sha256"] == event["payload"]["sha256"]
    assert hashlib.sha256(base64.b64decode(last["photo"]["base64"])).hexdigest() == last["photo"]["sha256"]
    assert last["photo"]["type"] == "image/jpeg"


@pytest.mark.parametrize("shares", ["not at all", "refusing"])
def test_saving_to_a_file_is_one_tap(shares: str, phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    phone.cut()
    phone.ask(TAKE_PHOTOS, [visit.id, STEP, 1])
    visit.go("#/phone")
    if shares == "refusing":
        phone.ask(REFUSE_TO_SHARE)

    with phone.page.expect_download() as saving:
        phone.page.get_by_role("button", name="Save what waits to a file").click()

    assert saving.value.suggested_filename.endswith(".jsonl")
    phone.page.get_by_text("The file is made.").wait_for()


def test_the_browsers_offer_to_install_waits_for_a_person(phone: Phone) -> None:
    show(phone)
    steps = phone.page.locator(".plain-steps")
    assert steps.is_visible()

    assert phone.ask(OFFER_INSTALL) is True
    phone.page.get_by_role("button", name="Put it on the home screen").click()

    phone.wait_for("asked === 1")
    phone.ask("dispatchEvent(new Event('appinstalled'))")
    phone.page.get_by_text("It runs as an app of its own.").wait_for()


def test_hundreds_of_photos_cost_no_more_than_those_in_sight(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    phone.cut()
    phone.ask(TAKE_PHOTOS, [visit.id, STEP, 120])
    visit.walk(id=STEP)
    phone.ask(COUNT_ADDRESSES)

    visit.press(".row button", 1)
    shown = visit.page.locator(".photo-small img[src]")
    shown.first.wait_for()
    phone.wait_for("[...document.querySelectorAll('.photo-small img[src]')].every((one) => one.complete)")
    (in_sight, widest) = (shown.count(), phone.ask("document.querySelector('.photo-small img').naturalWidth"))
    visit.page.locator(".photo-small").first.click()
    visit.page.locator(".photo-large:not([hidden])").wait_for()
    visit.page.locator("dialog .foot .second").click()

    phone.wait_for("held.size === 0")
    assert visit.page.locator(".row button", has_text="120 photos").is_visible()
    assert in_sight < 60
    assert widest <= 320


def test_a_camera_that_ends_the_app_leads_back_to_the_step(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=STEP)
    with visit.page.expect_file_chooser():
        visit.press(".row button", 1)

    phone.kill_page()
    phone.open_again()

    visit.page = phone.page
    visit.shown(STEP)
    phone.page.get_by_text("The phone ended the app while its camera was open.").wait_for()
    phone.reload()
    assert phone.ask("location.hash").startswith("#/open/")


def test_a_picture_that_no_browser_can_draw_loses_its_place_all_the_same(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    packet = b'<x exif:GPSLatitude="46,30.5N" exif:GPSLongitude="7,12.25E"/>'
    place = b"".join(number.to_bytes(4, "little") for number in (46, 1, 30, 1, 4321, 100))
    unreadable = b"\0\0\0\x18ftypheic" + make_exif(place) + packet + b"the picture"

    take = """
    async ([visit, step, bytes]) => {
      const file = new File([new Uint8Array(bytes)], "photo.heic", { type: "image/heic" });
      return (await fillfirst.addPhoto(visit, step, file)).payload.sha256;
    }
    """
    sha256 = phone.ask(take, [visit.id, STEP, list(unreadable)])
    kept = bytes(phone.ask(READ_KEPT, sha256))

    assert len(kept) == len(unreadable)
    assert kept.endswith(b"the picture")
    assert place not in kept
    assert b"46,30.5N" not in kept
    assert b"7,12.25E" not in kept


def make_exif(place: bytes) -> bytes:
    """A block with one directory that points to the GPS one, which holds a latitude.

    Exif 2.32, 4.5.2 and 4.6.6.
    """

    def entry(tag: int, kind: int, count: int, value: int) -> bytes:
        numbers = ((tag, 2), (kind, 2), (count, 4), (value, 4))
        return b"".join(number.to_bytes(size, "little") for number, size in numbers)

    first = (1).to_bytes(2, "little") + entry(0x8825, 4, 1, 26) + bytes(4)
    gps = (1).to_bytes(2, "little") + entry(2, 5, 3, 44) + bytes(4)
    return b"Exif\0\0" + b"II*\0" + (8).to_bytes(4, "little") + first + gps + place


#: The smallest picture there is.
PIXEL = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
