"""What the tests of the screens share: a server and a phone for each file, and visits brought to a step."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from phones import WAIT_S, WATCH, Phone, Server
from playwright.sync_api import Browser, Locator

PROBES = (Path(__file__).parent / "probes.js").read_text().rstrip().rstrip(";")
WALK = (Path(__file__).parent / "walk.js").read_text().rstrip().rstrip(";")
ESTATE = "fellside-estate"

OPEN = """
async ([carId, jobs, settings]) => {
  const { value } = fillfirst.cars().find(({ id }) => id === carId).odometer;
  return fillfirst.openVisit({ carId, jobs, settings, odometer_m: value, by: "Ada" });
}
"""

ANOTHER = """
([id, step]) => {
  const shown = document.querySelector(".foot-slot")?.dataset.step;
  return fillfirst.visit(id).visit.next !== step && (step === null || shown !== step);
}
"""
# Marks the screen that is shown, unless the address leads to the same one.
LEAVE = """
(address) => {
  if ((location.hash || "#/cars") === address) return;
  document.querySelector("#screen").firstElementChild.dataset.left = "";
  location.hash = address;
}
"""
#: A phone that was locked for a while: only the clock went on.
LOCKED_FOR = """(later_ms) => {
  const now = Date.now;
  Date.now = () => now() + later_ms;
  document.dispatchEvent(new Event("visibilitychange"));
}"""
#: Time goes by in sight: for the clock, for what the page sees itself run, and for the frames it draws.
TIME_GOES_BY = """(later_ms) => {
  for (const of of [Date, performance]) {
    const now = of.now.bind(of);
    of.now = () => now() + later_ms;
  }
  const draw = window.requestAnimationFrame.bind(window);
  window.requestAnimationFrame = (then) => draw((ran) => then(ran + later_ms));
  document.dispatchEvent(new Event("visibilitychange"));
}"""
#: Counts in `notes` every note that the page sounds.
COUNT_NOTES = """
() => {
  globalThis.notes = 0;
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (...when) {
    globalThis.notes += 1;
    return start.apply(this, when);
  };
}
"""


@contextmanager
def run_server(folder: Path) -> Iterator[Server]:
    server = Server(folder).start()
    try:
        yield server
    finally:
        server.kill()


def make_phone(browser: Browser, server: Server, **options: Any) -> Phone:
    """A phone that is let in; whoever made it closes its context."""
    size = {"width": 390, "height": 844}
    context = browser.new_context(viewport=size, has_touch=True, is_mobile=True, **options)
    context.set_default_timeout(WAIT_S * 1000)
    context.add_init_script(WATCH)
    return Phone(context, server).let_in(server.invite())


def start_afresh(phone: Phone) -> Phone:
    """Bring a phone that another test has used back to its first screen."""
    phone.restore()
    phone.page.set_viewport_size({"width": 390, "height": 844})
    phone.page.goto(f"{phone.server.address}/#/cars")
    phone.page.reload()
    return phone.wait_until_started()


def ask_look(phone: Phone, question: str, *arguments: Any) -> Any:
    """One of the questions in probes.js."""
    return phone.ask(f"(values) => ({PROBES}).{question}(...values)", list(arguments))


class Visit:
    """One visit on one phone, and the screens that show it."""

    def __init__(self, phone: Phone, jobs: list[str], car: str = ESTATE, **settings: Any) -> None:
        self.phone = phone
        self.page = phone.page
        self.id = str(phone.ask(OPEN, [car, jobs, settings]))

    def walk(self, **until: Any) -> Visit:
        """Do steps until the wanted one is next, and show it on the Work screen."""
        self._turn_to("#/cars")
        found = self.phone.ask(WALK, {"visit": self.id, "until": until})
        assert found or not until, f"no step {until} lies ahead"
        return self.show()

    def show(self, view: str = "work") -> Visit:
        if view == "work":
            self._turn_to(f"#/work/{self.id}")
            # A step's parts are fetched when it is first shown.
            self.page.locator(".foot-slot[data-step]").wait_for(state="attached")
        else:
            self.go(f"#/{view}/{self.id}")
        self.phone.settle()
        return self

    def go(self, address: str) -> None:
        """Show the screen of an address, and wait until it is there with what it asks the phone for."""
        self._turn_to(address)
        self.page.wait_for_timeout(150)

    def _turn_to(self, address: str) -> None:
        self.page.evaluate(LEAVE, address)
        self.phone.wait_for("!document.querySelector('#screen > [data-left]')")
        self.page.locator("#screen h1").first.wait_for(state="attached")

    def shown(self, step: str) -> Locator:
        """The card of a step, once it is on the screen."""
        card = self.page.locator(f".step-card[data-step='{step}']")
        card.wait_for()
        return card

    def read(self, selector: str) -> str:
        """What is written in the first such element, with plain spaces."""
        return self.page.locator(selector).first.inner_text().replace("\u00a0", " ")

    def does(self, step: str) -> str:
        """The words of a step's action, as the catalog has them."""
        find = "([id, step]) => fillfirst.visit(id).catalog.steps.find((one) => one.id === step).does"
        return str(self.phone.ask(find, [self.id, step]))

    @property
    def next(self) -> str | None:
        found: str | None = self.phone.ask("(id) => fillfirst.visit(id).visit.next", self.id)
        return found

    def status(self, step: str) -> dict[str, Any] | None:
        found: dict[str, Any] | None = self.phone.ask(
            "([id, step]) => fillfirst.visit(id).visit.steps[step] ?? null", [self.id, step]
        )
        return found

    def readings(self, name: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.phone.ask(
            "([id, name]) => fillfirst.visit(id).visit.readings[name] ?? []", [self.id, name]
        )
        return found

    def press(self, selector: str, at: int = 0) -> None:
        self.phone.press(selector, at)

    def type(self, text: str) -> None:
        """Type on the keys of the screen, as with a glove."""
        self.page.locator("#quantity").wait_for()
        self.phone.settle()
        for sign in text:
            label = {",": "Decimal separator", ".": "Decimal separator", "-": "Plus or minus"}.get(sign)
            self.page.locator(f".key[aria-label='{label}']" if label else f".key:text-is('{sign}')").click()

    def keep(self, text: str) -> None:
        self.type(text)
        self.press(".keep")

    def wait_until_next_is_not(self, step: str | None) -> None:
        """Wait until another step is next, and on the screen, if that shows steps."""
        self.phone.wait_for(ANOTHER, [self.id, step])

    def hold(self, selector: str, milliseconds: int) -> None:
        """Keep a finger on a button."""
        self.page.locator(selector).scroll_into_view_if_needed()
        self.phone.settle()
        box = self.page.locator(selector).bounding_box()
        assert box
        self.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        self.page.mouse.down()
        self.page.wait_for_timeout(milliseconds)
        self.page.mouse.up()
