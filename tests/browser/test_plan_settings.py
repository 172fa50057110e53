"""How it is done today, as a plan asks it: what is typed stays, what is proposed says whose word it is."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from playwright.sync_api import Locator, expect
from screen_visits import start_afresh

ESTATE, VAN = "fellside-estate", "churn-van"
PLATES = {ESTATE: "DEMO 101", VAN: "DEMO 303"}
HEIGHT = "#setting-site_altitude"
CHOSEN = "input[name=service][value=coolant-main]"


# An own car that is in everything like a demo car, but that nobody has read the odometer of.
TYPE_IN = """
async (like) => {
  const garage = await fillfirst.loadGarage();
  const id = await garage.addCar({ title: "Our tern", plate: "DEMO 77" });
  for (const [fact, { value, source }] of Object.entries(fillfirst.catalog.vehicles[like].facts)) {
    await garage.writeFact(id, { fact, value, source, doubt: "so it says" });
  }
  return id;
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def open_settings(phone: Phone, car: str) -> Locator:
    """The settings of a coolant service; the field of the height."""
    phone.ask("(address) => void (location.hash = address)", f"#/plan/{car}")
    # Of this car: another's plan may still be on the screen.
    phone.page.locator(".plan header .plate", has_text=PLATES[car]).wait_for()
    # What the phone holds of this plan has come in.
    phone.page.locator(".garage-hint:visible").wait_for()
    if not phone.page.locator(CHOSEN).is_checked():
        phone.page.locator(CHOSEN).dispatch_event("click")
    phone.page.locator("[data-section=settings] > summary").click()
    return phone.page.locator(HEIGHT)


def type_height(phone: Phone, text: str) -> None:
    phone.page.locator(HEIGHT).fill(text)
    phone.page.locator(HEIGHT).press("Tab")


def test_what_was_typed_outlives_a_reload_and_the_next_plan_proposes_it(phone: Phone) -> None:
    phone.cut()
    height, whose = open_settings(phone, ESTATE), phone.page.locator(f"{HEIGHT}-whose")
    expect(whose).to_have_text("Assumed: nobody has said it yet.")
    type_height(phone, "410")
    expect(whose).to_be_hidden()

    phone.reload()
    expect(open_settings(phone, ESTATE)).to_have_value("410")
    expect(whose).to_be_hidden()
    phone.page.get_by_role("button", name="Start the visit").click()
    phone.wait_for("location.hash.startsWith('#/work/')")
    begun = phone.ask("fillfirst.visits()[0].settings.site_altitude")
    height = open_settings(phone, VAN)

    assert begun == 410
    expect(height).to_have_value("410")
    expect(whose).to_contain_text("As at the visit of")
    phone.restore()
    phone.wait_until_sent()


def test_no_visit_begins_with_a_height_that_cannot_be(phone: Phone) -> None:
    height = open_settings(phone, VAN)
    type_height(phone, "9000")

    phone.page.get_by_role("button", name="Start the visit").click()

    expect(height).to_be_focused()
    assert phone.ask("location.hash") == f"#/plan/{VAN}"


def test_no_visit_begins_at_a_nought_that_nobody_has_read(phone: Phone) -> None:
    car = str(phone.ask(TYPE_IN, VAN))
    phone.ask("(address) => void (location.hash = address)", f"#/plan/{car}")
    phone.page.locator(".plan header .plate", has_text="DEMO 77").wait_for()
    phone.page.locator("input[name=service]").first.dispatch_event("click")
    odometer = phone.page.locator("#odometer")
    expect(odometer).to_have_value("")

    phone.page.get_by_role("button", name="Start the visit").click()

    expect(odometer).to_be_focused()
    assert phone.ask("fillfirst.visits().filter((visit) => visit.car.plate === 'DEMO 77').length") == 0
    phone.wait_until_sent()


def test_a_height_that_is_emptied_says_again_what_holds(phone: Phone) -> None:
    height = open_settings(phone, VAN)
    held = height.input_value()

    type_height(phone, "")

    expect(height).to_have_value(held)
