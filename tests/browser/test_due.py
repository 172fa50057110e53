"""What is due, on the phone: typed and worked out without a network, and the same on the server."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from phones import Phone
from playwright.sync_api import expect
from screen_visits import Visit, start_afresh

#: An own car with two authorities for its oil, that was serviced 200 days ago and read twice since.
TYPE_IN = """
async (title) => {
  const garage = await fillfirst.loadGarage();
  const id = await garage.addCar({ title, plate: "DEMO T" });
  const day = (before) => {
    const then = new Date(Date.now() - before * 864e5);
    const parts = [then.getFullYear(), then.getMonth() + 1, then.getDate()];
    return parts.map((part) => String(part).padStart(2, "0")).join("-");
  };
  const source = { kind: "makers-manual", reference: "schedule, p. 7" };
  const write = (fact, value) => garage.writeFact(id, { fact, value, source, doubt: "so it says" });
  await write("powertrain", "combustion");
  await write("engine_oil_maker_distance", 15000000);
  await write("engine_oil_severe_distance", 7500000);
  for (const [before, km] of [[200, 60000], [150, 62000], [100, 64000]]) {
    const done = { date: day(before), odometer_m: km * 1000, source: { kind: "owner", reference: "bill" } };
    await garage.note(id, "service-noted", { job: "engine-oil", ...done });
  }
  return id;
}
"""

COUNTS_HOURS = """
async (id) => {
  const garage = await fillfirst.loadGarage();
  const source = { kind: "makers-manual", reference: "schedule, p. 7" };
  await garage.writeFact(id, { fact: "engine_oil_maker_hours", value: 1800000, source, doubt: "so it says" });
}
"""

#: Every step left out: only the last card is shown.
PASS_OVER = """
async (id) => {
  while (fillfirst.visit(id).visit.next) {
    await fillfirst.record(id, "step-skipped", { step: fillfirst.visit(id).visit.next, reason: "test" });
  }
}
"""

HOURS = """
async (id) => {
  const { hours } = await (await fillfirst.loadGarage()).readHistory(id);
  return hours.some(({ value }) => value === 4442400);
}
"""

#: The due list as the screen has it, and as the server has it, of one car.
COMPARE = """
async (id) => {
  const base = document.querySelector("script[type=module]").src;
  const { listAllDue, findToday } = await import(new URL("./app/due.js", base).href);
  const here = (await listAllDue(fillfirst, findToday())).find(({ car }) => car === id);
  const there = (await (await fetch("/api/due")).json()).cars.find(({ car }) => car === id);
  return [here.services, there.services];
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def go_to_due(phone: Phone) -> None:
    phone.page.evaluate("location.hash = '#/due'")
    phone.page.locator(".due-car").first.wait_for()


def row_of(phone: Phone, car: str, service: str) -> Any:
    return phone.page.locator(f".due-car[data-car='{car}'] .due-row", has_text=service)


def test_the_strictest_counts_until_another_is_chosen_all_of_it_without_a_network(phone: Phone) -> None:
    car = phone.ask(TYPE_IN, "Tern")
    phone.cut()
    go_to_due(phone)
    row = row_of(phone, car, "Engine oil")
    row.get_by_text("7500 km, severe use").or_(row.get_by_text("7,500 km, severe use")).wait_for()

    row.locator("button").click()
    sheet = phone.page.locator("dialog.due-sheet")
    sheet.locator(".choice", has_text="The maker of the car").click()
    sheet.get_by_role("button", name="Go by this").click()
    row.get_by_text("km, maker of the car").wait_for()
    phone.reload()
    go_to_due(phone)

    row_of(phone, car, "Engine oil").get_by_text("km, maker of the car").wait_for()


def test_the_server_lists_the_same_days_as_the_phone(phone: Phone) -> None:
    car = phone.ask(TYPE_IN, "Gull")
    phone.sync()
    phone.wait_until_sent()

    here, there = phone.ask(COMPARE, car)

    assert len(here) > 0
    assert here == there


def test_what_was_done_elsewhere_is_typed_in_with_what_shows_it(phone: Phone) -> None:
    car = phone.ask(TYPE_IN, "Heron")
    go_to_due(phone)
    section = phone.page.locator(f".due-car[data-car='{car}']")
    section.get_by_text("Not known when last done").click()
    section.locator(".due-row", has_text="Brake fluid").locator("button").click()
    phone.page.get_by_role("button", name="It was done elsewhere").click()
    phone.page.get_by_role("button", name="Keep").click()
    phone.page.locator("dialog .field[data-wrong]").first.wait_for()
    phone.page.get_by_label("On which day").fill("2026-01-05")
    phone.page.get_by_label("What shows it").fill("stamp in the book")

    phone.page.get_by_role("button", name="Keep").click()
    brakes = row_of(phone, car, "Brake fluid")
    brakes.get_by_text("2 years, common practice").wait_for()

    assert "2028" in brakes.inner_text()


def test_a_recheck_comes_up_by_itself_and_goes_when_somebody_has_looked(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk()
    visit.go("#/cars")
    phone.ask("(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' })", visit.id)
    go_to_due(phone)
    rechecks = phone.page.locator(".due-rechecks")
    rechecks.get_by_text("Levels and floor, cold").click()

    phone.page.get_by_role("button", name="Looked, all is well").click()
    rechecks.get_by_text("Levels and floor, cold").wait_for(state="detached")

    assert rechecks.get_by_text("Levels and floor, after a week").is_visible()


def test_what_is_looked_at_first_stands_first_and_says_whether_it_is_due(phone: Phone) -> None:
    visit = Visit(phone, ["transfer-case"]).walk()
    visit.go("#/cars")
    phone.ask("(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' })", visit.id)
    go_to_due(phone)

    rows = phone.page.locator(".due-rechecks").first.locator("li")
    rows.first.wait_for()
    titles = rows.locator("b").all_inner_texts()

    assert titles.index("Levels and floor, cold") < titles.index("Levels and floor, after a week")
    assert rows.filter(has_text="Levels and floor, cold").locator(".quiet").inner_text().startswith("soon")


def test_a_recheck_that_nobody_makes_is_given_up_with_a_reason(phone: Phone) -> None:
    visit = Visit(phone, ["front-final-drive"]).walk()
    visit.go("#/cars")
    phone.ask("(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' })", visit.id)
    go_to_due(phone)
    rechecks = phone.page.locator(".due-rechecks")
    rechecks.get_by_text("Levels and floor, after a week").click()
    give_up = phone.page.get_by_role("button", name="Nobody looks any more")
    give_up.click()
    phone.page.get_by_text("it stays on the record").wait_for()

    phone.page.get_by_label("What was found, or why nobody looks").fill("sold the day after")
    give_up.click()
    rechecks.get_by_text("Levels and floor, after a week").wait_for(state="detached")

    visit.go(f"#/record/{visit.id}")
    phone.page.locator(".record-after", has_text="sold the day after").get_by_text("given up").wait_for()


def test_the_meter_of_hours_is_read_at_closing_where_the_car_counts_them(phone: Phone) -> None:
    car = str(phone.ask(TYPE_IN, "Coot"))
    phone.ask(COUNTS_HOURS, car)
    visit = Visit(phone, ["engine-oil"], car=car)
    phone.ask(PASS_OVER, visit.id)
    phone.cut()
    visit.go(f"#/work/{visit.id}")
    phone.page.get_by_label("The meter of hours shows").fill("1,234")
    visit.press("[aria-label='Which of the two?'] button:has-text('1234')")

    visit.hold(".action", 1500)

    phone.wait_for("location.hash.startsWith('#/record/')")
    phone.wait_for(HOURS, car)
    phone.restore()
    phone.wait_until_sent()


def test_what_is_half_written_on_the_last_card_outlives_a_reload(phone: Phone) -> None:
    car = str(phone.ask(TYPE_IN, "Dipper"))
    phone.ask(COUNTS_HOURS, car)
    visit = Visit(phone, ["engine-oil"], car=car)
    phone.ask(PASS_OVER, visit.id)
    visit.go(f"#/work/{visit.id}")
    phone.page.get_by_label("The meter of hours shows").fill("12")
    phone.page.get_by_label("Closed by").fill("Ada and B")

    phone.reload()
    phone.page.locator(".open-screen").wait_for()
    visit.go(f"#/work/{visit.id}")

    expect(phone.page.get_by_label("The meter of hours shows")).to_have_value("12")
    expect(phone.page.get_by_label("Closed by")).to_have_value("Ada and B")


def test_an_address_for_calendars_is_made_and_serves_what_is_due(phone: Phone) -> None:
    car = phone.ask(TYPE_IN, "Wren")
    phone.sync()
    phone.wait_until_sent()
    go_to_due(phone)
    phone.page.get_by_text("In your calendar").click()
    phone.page.get_by_label("For whom or what").fill("kitchen")
    phone.page.get_by_role("button", name="Make an address").click()
    address = phone.page.locator("dialog .address").inner_text()

    served = phone.ask("async (address) => (await fetch(address)).text()", address)

    assert address.endswith(".ics")
    assert f"engine-oil.{car}@fillfirst" in served.replace("\r\n ", "")
