"""Two people on one car, each with a phone: who did what is told on both, and no hand loses its place."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from phones import Phone, Server
from playwright.sync_api import Browser, expect
from screen_visits import Visit, make_phone, start_afresh

GEAR = ["transfer-case"]
DRAIN = "transfer-case/drain"
LOOSEN = "transfer-case/loosen-fill-plug"
SAY = "([id, payload]) => fillfirst.record(id, 'state-confirmed', payload).then(() => 1)"
FINISH = "([id, step]) => fillfirst.record(id, 'step-done', { step }).then(() => 1)"
LOAD = "(id) => fillfirst.loadVisit(id).then(() => 1)"
RECORD = "(id) => fetch(`/api/visits/${id}/record.json`).then((answer) => answer.json())"
TYPED = "(id) => Object.values(fillfirst.visit(id).visit.readings).flat().map(({ typed }) => typed)"
CLOSE = "(id) => fillfirst.record(id, 'visit-closed', { figures: {}, by: 'Ada' }).then(() => 1)"


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


@pytest.fixture
def other(workshop: Server, chromium: Browser) -> Iterator[Phone]:
    made = make_phone(chromium, workshop)
    yield made
    made.check()
    made.context.close()


def join(phone: Phone, other: Phone, visit: Visit) -> None:
    """Let the second phone show the visit that the first began."""
    phone.sync()
    other.sync()
    other.ask(LOAD, visit.id)
    other.page.evaluate("(id) => { location.hash = `#/work/${id}`; }", visit.id)
    other.page.locator(".foot-slot[data-step]").wait_for(state="attached")


def meet(*phones: Phone) -> None:
    for phone in (*phones, *phones):
        phone.restore()
        phone.sync()
        phone.wait_until_sent()


def test_two_work_out_of_touch_and_meet_with_both_names(phone: Phone, other: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=LOOSEN)
    join(phone, other, visit)
    page = other.page
    page.get_by_label("Who works here?").fill("Bea")
    other.settle()
    page.get_by_role("button", name="That is me").click()
    page.get_by_label("Who works here?").wait_for(state="hidden")
    for one in (phone, other):
        one.cut()

    page.locator("input[type=file]").set_input_files(
        {"name": "plug.jpg", "mimeType": "image/jpeg", "buffer": page.screenshot(type="jpeg", quality=40)}
    )
    page.locator(".row button", has_text="1 photo").wait_for()
    # Bea ticks the step on her screen; Ada does another, and tells the undertray differently.
    other.settle()
    page.locator(".kind-foot .action").click()
    other.wait_for("([id, step]) => fillfirst.visit(id).visit.next !== step", [visit.id, LOOSEN])
    later = (
        "(id) => fillfirst.visit(id).composition.steps.find((one) => one.step === 'transfer-case/drain').id"
    )
    drain = phone.ask(later, visit.id)
    phone.ask(FINISH, [visit.id, drain])
    phone.ask(SAY, [visit.id, {"variable": "undertray", "value": "open"}])
    other.ask(SAY, [visit.id, {"variable": "undertray", "value": "closed"}])
    meet(phone, other)

    # Ada keeps the step under her hand, and is told that Bea has done it.
    visit.page.locator(".moved-on", has_text="Bea has done this step").wait_for()
    assert visit.page.locator(f".foot-slot[data-step='{LOOSEN}']").count() == 1
    for one in (phone, other):
        question = one.page.locator(".together .contradiction")
        question.wait_for()
        assert "Ada: open" in question.inner_text()
        assert "Bea: closed" in question.inner_text()
    question = visit.page.locator(".together .contradiction")
    visit.phone.settle()
    question.get_by_role("button", name="open").click()
    question.wait_for(state="detached")
    visit.phone.settle()
    visit.page.locator(".moved-on button").click()
    visit.page.locator(f".foot-slot[data-step='{LOOSEN}']").wait_for(state="detached")
    meet(phone, other)
    other.page.locator(".together .contradiction").wait_for(state="detached")

    for one, name in ((phone, "Bea"), (other, "Ada")):
        one.page.locator(".others", has_text=f"{name} is on it too").wait_for()
        one.settle()
        one.page.locator(".where-one-is").click()
        one.page.locator("dialog .day-phase").first.wait_for()
        assert one.page.locator("dialog li", has_text="Bea").count() == 1
        assert one.page.locator("dialog li", has_text="Ada").count() > 1
        one.page.keyboard.press("Escape")
    other.settle()
    other.page.locator(".open-pill").click()
    other.page.locator(".open-screen").wait_for()
    assert "Begun by Ada" in other.page.locator(".others").inner_text()

    phone.ask(CLOSE, visit.id)
    meet(phone, other)
    steps = {step["id"]: step["by"] for step in phone.ask(RECORD, visit.id)["steps"]}
    assert (steps[LOOSEN], steps[drain]) == ("Bea", "Ada")
    visit.go(f"#/record/{visit.id}")
    visit.page.locator(".record-steps li", has_text="Bea").wait_for(state="attached")
    visit.page.locator(".record-photos li", has_text="Bea").wait_for(state="attached")
    signed = "(id) => fillfirst.visit(id).events.find(({ kind }) => kind === 'photo-taken').payload.by"
    assert phone.ask(signed, visit.id) == "Bea"


def test_what_comes_in_leaves_a_half_typed_number_alone(phone: Phone, other: Phone) -> None:
    visit = Visit(phone, GEAR).walk(kind="measure")
    step = visit.next
    join(phone, other, visit)
    visit.press(".kind-foot .action")
    visit.type("12")
    other.ask(FINISH, [visit.id, step])
    meet(other, phone)

    visit.page.locator(".moved-on", has_text="another phone has done this step").wait_for()
    assert visit.page.locator("#quantity").input_value() == "12"
    visit.phone.settle()
    visit.page.locator(".moved-on button").click()
    visit.wait_until_next_is_not(step)


def test_a_visit_that_another_closes_leaves_a_half_typed_number_to_be_kept(
    phone: Phone, other: Phone
) -> None:
    visit = Visit(phone, GEAR).walk(kind="measure")
    join(phone, other, visit)
    visit.press(".kind-foot .action")
    visit.type("12")
    other.ask(CLOSE, visit.id)
    meet(other, phone)

    visit.page.locator(".moved-on", has_text="Ada has closed this visit").wait_for()
    visit.press(".keep")
    visit.press(".kind-foot .action")
    visit.page.wait_for_url(f"**/#/record/{visit.id}")
    assert phone.ask(TYPED, visit.id) == ["12"]


def test_a_car_that_one_closes_up_is_taken_up_again_by_the_other(phone: Phone, other: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=DRAIN)
    join(phone, other, visit)
    visit.go(f"#/open/{visit.id}")
    visit.press(".make-safe-offer")
    phone.page.locator(".safe-list [data-step]").first.wait_for()
    visit.press(".open-screen footer .action")
    phone.page.locator(".foot-slot[data-step]").wait_for(state="attached")
    meet(phone, other)
    other.page.locator(".closing-note").wait_for()
    said = other.page.locator(".closing-note p").inner_text()
    other.settle()
    other.page.locator(".closing-note button").click()
    other.page.locator(".safe-list [data-step]").first.wait_for()
    other.settle()
    other.page.locator(".open-screen footer .second").click()
    other.page.locator(f".foot-slot[data-step='{DRAIN}']").wait_for(state="attached")
    meet(phone, other)

    assert said.startswith("Being closed up since")
    assert said.endswith("by Ada.")
    (told,) = phone.ask("(id) => fillfirst.visit(id).visit.closings", visit.id)
    assert told["again"]["device"] != told["device"]
    assert phone.ask("(id) => fillfirst.visit(id).visit.closing_up", visit.id) is None
    visit.go(f"#/record/{visit.id}")
    on_sheet = visit.page.locator(".record .closed-up li")
    for view in ("The whole record", "For the customer"):
        visit.page.get_by_text(view, exact=True).click()
        expect(on_sheet).to_have_text(re.compile("^Closed up .* by Ada.* taken up again"))


def test_back_one_names_another_persons_step_and_asks_first(phone: Phone, other: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=LOOSEN)
    join(phone, other, visit)
    other.ask(
        "([id, step]) => fillfirst.record(id, 'step-done', { step, by: 'Bea' }).then(() => 1)",
        [visit.id, LOOSEN],
    )
    meet(other, phone)
    visit.page.locator(".moved-on", has_text="Bea has done this step").wait_for()
    visit.press(".moved-on button")
    visit.page.locator(f".foot-slot[data-step='{LOOSEN}']").wait_for(state="detached")
    step = visit.next

    visit.press("button:text-is('Back one')")
    sheet = visit.page.locator("dialog", has_text="Bea has done this step")
    sheet.wait_for()
    sheet.locator(".foot > .second").last.click()
    sheet.wait_for(state="detached")
    assert visit.next == step
    visit.press("button:text-is('Back one')")
    visit.press("dialog .action")

    phone.wait_for("([id, step]) => fillfirst.visit(id).visit.next === step", [visit.id, LOOSEN])
