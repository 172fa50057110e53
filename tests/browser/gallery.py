"""The phone whose screens are drawn, in every size it is held in, and the folder the pictures go to."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from phones import Phone
from playwright.sync_api import Locator

WALK = (Path(__file__).parent / "walk.js").read_text().rstrip().rstrip(";")
PHONE = (390, 844)
SMALL = (360, 640)
DESK = (1280, 800)
LYING = (844, 390)
KINDS = {PHONE: "", SMALL: "-small", DESK: "-desk", LYING: "-lying"}
#: What is read and chosen; what is worked with is held lying down as well.
Sizes = tuple[tuple[int, int], ...]
VIEW: Sizes = (PHONE, SMALL, DESK)
WORK: Sizes = (*VIEW, LYING)
ESTATE = "fellside-estate"

# A picture shows where things come to rest.
AT_REST = """
const rest = new CSSStyleSheet();
rest.replaceSync("*, ::before, ::after { transition: none !important; }");
document.adoptedStyleSheets = [rest];
"""
SHOW_LIGHT = """
(light) => new Promise((painted) => {
  document.documentElement.dataset.theme = light;
  requestAnimationFrame(() => requestAnimationFrame(painted));
})
"""


class Gallery:
    """One phone and one visit, gone through by the screens' own means."""

    def __init__(self, phone: Phone, folder: Path, words: list[str]) -> None:
        self.phone = phone
        self.page = phone.page
        self.folder = folder
        self.words = words
        self.visit = ""

    def draw(
        self,
        name: str,
        sizes: Sizes = VIEW,
        at: Locator | None = None,
        whole: bool = False,
    ) -> None:
        """Draw the page as it stands, in both lights.

        `at` is what a scrolled picture begins with; `whole` draws all of a long page, on a phone.
        """
        if self.words and not any(word in name for word in self.words):
            return
        for width, height in (PHONE,) if whole else sizes:
            self.page.set_viewport_size({"width": width, "height": height})
            for light in ("light", "dark"):
                self.page.evaluate(SHOW_LIGHT, light)
                if at is not None:
                    at.evaluate("(element) => element.scrollIntoView()")
                file = self.folder / f"{name}{KINDS[width, height]}-{light}.png"
                self.page.screenshot(path=file, full_page=whole)
        self.page.evaluate("delete document.documentElement.dataset.theme")
        self.page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})

    def go(self, address: str) -> None:
        self.page.evaluate("(address) => (location.hash = address)", address)
        self.page.locator("#screen h1").first.wait_for(state="attached")
        self.page.wait_for_timeout(250)

    def press(self, selector: str, at: int = 0) -> None:
        self.phone.press(selector, at)
        self.page.wait_for_timeout(200)

    def close_sheet(self) -> None:
        self.page.locator("dialog .foot > .second").last.click()

    def walk(self, **until: object) -> None:
        """Do steps until the wanted one is next, and show it."""
        self.go("#/cars")
        found = self.phone.ask(WALK, {"visit": self.visit, "until": until})
        assert found or not until, f"no step {until} lies ahead"
        self.show_work()

    def show_work(self) -> None:
        self.go(f"#/work/{self.visit}")
        # A step's parts are fetched when it is first shown.
        self.page.locator(".foot-slot[data-step]").wait_for(state="attached")
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
        for _ in range(2):
            if self.page.locator(".plan > footer .action[aria-disabled=true]").count():
                self.press("button.all")
        self.press(".plan > footer .action")
        self.page.wait_for_function("location.hash.startsWith('#/work/')")
        self.visit = str(self.phone.ask("location.hash.split('/')[2]"))
        self.page.wait_for_timeout(300)

    @contextmanager
    def another_page(self, script: str = "", started: bool = True) -> Iterator[None]:
        """The same phone, its app opened anew with something otherwise; afterwards the page that was."""
        kept, self.page = self.page, self.page.context.new_page()
        self.phone.page = self.page
        if script:
            self.page.add_init_script(script)
        self.page.goto(self.phone.server.address + "/#/cars")
        if started:
            self.phone.wait_until_started()
        yield
        self.page.close()
        self.page = self.phone.page = kept
