"""Draws what is not as it should be: storage that fails, a server that refuses, a clock that was set."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from gallery import WORK, Gallery
from phones import Phone
from playwright.sync_api import Route
from screen_visits import Visit

FAIL = 'throw new DOMException("made to fail for a picture", "QuotaExceededError");'
HANG_OPEN = "IDBFactory.prototype.open = () => new EventTarget();"
REFUSE_OPEN = f"IDBFactory.prototype.open = () => {{ {FAIL} }};"
# The browser keeps no entry any more; what rounds write goes on.
REFUSE_ENTRIES = f"""
() => {{
  const original = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {{
    if (options?.durability === "strict") {FAIL}
    return original.call(this, stores, mode, options);
  }};
}}
"""
REFUSE_LIFEBOAT = f"() => {{ Storage.prototype.setItem = () => {{ {FAIL} }}; }}"
LITTLE_ROOM = "StorageManager.prototype.estimate = async () => ({ usage: 98e6, quota: 100e6 });"
LOOK_FOR_UPDATE = """
navigator.serviceWorker.getRegistration().then((one) => one.update()).then(() => fillfirst.update.ready)
"""
BAD_ENTRY = "(visit) => fillfirst.record(visit, 'Not A Kind', {}).then(() => 1)"


def draw_update(gallery: Gallery, webui: Path) -> None:
    """A newer version, offered between visits and taken."""
    words = webui / "app" / "words.js"
    words.write_text(words.read_text() + "// newer\n")
    gallery.phone.wait_for(LOOK_FOR_UPDATE)
    gallery.page.locator(".bar", has_text="newer version").wait_for()
    gallery.draw("trouble-update")
    with gallery.page.expect_navigation():
        gallery.page.locator(".bar", has_text="newer version").get_by_role("button").click()
    gallery.phone.wait_until_started()


def draw_interrupted(gallery: Gallery) -> None:
    """While the app opens, and a visit that is not on this phone."""
    with gallery.another_page(HANG_OPEN, started=False):
        gallery.page.locator("#screen > .note").wait_for()
        gallery.draw("trouble-opening")
    with gallery.another_page():
        gallery.page.evaluate("location.hash = '#/open/of-another-house'")
        gallery.page.locator("#screen > .note").wait_for()
        gallery.draw("trouble-not-here")


def draw_clock(gallery: Gallery) -> None:
    """A window that readings tell of, and a clock that is set while a wait runs: on a phone of its own."""
    clock = gallery.page.clock
    clock.install(time=datetime(2026, 5, 4, 10, 0))
    gallery.phone.reload()
    gallery.visit = Visit(gallery.phone, ["automatic-gearbox", "engine-oil"]).id
    gallery.walk(id="automatic-gearbox/watch-temperature")
    for reading in ("18", "21,2", "24,3", "27", "29,6"):
        clock.run_for(600)
        gallery.keep(reading)
        gallery.page.locator(".standing[data-standing=below]").wait_for()
        clock.fast_forward(60_000)
    clock.run_for(2000)
    gallery.draw("work-watch-opens", WORK)
    gallery.visit = Visit(gallery.phone, ["transfer-case"]).id
    gallery.walk(id="transfer-case/drain")
    clock.run_for(1000)
    gallery.press(".kind-foot .action")
    clock.run_for(30_000)
    clock.set_system_time(datetime(2026, 5, 4, 11, 0))
    clock.run_for(2000)
    gallery.page.locator(".clock-set:not([hidden])").wait_for()
    gallery.draw("work-clock-set", WORK)


def draw_storage(gallery: Gallery) -> None:
    """A database that does not open, one nearly full, one that is full, and an entry that fits nowhere."""
    with gallery.another_page(REFUSE_OPEN, started=False):
        gallery.page.locator(".bar[data-kind=alarm]").wait_for()
        gallery.draw("trouble-storage")
    with gallery.another_page(LITTLE_ROOM):
        gallery.page.locator(".bar", has_text="Little room").wait_for()
        gallery.draw("trouble-little-room")
    gallery.visit = Visit(gallery.phone, ["transfer-case"]).id
    gallery.walk(id="transfer-case/loosen-fill-plug")
    gallery.page.evaluate(REFUSE_ENTRIES)
    gallery.press(".kind-foot .action")
    gallery.page.locator(".bar[data-kind=alarm]").wait_for()
    gallery.draw("trouble-full", WORK)
    gallery.page.evaluate(REFUSE_LIFEBOAT)
    gallery.press(".kind-foot .action, .kind-foot .finding")
    gallery.page.locator(".trouble:not([hidden])").first.wait_for()
    gallery.draw("trouble-not-saved", WORK)


def draw_refused(gallery: Gallery) -> None:
    """A server that asks for a newer app, does not take one entry, and no longer knows this phone."""
    phone = gallery.phone
    gallery.go("#/cars")
    visit = Visit(phone, ["transfer-case"]).id
    with answering(phone, 409, "app_too_old"):
        phone.sync()
        phone.wait_for("fillfirst.sync.state === 'app-old'")
        gallery.draw("trouble-app-old")
    phone.ask(BAD_ENTRY, visit)
    phone.sync()
    gallery.page.locator(".bar", has_text="did not take").wait_for()
    gallery.draw("trouble-refused")
    with answering(phone, 401, "not_let_in"):
        phone.finish_step(visit)
        phone.sync()
        phone.wait_for("fillfirst.sync.state === 'unpaired'")
        gallery.draw("trouble-unpaired")
        gallery.go("#/phone")
        gallery.draw("trouble-unpaired-phone")


@contextmanager
def answering(phone: Phone, status: int, code: str) -> Iterator[None]:
    """What the server says to every round meanwhile."""

    def refuse(route: Route) -> None:
        route.fulfill(status=status, json={"code": code, "message": "", "next": ""})

    phone.context.route("**/api/sync", refuse)
    yield
    phone.context.unroute("**/api/sync")
