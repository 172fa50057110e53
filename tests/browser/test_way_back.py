"""The way back leads to where one was; what is come to anew begins at its top."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import ESTATE, Visit, start_afresh

SHOWN = "(name) => document.querySelector('#screen > .page')?.classList.contains(name)"


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    # Short enough that every list is longer than the screen.
    phone = start_afresh(kept_phone)
    phone.page.set_viewport_size({"width": 390, "height": 500})
    yield phone
    kept_phone.check()


def read_down(phone: Phone, pixels: int) -> None:
    phone.ask("(pixels) => scrollTo(0, pixels)", pixels)
    phone.wait_for("(pixels) => scrollY === pixels", pixels)


def go(phone: Phone, address: str, name: str) -> None:
    phone.ask("(address) => void (location.hash = address)", address)
    phone.wait_for(SHOWN, name)


@pytest.mark.parametrize(
    ("address", "name"),
    [("#/cars", "cars-page"), (f"#/plan/{ESTATE}", "plan"), ("#/due", "due-page"), ("#/garage", "garage")],
)
def test_the_browsers_way_back_leads_to_where_one_was(phone: Phone, address: str, name: str) -> None:
    go(phone, address, name)
    phone.wait_for("document.documentElement.scrollHeight > innerHeight + 180")
    read_down(phone, 170)
    go(phone, "#/phone", "phone-page")
    assert phone.ask("scrollY") == 0

    phone.page.go_back()

    phone.wait_for(SHOWN, name)
    phone.wait_for("scrollY === 170")


def test_the_pages_own_way_back_leads_to_where_one_was(phone: Phone) -> None:
    go(phone, "#/cars", "cars-page")
    read_down(phone, 150)
    go(phone, f"#/plan/{ESTATE}", "plan")

    phone.page.locator(".plan > header button").click()

    phone.wait_for(SHOWN, "cars-page")
    phone.wait_for("scrollY === 150")


def test_a_sheet_goes_with_its_screen_and_keeps_what_was_half_written(phone: Phone) -> None:
    cannot = "button:text-is('Can’t do it')"
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")
    written = phone.page.locator("dialog textarea")
    visit.press(cannot)
    written.press_sequentially("Head is rounded")

    phone.page.go_back()

    phone.wait_for(SHOWN, "cars-page")
    phone.page.locator("dialog").wait_for(state="detached")
    visit.show().press(cannot)
    assert written.input_value() == "Head is rounded"


def test_the_way_back_from_the_record_passes_the_closed_visit_by(phone: Phone) -> None:
    visit = Visit(phone, ["power-steering"]).walk()

    visit.hold(".hold-button", 1200)
    phone.page.wait_for_url("**/#/record/*")
    phone.page.go_back()

    phone.wait_for(SHOWN, "cars-page")


def test_a_place_that_is_come_to_anew_begins_at_its_top(phone: Phone) -> None:
    go(phone, f"#/plan/{ESTATE}", "plan")
    read_down(phone, 170)
    phone.page.locator(".plan > header button").dispatch_event("click")
    phone.wait_for(SHOWN, "cars-page")

    phone.page.locator(".car-card", has_text="Fellside").get_by_role("button").click()

    phone.wait_for(SHOWN, "plan")
    assert phone.ask("scrollY") == 0


def test_every_step_begins_at_its_top_also_with_enlarged_text(phone: Phone) -> None:
    session = phone.context.new_cdp_session(phone.page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 32}})
    visit = Visit(phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")
    moved = "document.querySelector('.frame > .body').scrollTop + scrollY"
    phone.ask("() => { scrollTo(0, 300); document.querySelector('.frame > .body').scrollTop = 300; }")
    assert phone.ask(moved) > 50

    visit.press(".kind-foot .action")

    visit.shown("transfer-case/take-out-fill-plug")
    phone.wait_for(f"{moved} === 0")
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})
    session.detach()
