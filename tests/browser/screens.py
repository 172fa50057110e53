"""Draws every view and state of the web client into a folder, to be looked at by a person.

Real servers, phones, and visits walked from the first step to the record: at each state that matters the same
page is drawn in both lights on a phone, on a small one and on a desk, and what one works with lying down too.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from car_screens import draw_disputed_number, draw_own_car
from gallery import AT_REST, ESTATE, PHONE, Gallery
from phones import Phone, Server
from playwright.sync_api import Browser, sync_playwright
from together_screens import draw_make_safe, draw_two_people, draw_two_phones
from trouble_screens import (
    draw_clock,
    draw_interrupted,
    draw_refused,
    draw_storage,
    draw_update,
)
from work_screens import (
    draw_end,
    draw_exceptions,
    draw_helps,
    draw_instruments,
    draw_preparation,
    draw_under_the_car,
)

TOP = Path(__file__).parents[2]
MINI = TOP / "tests" / "fixtures" / "specs" / "mini"


def draw_before(gallery: Gallery) -> None:
    gallery.go("#/cars")
    gallery.draw("cars-first")
    gallery.go("#/phone")
    gallery.draw("phone")
    gallery.draw("phone-whole", whole=True)
    gallery.go("#/due")
    gallery.draw("due-none")
    gallery.go(f"#/plan/{ESTATE}")
    gallery.draw("plan-none")
    service = gallery.page.locator("details").nth(4)
    service.evaluate("(details) => { details.open = true; }")
    gallery.draw("plan-service", at=service)
    gallery.go("#/cars")
    gallery.go(f"#/plan/{ESTATE}")
    gallery.press("button.all")
    gallery.draw("plan-all")
    for fold in ("settings", "buy", "tools", "day"):
        gallery.press(f"[data-section={fold}] > summary")
        gallery.page.wait_for_timeout(400)
        gallery.draw(f"plan-{fold}", at=gallery.page.locator(f"[data-section={fold}]"))
    gallery.draw("plan-numbers", at=gallery.page.locator(".number-cards"))
    gallery.press(".buy button.amount")
    gallery.draw("plan-number")
    gallery.close_sheet()
    gallery.press(".buy .packs")
    gallery.draw("plan-packs")
    gallery.close_sheet()


TELL_GARAGE = """
async () => {
  const { inventory } = await fillfirst.loadGarage();
  const marked = (value, unit, si) => ({ value: si, typed: String(value), unit });
  const wrench = (least, most) => ({ least: marked(least, "N*m", least), most: marked(most, "N*m", most) });
  await inventory.writePrice("currency", 1, "EUR");
  await inventory.keepThing({ of: "jack", marks: { rating: marked(3000, "kg", 3000) } });
  await inventory.keepThing({ of: "stands", count: 4, marks: { rating: marked(1500, "kg", 1500) } });
  await inventory.keepThing({ of: "torque-wrench", title: "the long one", marks: wrench(40, 200) });
  await inventory.keepThing({ of: "torque-wrench", title: "the small one", marks: wrench(5, 25) });
  const holds = marked(12, "l", 0.012);
  await inventory.keepThing({ of: "drain-pan", title: "the black one", marks: { holds } });
  const has = ["fire-extinguisher", "spill-binder", "can", "hand-pump", "refractometer"];
  for (const of of has) await inventory.keepThing({ of });
  await inventory.writePrice("waste:used-oil", 0, "EUR");
  await inventory.writePrice("quote:fellside-estate:engine-oil", 180, "EUR");
  await inventory.writePrice("pack:engine-oil:Overbeck EO-7 (demo):5 l", 44, "EUR");
  await inventory.writePrice("pack:engine-oil:Overbeck EO-7 (demo):1 l", 11.5, "EUR");
}
"""


def draw_no_car(browser: Browser, data: Path, folder: Path, words: list[str]) -> None:
    """A house that took the demo cars out of its specs and has no car of its own yet."""
    specs = shutil.copytree(MINI, data / "specs", ignore=shutil.ignore_patterns("vehicles"))
    server = Server(data / "house").start("--specs", str(specs))
    try:
        gallery = Gallery(make_phone(browser, server).let_in(), folder, words)
        gallery.page.locator(".cars .empty").wait_for()
        gallery.draw("cars-none")
    finally:
        server.kill()


def draw_garage(gallery: Gallery) -> None:
    gallery.go("#/garage")
    gallery.draw("garage-empty")
    gallery.phone.ask(TELL_GARAGE)
    gallery.page.wait_for_timeout(200)
    gallery.draw("garage")
    gallery.draw("garage-whole", whole=True)
    gallery.press(".thing.has", 1)
    gallery.draw("garage-thing")
    gallery.close_sheet()
    gallery.go("#/cars")
    gallery.go(f"#/plan/{ESTATE}")
    gallery.draw("plan-decided")
    why = gallery.page.locator("[data-service=engine-oil] details")
    why.evaluate("(details) => { details.open = true; }")
    gallery.draw("plan-why", at=why)
    gallery.press("[data-section=buy] > summary")
    gallery.press("[data-section=buy] .inside > .second")
    gallery.draw("plan-prices")
    gallery.close_sheet()
    gallery.page.pdf(path=gallery.folder / "shopping-list.pdf", format="A4")
    gallery.go("#/plan/churn-van")
    gallery.draw("plan-reserved", at=gallery.page.locator("[data-reserved]").first)


def draw_house(gallery: Gallery, helper: Phone, server: Server) -> None:
    """The house as an owner sees it, as a helper does, and out of reach."""
    gallery.go("#/house")
    gallery.page.locator(".house-facts").wait_for()
    gallery.draw("house", whole=True)
    gallery.press(".house-page .row .second")
    gallery.page.locator("dialog .qr").wait_for()
    gallery.draw("house-code")
    gallery.close_sheet()
    gallery.press(".house-page summary", 0)
    gallery.press(".house-page summary", 1)
    gallery.draw("house-phones", whole=True)
    gallery.press(".house-row", 1)
    gallery.draw("house-phone")
    gallery.close_sheet()
    gallery.press(".folds .second")
    gallery.draw("house-share")
    gallery.press("dialog .action")
    gallery.page.locator("dialog .address").wait_for()
    gallery.draw("house-link")
    gallery.close_sheet()
    helper.ask("fillfirst.go('#/house')")
    helper.page.locator(".house-page h2").first.wait_for()
    Gallery(helper, gallery.folder, gallery.words).draw("house-helper")
    server.stop()
    gallery.go("#/cars")
    gallery.go("#/house")
    gallery.page.locator(".house-absent").wait_for()
    gallery.draw("house-away")


def make_phone(browser: Browser, server: Server) -> Phone:
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, has_touch=True)
    context.set_default_timeout(20_000)
    context.add_init_script(AT_REST)
    return Phone(context, server)


def draw_let_in(gallery: Gallery) -> None:
    phone = gallery.phone
    phone.page.goto(f"{phone.server.address}/#/let-in")
    phone.page.locator("#code").wait_for()
    gallery.draw("let-in")
    phone.page.fill("#code", "BCDF-GHJK")
    phone.page.locator(".let-in button").click()
    phone.page.locator(".let-in [role=alert]:not(:empty)").wait_for()
    gallery.draw("let-in-wrong")
    phone.page.goto("about:blank")
    phone.let_in()


def draw_all(browser: Browser, server: Server, webui: Path, folder: Path, words: list[str]) -> None:
    gallery = Gallery(make_phone(browser, server), folder, words)
    draw_let_in(gallery)
    draw_update(gallery, webui)
    for act in (
        draw_before,
        draw_garage,
        draw_preparation,
        draw_under_the_car,
        draw_instruments,
        draw_end,
        draw_exceptions,
        draw_own_car,
        draw_helps,
        draw_interrupted,
    ):
        act(gallery)
    other = make_phone(browser, server).let_in(server.invite())
    draw_two_phones(gallery, other)
    draw_two_people(gallery, other)
    draw_make_safe(gallery, other)
    draw_disputed_number(gallery, other)
    draw_clock(Gallery(make_phone(browser, server).let_in(server.invite()), folder, words))
    draw_house(gallery, other, server)
    server.start()
    draw_storage(gallery)
    draw_refused(Gallery(other, folder, words))


def main(folder: Path, words: list[str]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        webui = Path(shutil.copytree(TOP / "webui", Path(data) / "webui"))
        server = Server(Path(data) / "demo", webui).start("--follow")
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        try:
            draw_no_car(browser, Path(data) / "no-car", folder, words)
            draw_all(browser, server, webui, folder, words)
        finally:
            browser.close()
            server.kill()
    print(f"{len(list(folder.glob('*.png')))} pictures in {folder}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else TOP / ".screens", sys.argv[2:])
