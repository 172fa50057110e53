"""A clock that is set while a wait runs is asked about; sleep, and time that goes by, are not."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from phones import Phone
from screen_visits import Visit, start_afresh

GEAR = ["transfer-case"]
GEARBOX = ["automatic-gearbox", "engine-oil"]
DRAIN = "transfer-case/drain"
NOW = datetime(2026, 5, 4, 10, 0)
HIDE = """(state) => {
  Object.defineProperty(document, "visibilityState", { configurable: true, get: () => state });
  document.dispatchEvent(new Event("visibilitychange"));
}"""
WAIT = """([id, step]) => {
  const timer = fillfirst.visit(id).visit.timers[step];
  return { ...timer, gone_s: (Date.now() - timer.started_ms) / 1000 };
}"""
QUESTION = ".clock-set:not([hidden])"


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    page = kept_phone.context.new_page()
    old, kept_phone.page = kept_phone.page, page
    page.clock.install(time=NOW)
    yield start_afresh(kept_phone)
    kept_phone.check()
    kept_phone.page = old
    page.close()


def run(phone: Phone, seconds: int) -> None:
    phone.page.clock.run_for(1000 * seconds)


def set_clock(phone: Phone, by: timedelta) -> None:
    """The wall clock moves; what the page sees itself run does not."""
    now = phone.ask("() => Date.now()")
    phone.page.clock.set_system_time((now + by.total_seconds() * 1000) / 1000)
    run(phone, 2)


def begin(phone: Phone, jobs: list[str], **until: str) -> Visit:
    visit = Visit(phone, jobs).walk(**until)
    run(phone, 1)
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    run(phone, 30)
    return visit


@pytest.mark.parametrize(
    ("by_h", "says", "clock"), [(1, "forward by 1 h", "1 h 1 min"), (-1, "back by 1 h", None)]
)
def test_a_clock_that_is_set_is_asked_about_and_the_running_time_may_stand(
    phone: Phone, by_h: int, says: str, clock: str | None
) -> None:
    visit = begin(phone, GEAR, id=DRAIN)
    before = phone.ask(WAIT, [visit.id, DRAIN])

    set_clock(phone, timedelta(hours=by_h))
    visit.page.locator(QUESTION, has_text=says).wait_for()
    offers = visit.page.locator(".kind-foot button").all_inner_texts()
    visit.press(".kind-foot .action")
    visit.page.locator(QUESTION).wait_for(state="hidden")
    after = phone.ask(WAIT, [visit.id, DRAIN])

    assert any("by the clock" in offer for offer in offers) is (clock is not None)
    assert after["event"] != before["event"]
    assert before["gone_s"] <= after["gone_s"] <= before["gone_s"] + 10
    visit.page.locator(".action[aria-disabled=true]").wait_for()


def test_the_clock_may_be_believed_instead(phone: Phone) -> None:
    visit = begin(phone, GEAR, id=DRAIN)

    set_clock(phone, timedelta(minutes=5))
    visit.page.locator(QUESTION).wait_for()
    visit.press(".kind-foot .second")
    visit.page.locator(QUESTION).wait_for(state="hidden")
    run(phone, 5)

    assert phone.ask(WAIT, [visit.id, DRAIN])["gone_s"] > 300
    assert visit.page.locator(QUESTION).count() == 0


def test_the_question_outlives_a_reload(phone: Phone) -> None:
    visit = begin(phone, GEAR, id=DRAIN)
    set_clock(phone, timedelta(hours=1))
    visit.page.locator(QUESTION).wait_for()

    phone.reload()
    visit.show()

    visit.page.locator(QUESTION, has_text="forward by 1 h").wait_for()


def test_a_start_that_lies_ahead_after_a_reload_is_asked_about(phone: Phone) -> None:
    visit = begin(phone, GEAR, id=DRAIN)
    phone.ask(HIDE, "hidden")
    set_clock(phone, timedelta(hours=-2))

    phone.reload()
    visit.show()
    visit.page.locator(QUESTION, has_text="yet to come").wait_for()
    visit.press(".kind-foot .action")
    visit.page.locator(QUESTION).wait_for(state="hidden")

    assert 0 <= phone.ask(WAIT, [visit.id, DRAIN])["gone_s"] < 30


def test_sleep_is_no_clock_that_was_set(phone: Phone) -> None:
    visit = begin(phone, GEAR, id=DRAIN)

    phone.ask(HIDE, "hidden")
    set_clock(phone, timedelta(minutes=40))
    phone.ask(HIDE, "visible")
    run(phone, 3)
    visit.page.locator(".timer[data-over]").wait_for()

    assert visit.page.locator(QUESTION).count() == 0


def test_time_that_goes_by_in_sight_is_not_asked_about(phone: Phone) -> None:
    visit = begin(phone, GEAR, id=DRAIN)

    phone.page.clock.fast_forward(40 * 60_000)
    run(phone, 2)
    visit.page.locator(".timer[data-over]").wait_for()

    assert visit.page.locator(QUESTION).count() == 0


def test_a_position_that_is_put_right_counts_as_one(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(kind="cycle")
    run(phone, 1)
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    held = visit.page.locator(".cycle .position").inner_text()

    set_clock(phone, timedelta(hours=1))
    visit.page.locator(QUESTION).wait_for()
    visit.press(".kind-foot .action")
    visit.page.locator(QUESTION).wait_for(state="hidden")

    assert visit.page.locator(".cycle .position").inner_text() == held
    assert visit.page.locator(".positions [data-turn=done]").count() == 0


@pytest.mark.parametrize("by_min", [1, -1])
def test_a_reading_whose_moment_cannot_be_told_is_read_again(phone: Phone, by_min: int) -> None:
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/watch-temperature")
    run(phone, 1)
    visit.press(".kind-foot .action")
    visit.keep("37")
    visit.page.locator(".standing[data-standing=inside]").wait_for()
    run(phone, 2)

    set_clock(phone, timedelta(minutes=by_min))

    visit.page.locator(".standing[data-standing=old]", has_text="clock was set").wait_for()
    assert visit.page.locator(".kind-foot .action").inner_text() == "Enter a reading"
