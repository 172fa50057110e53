"""What drips or cools goes on while hands are elsewhere: a hold may count from what began it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import Visit, start_afresh

STEP = "engine-oil/let-it-drip"
#: Time goes by, for the clock and for what the page sees itself run, by asking and by the frames it draws.
LATER = """(later) => {
  for (const of of [Date, performance]) { const now = of.now.bind(of); of.now = () => now() + later; }
  const draw = window.requestAnimationFrame.bind(window);
  window.requestAnimationFrame = (then) => draw((ran) => then(ran + later));
}"""
QUARTER_HOUR_MS = 15 * 60_000


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def test_oil_that_dripped_while_hands_were_elsewhere_is_not_waited_for_again(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"]).walk(id=STEP)

    phone.ask(LATER, QUARTER_HOUR_MS)
    visit.page.locator(".timer[data-over]").wait_for()
    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not(STEP)

    assert visit.next == "engine-oil/measure-out"


def test_a_drip_that_is_started_counts_from_when_the_oil_began_to_run(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"]).walk(id=STEP)

    phone.ask(LATER, QUARTER_HOUR_MS // 3)
    visit.press(".kind-foot .action")
    visit.page.locator(".kind-foot .action[aria-disabled=true]").wait_for()

    # 14 minutes less five; the machine may have taken its time.
    assert int(visit.read(".timer .digits").split(":")[0]) <= 9
