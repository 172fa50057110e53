"""When a window opens and closes, as the Work screen tells it from the readings."""

from __future__ import annotations

from phones import Phone
from screen_visits import Visit

GEARBOX = ["automatic-gearbox", "engine-oil"]


def read_each_minute(phone: Phone, readings: list[str]) -> Visit:
    phone.page.clock.install()
    phone.reload()
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/watch-temperature")
    for reading in readings:
        phone.page.clock.run_for(600)
        visit.press(".kind-foot .action")
        visit.keep(reading)
        visit.page.locator(".standing[data-standing=below]").wait_for()
        phone.page.clock.fast_forward(60_000)
    phone.page.clock.run_for(2_000)
    return visit


def test_readings_that_rise_tell_from_when_to_when_the_window_opens(phone: Phone) -> None:
    visit = read_each_minute(phone, ["18", "21,2", "24,3", "27", "29,6"])

    said = visit.page.locator(".standing").inner_text()

    assert "Opens in" in said
    assert "Read again" in said
    assert visit.page.locator(".chart .crossing").count() >= 1


def test_three_readings_are_too_few_to_tell_when(phone: Phone) -> None:
    visit = read_each_minute(phone, ["20", "23", "25,6"])

    assert visit.page.locator(".standing").inner_text() == "Too few readings to tell when."


def test_two_readings_tell_nothing(phone: Phone) -> None:
    visit = read_each_minute(phone, ["20", "23"])

    assert visit.page.locator(".standing").inner_text() == "Not yet. Read again soon."
    assert visit.page.locator(".chart .crossing").count() == 0


def test_a_time_that_has_gone_by_is_not_told_again(phone: Phone) -> None:
    visit = read_each_minute(phone, ["18", "21,2", "24,3", "27", "29,6"])

    phone.page.clock.fast_forward(30 * 60_000)
    phone.page.clock.run_for(2_000)

    assert visit.page.locator(".standing").inner_text() == "Not yet. Read again soon."
