"""Every view for people who see, hear or move otherwise: axe finds nothing, and keys alone do steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from looking import look
from phones import Phone, Server
from playwright.sync_api import Browser
from screen_visits import ESTATE, LOCKED_FOR, Visit, make_phone, start_afresh

JOBS = ["transfer-case", "engine-oil", "automatic-gearbox"]
STEPS: list[dict[str, Any]] = [
    {"kind": "inspect"},
    {"id": "preparation/check-level"},
    {"id": "engine-oil/let-it-drip"},
    {"kind": "tighten"},
    {"kind": "cycle"},
    {"kind": "watch"},
    {},
]
SAY = "([id, payload]) => fillfirst.record(id, 'state-confirmed', payload).then(() => 1)"
CAR_NEXT = ".car-page > footer .action:visible"
ORDER = """
[...document.querySelector(".frame").children]
  .filter((one) => one.matches("header, .body, footer"))
  .map(({ tagName }) => tagName)
"""


@pytest.fixture
def phone(measured_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(measured_phone)
    measured_phone.check()


@pytest.mark.parametrize("address", ["#/cars", f"#/plan/{ESTATE}", "#/phone", "#/due", "#/garage", "#/house"])
def test_axe_finds_nothing_at_the_table(phone: Phone, address: str) -> None:
    phone.ask("(address) => (location.hash = address)", address)
    phone.page.locator("#screen h1").first.wait_for(state="attached")

    assert look(phone, address) == []


def test_axe_finds_nothing_from_the_first_step_to_the_record(phone: Phone) -> None:
    visit = Visit(phone, JOBS)
    found: list[str] = []

    for step in STEPS:
        visit.walk(**step)
        found += look(phone, str(step))
    visit.show("open")
    found += look(phone, "open")
    visit.show()
    visit.hold(".hold-button", 1100)
    phone.wait_for("location.hash.startsWith('#/record/')")
    phone.page.locator("#screen h1").first.wait_for(state="attached")
    found += look(phone, "record")

    assert found == []


def test_axe_finds_nothing_where_a_phone_waits_to_be_let_in(
    server: Server, phones: Callable[..., Phone]
) -> None:
    stranger = phones(server, bypass_csp=True)
    stranger.page.goto(server.address)
    stranger.page.locator(".let-in").wait_for()

    assert look(stranger, "let-in") == []


def test_axe_finds_nothing_on_the_form_of_an_own_car(phone: Phone) -> None:
    page = phone.page
    phone.ask("location.hash = '#/car/new'")
    page.locator("#car-title").wait_for()
    found = look(phone, "car/new")
    for name, text in {"title": "Our tern", "plate": "DEMO 77", "by": "Ida"}.items():
        page.fill(f"#car-{name}", text)
    phone.press(CAR_NEXT)
    page.locator(".car-page .fold").first.wait_for()
    found += look(phone, "car")
    phone.press(CAR_NEXT)
    page.locator(".fact-stage .choice").first.wait_for()
    found += look(phone, "a question about the car")
    phone.press(".fact-stage .choice")
    page.locator(".source-choice").first.wait_for()
    found += look(phone, "where the answer is from")

    assert found == []


def test_axe_finds_nothing_at_a_stop_and_on_the_way_to_make_safe(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")
    visit.press(".row button", 2)
    visit.page.locator("dialog textarea").fill("Later")
    found = look(phone, "a sheet")
    visit.press("dialog .action")
    visit.page.locator(".stop-card").wait_for()
    found += look(phone, "a stop")

    other = Visit(phone, ["engine-oil"]).walk(id="engine-oil/let-it-drip").show("open")
    other.press(".make-safe-offer")
    other.page.locator(".safe-left h3").wait_for()
    found += look(phone, "make safe")

    assert found == []


def test_axe_finds_nothing_where_two_phones_contradict_each_other(
    phone: Phone, workshop: Server, chromium: Browser
) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")
    other = make_phone(chromium, workshop)
    phone.sync()
    other.sync()
    other.ask("(id) => fillfirst.loadVisit(id).then(() => 1)", visit.id)
    for one, value in [(phone, "open"), (other, "closed")]:
        one.cut()
        one.ask(SAY, [visit.id, {"variable": "transfer-case-fill-plug", "value": value}])
    for one in (phone, other, phone):
        one.restore()
        one.sync()
        one.wait_until_sent()
    other.context.close()

    found = look(phone, "two at one step")
    visit.show("open")
    found += look(phone, "what two phones say")

    assert found == []
    assert visit.page.locator(".contradiction").count() > 0


def press_action(visit: Visit) -> None:
    """By keyboard alone: from the heading on, key by key, to the action, and press it."""
    keyboard = visit.page.keyboard
    for _ in range(40):
        if visit.phone.ask("Boolean(document.activeElement.closest('.foot-slot'))"):
            return keyboard.press("Enter")
        keyboard.press("Tab")
    raise AssertionError("The keyboard does not come to the action.")


def test_the_keyboard_reads_a_level_waits_for_a_timer_and_closes_the_visit(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="preparation/check-level")
    keyboard = visit.page.keyboard
    press_action(visit)
    visit.page.locator("#quantity").wait_for()
    keyboard.type("0.5")
    keyboard.press("Enter")
    phone.wait_for("(id) => fillfirst.visit(id).visit.readings.tilt_lengthwise?.length === 1", visit.id)
    phone.wait_for("document.querySelector('#quantity').value === ''")
    keyboard.type("-0.2")
    keyboard.press("Enter")
    visit.page.locator(".verdict[data-holds=true]").wait_for()
    press_action(visit)
    visit.wait_until_next_is_not("preparation/check-level")

    visit.walk(id="transfer-case/drain")
    press_action(visit)
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    phone.ask(LOCKED_FOR, 3_600_000)
    visit.page.locator(".timer[data-over]").wait_for()
    press_action(visit)
    visit.wait_until_next_is_not("transfer-case/drain")

    visit.walk()
    press_action(visit)
    keyboard.press("Enter")
    phone.wait_for("location.hash.startsWith('#/record/')")


def test_a_step_is_read_in_the_order_it_is_done_in(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/tighten-drain-plug")
    parts = [".kicker", "h1", "button.hero .digits", ".says", ".caution b", ".kind-foot .action"]
    wanted = [" ".join(visit.read(part).split()) for part in parts]

    heard = " ".join(visit.page.locator(".frame").aria_snapshot().split())

    places = [heard.find(part) for part in wanted]
    assert (-1 not in places, sorted(places)) == (True, places), heard


LISTEN = """
() => {
  globalThis.heard = [];
  const live = "[role=status], [role=alert], [aria-live]";
  new MutationObserver((changes) => {
    for (const { target } of changes) {
      const region = (target.nodeType === Node.TEXT_NODE ? target.parentElement : target)?.closest(live);
      if (region?.textContent) heard.push(region.textContent);
    }
  }).observe(document.body, { childList: true, characterData: true, subtree: true });
}
"""


def test_a_timer_speaks_once_a_minute(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"]).walk(id="engine-oil/let-it-drip")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    phone.ask(LISTEN)

    for _ in range(6):
        shown = visit.read(".timer .digits")
        phone.ask(LOCKED_FOR, 20_000)
        phone.wait_for("(shown) => document.querySelector('.timer .digits').textContent !== shown", shown)

    said = phone.ask("heard")
    assert len(said) == len(set(said))
    assert len(said) in (1, 2)


def test_a_position_is_told_when_it_comes_and_not_its_seconds(phone: Phone) -> None:
    visit = Visit(phone, ["automatic-gearbox"]).walk(kind="cycle")
    phone.ask(LISTEN)
    visit.press(".kind-foot .action")
    first = visit.read(".cycle .left")
    phone.wait_for("(first) => document.querySelector('.cycle .left').textContent !== first", first)

    said = [one for one in phone.ask("heard") if "Hold" in one or " s" in one]
    assert len(said) == 1


def test_a_new_step_is_read_from_its_heading_on(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")

    press_action(visit)
    heading = visit.shown("transfer-case/take-out-fill-plug").locator("h1").inner_text()
    phone.wait_for("document.activeElement.tagName === 'H1'")

    assert phone.ask(ORDER) == ["HEADER", "DIV", "FOOTER"]
    assert visit.page.title().startswith(heading)
