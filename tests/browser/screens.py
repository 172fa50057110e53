"""Draws every view and state of the web client into a folder, to be looked at by a person.

One real server, one phone, one visit walked from its first step to its record: at each state that matters the
same page is drawn in both lights, on a phone, and for the chief ones on a desk and lying down.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from car_screens import draw_disputed_number, draw_own_car
from phones import Phone, Server
from playwright.sync_api import Browser, sync_playwright
from screen_visits import Visit

TOP = Path(__file__).parents[2]
WALK = (Path(__file__).parent / "walk.js").read_text().rstrip().rstrip(";")
PHONE = (390, 844)
DESK = (1280, 800)
LYING = (844, 390)
SMALL = (360, 640)
#: The next control stands under the same finger; a press within this is taken for a leftover.
GHOST_MS = 450
ESTATE = "fellside-estate"


class Gallery:
    """The phone whose screens are drawn, and the folder the pictures go to."""

    def __init__(self, phone: Phone, folder: Path, words: list[str]) -> None:
        self.phone = phone
        self.page = phone.page
        self.folder = folder
        self.words = words
        self.visit = ""

    def draw(self, name: str, *sizes: tuple[int, int], whole: bool = False) -> None:
        """Draw the page as it stands, in both lights; `whole` draws all of a long page."""
        if self.words and not any(word in name for word in self.words):
            return
        for size in sizes or (PHONE,):
            self.page.set_viewport_size({"width": size[0], "height": size[1]})
            for light in ("light", "dark"):
                self.page.evaluate("(light) => (document.documentElement.dataset.theme = light)", light)
                self.page.wait_for_timeout(120)
                kind = {PHONE: "", DESK: "-desk", LYING: "-lying", SMALL: "-small"}[size]
                self.page.screenshot(path=self.folder / f"{name}{kind}-{light}.png", full_page=whole)
        self.page.evaluate("delete document.documentElement.dataset.theme")
        self.page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})

    def go(self, address: str) -> None:
        self.page.evaluate("(address) => (location.hash = address)", address)
        self.page.locator("#screen h1").first.wait_for(state="attached")
        self.page.wait_for_timeout(250)

    def press(self, selector: str, at: int = 0) -> None:
        self.page.wait_for_timeout(GHOST_MS)
        self.page.locator(selector).nth(at).click()
        self.page.wait_for_timeout(200)

    def close_sheet(self) -> None:
        self.page.locator("dialog .foot > .second").last.click()

    def walk(self, **until: object) -> None:
        """Do steps until the wanted one is next, and show it."""
        self.go("#/cars")
        found = self.phone.ask(WALK, {"visit": self.visit, "until": until})
        assert found or not until, f"no step {until} lies ahead"
        self.go(f"#/work/{self.visit}")
        self.page.wait_for_timeout(200)

    def enter(self, *keys: str) -> None:
        """Open the number keys and type, without keeping it."""
        if self.page.locator("#quantity").count() == 0:
            self.press(".kind-foot .action")
        for key in keys:
            self.page.locator("#quantity").press_sequentially(key)
        self.page.wait_for_timeout(100)

    def keep(self, typed: str) -> None:
        self.enter()
        self.page.locator("#quantity").fill(typed)
        self.press(".keep")

    def begin(self, car: str = ESTATE) -> None:
        """Choose every service of a car on the Plan screen and start."""
        self.go("#/cars")
        self.go(f"#/plan/{car}")
        # What was chosen stays chosen; pressed once more, the button takes it all away.
        if self.page.locator(".plan > footer .action[aria-disabled=true]").count():
            self.press("button.all")
        self.press(".plan > footer .action")
        self.page.wait_for_function("location.hash.startsWith('#/work/')")
        self.visit = str(self.phone.ask("location.hash.split('/')[2]"))
        self.page.wait_for_timeout(300)


def draw_before(gallery: Gallery) -> None:
    gallery.go("#/cars")
    gallery.draw("cars-first", PHONE, DESK, SMALL)
    gallery.go("#/phone")
    gallery.draw("phone", PHONE, DESK, SMALL)
    gallery.draw("phone-whole", whole=True)
    gallery.go(f"#/plan/{ESTATE}")
    gallery.draw("plan-none")
    gallery.page.locator("details").nth(4).evaluate(
        "(details) => { details.open = true; details.scrollIntoView(); }"
    )
    gallery.draw("plan-service")
    gallery.go("#/cars")
    gallery.go(f"#/plan/{ESTATE}")
    gallery.press("button.all")
    gallery.draw("plan-all", PHONE, DESK)
    for fold in ("settings", "buy", "tools", "day"):
        gallery.press(f"[data-section={fold}] > summary")
        gallery.page.locator(f"[data-section={fold}]").evaluate("(fold) => fold.scrollIntoView()")
        gallery.page.wait_for_timeout(400)
        gallery.draw(f"plan-{fold}")
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


def draw_garage(gallery: Gallery) -> None:
    gallery.go("#/garage")
    gallery.draw("garage-empty")
    gallery.phone.ask(TELL_GARAGE)
    gallery.page.wait_for_timeout(200)
    gallery.draw("garage", PHONE, DESK)
    gallery.draw("garage-whole", whole=True)
    gallery.press(".thing.has", 1)
    gallery.draw("garage-thing")
    gallery.close_sheet()
    gallery.go("#/cars")
    gallery.go(f"#/plan/{ESTATE}")
    gallery.draw("plan-decided", PHONE, DESK)
    gallery.page.locator("[data-service=engine-oil] details").evaluate(
        "(details) => { details.open = true; details.scrollIntoView(); }"
    )
    gallery.draw("plan-why")
    gallery.press("[data-section=buy] > summary")
    gallery.press("[data-section=buy] .inside > .second")
    gallery.draw("plan-prices")
    gallery.close_sheet()
    gallery.page.pdf(path=gallery.folder / "shopping-list.pdf", format="A4")
    gallery.go("#/plan/churn-van")
    gallery.page.locator("[data-reserved]").first.evaluate("(row) => row.scrollIntoView()")
    gallery.draw("plan-reserved")


def draw_preparation(gallery: Gallery) -> None:
    gallery.begin()
    gallery.draw("work-first")
    gallery.walk(id="preparation/odometer")
    gallery.draw("work-measure", PHONE, SMALL)
    gallery.enter("84.210")
    gallery.draw("work-number-either")
    gallery.walk(id="preparation/supplies-out")
    gallery.draw("work-inspect", PHONE, DESK, LYING)
    gallery.press(".finding", 1)
    gallery.draw("work-finding-bad")
    gallery.press(".where-one-is")
    gallery.draw("work-day")
    gallery.close_sheet()
    gallery.walk(id="preparation/read-jack")
    gallery.keep("3000")
    gallery.draw("work-judged-yes")
    gallery.press(".reading-line")
    gallery.keep("600")
    gallery.draw("work-judged-no")
    gallery.walk(id="preparation/check-level")
    gallery.enter("1,2")
    gallery.draw("work-number", PHONE, LYING)
    gallery.page.locator("#quantity").fill("49")
    gallery.draw("work-number-refused")
    gallery.page.locator("#quantity").fill("")
    gallery.keep("1,2")
    gallery.keep("-0.4")
    gallery.draw("work-judged-back")


def draw_under_the_car(gallery: Gallery) -> None:
    gallery.walk(id="transfer-case/loosen-fill-plug")
    gallery.draw("work-act")
    gallery.press(".kind-foot .action")
    gallery.draw("work-undo")
    gallery.press(".row .second", 2)
    gallery.draw("work-skip")
    gallery.page.locator("dialog textarea").fill("Head is rounded off")
    gallery.press("dialog .action")
    gallery.walk(id="transfer-case/take-out-drain-plug")
    gallery.draw("work-stop", PHONE, LYING)
    gallery.press(".kind-foot .second")
    gallery.draw("work-override")
    gallery.close_sheet()
    gallery.press(".kind-foot .action")
    gallery.draw("work-cure")
    gallery.press(".kind-foot .action, .kind-foot .finding")
    gallery.walk(id="transfer-case/drain")
    gallery.draw("work-hold")
    gallery.press(".kind-foot .action")
    gallery.page.wait_for_timeout(1500)
    gallery.draw("work-hold-running", PHONE, SMALL)
    gallery.phone.ask(END_TIMER, [gallery.visit, 6 * 60])
    gallery.page.wait_for_timeout(700)
    gallery.draw("work-hold-over")
    gallery.walk(id="transfer-case/tighten-drain-plug")
    gallery.draw("work-tighten", PHONE, DESK, LYING, SMALL)
    gallery.page.evaluate("fillfirst.prefer({ hand: 'left' })")
    gallery.draw("work-left-hand", PHONE, LYING)
    gallery.page.evaluate("fillfirst.prefer({ hand: 'right' })")
    gallery.press(".hero")
    gallery.draw("work-number-source")
    gallery.close_sheet()
    gallery.press(".open-pill")
    gallery.draw("open", PHONE, DESK, LYING)


def draw_instruments(gallery: Gallery) -> None:
    gallery.walk(id="automatic-gearbox/first-pass", index=5)
    gallery.draw("work-screws")
    gallery.walk(id="brake-fluid/tighten-nipple", index=2)
    gallery.draw("work-nipple")
    gallery.walk(id="closing/wheel-on", index=2)
    gallery.draw("work-wheel", PHONE, DESK)
    gallery.walk(shows="coolant_main_concentrate")
    gallery.draw("work-jug")
    gallery.press(".number-line")
    gallery.draw("work-formula")
    gallery.close_sheet()
    gallery.walk(id="coolant-main/vacuum-stood")
    gallery.keep("20")
    gallery.draw("work-vacuum")
    gallery.walk(kind="cycle")
    gallery.draw("work-cycle", PHONE, LYING)
    gallery.press(".kind-foot .action")
    gallery.draw("work-cycle-held")
    gallery.walk(kind="watch")
    gallery.draw("work-watch")
    for name, reading in [("below", "24"), ("nearly", "31"), ("inside", "37"), ("above", "47")]:
        # Where a reading is in its window already, reading again is the second button.
        gallery.press(".kind-foot .second" if gallery.page.locator(".pair").count() else ".kind-foot .action")
        gallery.keep(reading)
        gallery.draw(f"work-watch-{name}")
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("open-running", PHONE, DESK)
    gallery.go("#/cars")
    gallery.draw("cars-going", PHONE, DESK)
    gallery.walk(shows="coolant_main_balance")
    gallery.draw("work-balance")


def draw_end(gallery: Gallery) -> None:
    gallery.walk()
    gallery.draw("closing", PHONE, DESK)
    gallery.press(".hold-button")
    gallery.draw("closing-short-press")
    gallery.page.locator(".hold-button").focus()
    gallery.page.keyboard.press("Enter")
    gallery.draw("closing-keyboard")
    gallery.phone.cut()
    gallery.press(".hold .second")
    gallery.page.wait_for_function("location.hash.startsWith('#/record/')")
    gallery.page.wait_for_timeout(300)
    gallery.draw("record-on-phone")
    gallery.go("#/cars")
    gallery.draw("cars-offline")
    gallery.phone.restore()
    gallery.phone.sync()
    gallery.phone.wait_until_sent()
    gallery.go(f"#/record/{gallery.visit}")
    gallery.draw("record", PHONE, DESK)
    gallery.draw("record-whole", whole=True)
    gallery.page.pdf(path=gallery.folder / "record.pdf", format="A4")
    gallery.press(".record-views .choice", 1)
    gallery.draw("record-customer", whole=True)
    gallery.press(".acknowledged .second")
    gallery.draw("record-signing")
    gallery.close_sheet()
    gallery.go("#/due")
    gallery.page.locator(".due-row").first.wait_for()
    gallery.draw("due", PHONE, DESK)
    gallery.draw("due-whole", whole=True)
    gallery.press(".due-row .due-open")
    gallery.draw("due-sheet")
    gallery.close_sheet()


def draw_exceptions(gallery: Gallery) -> None:
    """A second visit, closed with a plug left hand-tight and named."""
    gallery.begin("pippin-hatch")
    gallery.walk(id="manual-gearbox/tighten-fill-plug")
    gallery.press(".row .second", 2)
    gallery.page.locator("dialog textarea").fill("Torque wrench left at home")
    gallery.press("dialog .action")
    gallery.walk()
    gallery.draw("closing-named")
    gallery.page.locator(".hold-button").focus()
    gallery.page.keyboard.press("Enter")
    gallery.press(".hold .second")
    gallery.page.wait_for_function("location.hash.startsWith('#/record/')")
    gallery.draw("record-exceptions")


def draw_two_phones(gallery: Gallery, other: Phone) -> None:
    """Two phones on one car, out of touch, that say two things of one plug."""
    gallery.begin("churn-van")
    gallery.walk(kind="hold")
    gallery.phone.sync()
    other.sync()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => 1)", gallery.visit)
    say = "([visit, payload]) => fillfirst.record(visit, 'state-confirmed', payload).then(() => 1)"
    for phone, value in [(gallery.phone, "open"), (other, "closed")]:
        phone.cut()
        phone.ask(say, [gallery.visit, {"variable": "undertray", "value": value}])
    for phone in (gallery.phone, other, gallery.phone):
        phone.restore()
        phone.sync()
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("open-contradiction")


def draw_make_safe(gallery: Gallery, other: Phone) -> None:
    """A car closed up in the middle of its visit, seen by another phone, finished, and taken up again."""
    gallery.visit = Visit(gallery.phone, ["engine-oil"]).id
    gallery.walk(id="engine-oil/let-it-drip")
    gallery.go(f"#/open/{gallery.visit}")
    gallery.press(".make-safe-offer")
    gallery.page.locator(".safe-list [data-step]").first.wait_for()
    gallery.draw("safe-list", PHONE, DESK, LYING)
    gallery.draw("safe-list-whole", whole=True)
    gallery.press(".open-screen footer .action")
    gallery.page.locator(".foot-slot[data-step]").wait_for(state="attached")
    gallery.draw("safe-step", PHONE, LYING)
    gallery.go("#/cars")
    gallery.go(f"#/work/{gallery.visit}")
    gallery.page.locator(".closing-note").wait_for()
    gallery.draw("safe-other-phone", PHONE, LYING)
    gallery.go(f"#/open/{gallery.visit}")
    row = gallery.page.locator(".safe-list [data-step]")
    row.first.wait_for()
    while row.count():
        step = row.first.get_attribute("data-step")
        gallery.page.evaluate(FINISH, [gallery.visit, step])
        gallery.page.locator(f'.safe-list [data-step="{step}"]').wait_for(state="detached")
    gallery.page.locator(".make-safe[data-finished]").scroll_into_view_if_needed()
    gallery.draw("safe-finished", PHONE, LYING)
    gallery.press(".open-screen footer .action")
    gallery.page.locator(".foot-slot[data-step]").wait_for(state="attached")
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("safe-gone-on")
    gallery.phone.sync()
    other.sync()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => 1)", gallery.visit)
    for phone, kind in [(gallery.phone, "taken-up-again"), (other, "closing-up")]:
        phone.cut()
        phone.ask(SAY_CLOSING, [gallery.visit, kind])
    for phone in (gallery.phone, other, gallery.phone):
        phone.restore()
        phone.sync()
    gallery.page.locator(".which-goes").wait_for()
    gallery.draw("safe-contradiction", PHONE, LYING)


FINISH = "([visit, step]) => fillfirst.record(visit, 'step-done', { step }).then(() => 1)"
SAY_CLOSING = """
([visit, kind]) => {
  const payload = kind === "closing-up" ? { aim: "to-stand", steps: [] } : {};
  return fillfirst.record(visit, kind, payload).then(() => 1);
}
"""
END_TIMER = """
async ([visit, over_s]) => {
  const { visit: { timers, next } } = fillfirst.visit(visit);
  const { least_s } = timers[next];
  const started_ms = Date.now() - (least_s + over_s) * 1000;
  await fillfirst.record(visit, "timer-started", { step: next, started_ms, least_s, most_s: null });
}
"""


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
    gallery.draw("house-phones", PHONE, DESK, whole=True)
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
    return Phone(context, server)


def main(folder: Path, words: list[str]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = Server(Path(data)).start()
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        try:
            phone = make_phone(browser, server)
            phone.page.goto(f"{server.address}/#/let-in")
            phone.page.locator("#code").wait_for()
            gallery = Gallery(phone, folder, words)
            gallery.draw("let-in")
            phone.page.goto("about:blank")
            phone.let_in()
            for act in (
                draw_before,
                draw_garage,
                draw_preparation,
                draw_under_the_car,
                draw_instruments,
                draw_end,
                draw_exceptions,
                draw_own_car,
            ):
                act(gallery)
            other = make_phone(browser, server).let_in(server.invite())
            draw_two_phones(gallery, other)
            draw_make_safe(gallery, other)
            draw_disputed_number(gallery, other)
            draw_house(gallery, other, server)
        finally:
            browser.close()
            server.kill()
    print(f"{len(list(folder.glob('*.png')))} pictures in {folder}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else TOP / ".screens", sys.argv[2:])
