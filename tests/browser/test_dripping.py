"""What drips or cools goes on while hands are elsewhere: a hold may count from what began it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import TIME_GOES_BY, Visit, start_afresh

STEP = "engine-oil/let-it-drip"
QUARTER_HOUR_MS = 15 * 60_000


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def test_oil_that_dripped_while_hands_were_elsewhere_is_not_waited_for_again(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"]).walk(id=STEP)

    phone.ask(TIME_GOES_BY, QUARTER_HOUR_MS)
    visit.page.locator(".timer[data-over]").wait_for()
    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not(STEP)

    assert visit.next == "engine-oil/measure-out"


def test_a_drip_that_is_started_counts_from_when_the_oil_began_to_run(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"]).walk(id=STEP)

    phone.ask(TIME_GOES_BY, QUARTER_HOUR_MS // 3)
    visit.press(".kind-foot .action")
    visit.page.locator(".kind-foot .action[aria-disabled=true]").wait_for()

    # 14 minutes less five; the machine may have taken its time.
    assert int(visit.read(".timer .digits").split(":")[0]) <= 9
