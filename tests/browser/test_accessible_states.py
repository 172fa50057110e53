"""What a step becomes while it is worked at, for people who see, hear or move otherwise."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from looking import look
from phones import FINISH_STEP, Phone, Server
from playwright.sync_api import Browser
from screen_visits import Visit, make_phone, start_afresh

GEAR = ["transfer-case"]
GEARBOX = ["automatic-gearbox", "engine-oil"]
#: The clock on the wall is set; what the page sees itself run is not.
SET_CLOCK = "(by_ms) => { const now = Date.now; Date.now = () => now() + by_ms; }"
LOAD = "(id) => fillfirst.loadVisit(id).then(() => 1)"


@pytest.fixture
def phone(measured_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(measured_phone)
    measured_phone.check()


def test_a_number_being_typed_and_what_it_means_are_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    visit.press(".kind-foot .action")
    visit.type("49")
    found = look(phone, "a number that cannot be")
    visit.page.locator("#quantity").fill("5")
    visit.press(".keep")
    visit.keep("0")
    visit.page.locator(".verdict[data-holds=false]").wait_for()
    found += look(phone, "readings that do not hold")

    assert found == []


def test_a_finding_and_what_it_means_are_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/read-magnet")
    visit.press(".finding:has-text('Flakes')")
    visit.page.locator(".verdict[data-holds=false]").wait_for()

    assert look(phone, "a bad finding") == []


def test_a_wait_and_the_question_about_its_clock_are_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case", "front-final-drive"]).walk(id="transfer-case/drain")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    found = look(phone, "a wait")
    visit.page.locator(".meanwhile").wait_for()
    visit.press(".meanwhile")
    visit.page.locator(".wait-row").wait_for()
    found += look(phone, "work while another step waits")
    visit.press(".wait-row")
    visit.shown("transfer-case/drain")
    phone.ask(SET_CLOCK, 3_600_000)
    visit.page.locator(".clock-set:not([hidden])").wait_for()
    found += look(phone, "a clock that was set")
    visit.press(".kind-foot .second")
    visit.page.locator(".timer[data-over]").wait_for()
    found += look(phone, "a wait that is over")

    assert found == []


def test_what_cools_is_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, ["coolant-main"]).walk(id="running/cold-again")
    visit.page.locator(".meanwhile").wait_for()
    found = look(phone, "what cools")
    visit.press(".kind-foot .action")
    visit.keep("62")
    visit.page.locator(".verdict[data-holds=false]").wait_for()
    found += look(phone, "what is too warm still")

    assert found == []


def test_positions_and_a_window_are_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(kind="cycle")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    found = look(phone, "a position being held")
    visit.walk(kind="watch")
    visit.press(".kind-foot .action")
    visit.keep("37")
    visit.page.locator(".standing[data-standing=inside]").wait_for()
    found += look(phone, "inside the window")

    assert found == []


def test_what_lies_behind_a_step_is_there_for_everyone(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")
    found = []
    for button in ("button.hero", ".where-one-is"):
        visit.press(button)
        visit.page.locator("dialog h2").wait_for()
        found += look(phone, f"the sheet of {button}")
        visit.press("dialog .foot > .second >> nth=-1")
        visit.page.locator("dialog").wait_for(state="detached")

    assert found == []


def test_taking_back_what_another_did_is_there_for_everyone(
    phone: Phone, workshop: Server, chromium: Browser
) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    other = make_phone(chromium, workshop)
    phone.sync()
    other.sync()
    other.ask(LOAD, visit.id)
    other.ask(FINISH_STEP, visit.id)
    other.sync()
    other.wait_until_sent()
    other.context.close()
    phone.sync()
    visit.page.locator(".moved-on:not([hidden]) button").first.wait_for()
    visit.press(".moved-on:not([hidden]) button")
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")
    visit.press(".frame > footer > .row button")
    visit.page.locator("dialog h2").wait_for()

    assert look(phone, "taking back") == []
