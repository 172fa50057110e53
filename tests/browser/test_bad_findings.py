"""What is found and is not well: the step stands still or leads back, and the finding stays on the record."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import Visit, start_afresh


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def choose(visit: Visit, label: str) -> None:
    visit.page.locator(".finding", has_text=label).wait_for()
    visit.press(f".finding:has-text('{label}')")


def test_a_wrong_label_stands_still_until_the_right_one_is_here(phone: Phone) -> None:
    step = "engine-oil/check-approval"
    visit = Visit(phone, ["engine-oil"]).walk(id=step)

    choose(visit, "Something else is on it")
    assert "The engine stays closed." in visit.read(".back-says")
    visit.press(".kind-foot .action:has-text('look again')")
    choose(visit, "Approval and grade are on it")
    visit.wait_until_next_is_not(step)

    status = visit.status(step)
    assert status is not None
    assert status["finding"] == "match"
    assert phone.ask("(id) => fillfirst.visit(id).visit.found", visit.id) == {step: ["other"]}


def test_an_engine_that_overheats_is_switched_off_and_led_back(phone: Phone) -> None:
    visit = Visit(phone, ["coolant-main"]).walk(id="coolant-main/warm-up")

    visit.press(".kind-foot .action")
    visit.keep("121")
    visit.page.locator(".back-says").wait_for()
    visit.press(".kind-foot .action")
    visit.shown("coolant-main/before-warm-up")

    variables = phone.ask("(id) => fillfirst.visit(id).visit.variables", visit.id)
    assert variables["engine"] == "off"
    assert visit.next == "coolant-main/before-warm-up"
