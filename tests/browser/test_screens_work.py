"""The Work screen as a gloved hand meets it: presses, numbers, timers, stops, and the ways back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones import Phone
from playwright.sync_api import expect
from screen_visits import LOCKED_FOR, Visit, start_afresh

GEAR = ["transfer-case"]
#: Far from the time that a hold takes, on either side: a busy machine is late with both ends of a press.
SHORT_MS, LONG_MS = 50, 1_800
GEARBOX = ["automatic-gearbox", "engine-oil"]


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.check()


def test_one_press_ticks_the_step_and_the_next_one_is_named(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")

    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")

    heading = visit.shown("transfer-case/take-out-fill-plug").locator("h1").inner_text()
    assert visit.page.title().startswith(heading)
    assert visit.page.evaluate("document.activeElement.tagName") == "H1"


def test_a_second_tap_in_the_same_moment_is_taken_for_a_leftover(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")

    box = visit.page.locator(".kind-foot .action").bounding_box()
    assert box
    spot = [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2]
    visit.page.evaluate(TAP_AND_TAP_AGAIN, [*spot, "transfer-case/loosen-fill-plug"])
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")
    visit.page.wait_for_timeout(300)

    assert visit.next == "transfer-case/take-out-fill-plug"


# Taps, and taps on as soon as the next step's button lies under the same finger: from inside, since a busy
# machine lets too much time pass between taps from outside.
TAP_AND_TAP_AGAIN = """
async ([x, y, step]) => {
  const tap = () => {
    const under = document.elementFromPoint(x, y);
    under.dispatchEvent(new MouseEvent("click", { detail: 1, bubbles: true }));
  };
  tap();
  while (document.querySelector(".foot-slot").dataset.step === step) await new Promise(requestAnimationFrame);
  for (let more = 0; more < 3; more++) tap();
}
"""


DONE = "([id, step]) => fillfirst.visit(id).visit.steps[step]?.status === 'done'"


def test_a_slow_phone_takes_one_tap_for_one_step_and_keeps_it(phone: Phone) -> None:
    step = "transfer-case/loosen-fill-plug"
    visit = Visit(phone, GEAR).walk(id=step)
    box = visit.page.locator(".kind-foot .action").bounding_box()
    assert box
    spot = [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2]
    session = phone.context.new_cdp_session(phone.page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})

    try:
        visit.page.evaluate(TAP_AND_TAP_AGAIN, [*spot, step])
        visit.wait_until_next_is_not(step)
        after_many = visit.next
        visit.press(".undo-bar button")
        visit.shown(step)
        phone.settle()
        visit.page.touchscreen.tap(*spot)
        visit.wait_until_next_is_not(step)
        visit.shown("transfer-case/take-out-fill-plug")
        phone.reload()
    finally:
        session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        session.detach()

    phone.wait_for(DONE, [visit.id, step])
    assert after_many == visit.next == "transfer-case/take-out-fill-plug"


def test_a_press_with_two_fingers_does_nothing(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")

    for finger in (11, 12):
        visit.page.evaluate(
            "(pointerId) => dispatchEvent(new PointerEvent('pointerdown', { pointerId }))", finger
        )
    visit.page.locator(".kind-foot .action").evaluate(
        "(button) => button.dispatchEvent(new MouseEvent('click', { detail: 1, bubbles: true }))"
    )
    visit.page.wait_for_timeout(200)

    assert visit.next == "transfer-case/loosen-fill-plug"


def test_a_finger_that_was_never_seen_lifted_stops_no_later_press(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.page.evaluate(
        "() => dispatchEvent(new PointerEvent('pointerdown', { pointerId: 11, isPrimary: true }))"
    )

    visit.press(".kind-foot .action")

    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")


def test_undo_bar_takes_a_tick_back(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")

    visit.press(".undo-bar button")
    visit.wait_until_next_is_not("transfer-case/take-out-fill-plug")

    assert visit.next == "transfer-case/loosen-fill-plug"
    assert visit.page.locator(".undo-bar").is_hidden()


def test_back_one_takes_the_step_before_back(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/take-out-fill-plug")

    visit.press(".row button")
    visit.wait_until_next_is_not("transfer-case/take-out-fill-plug")

    assert visit.next == "transfer-case/loosen-fill-plug"


def test_passing_over_a_step_asks_for_a_reason(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.press(".row button", 2)

    visit.press("dialog .action")
    assert visit.page.locator("dialog [role=alert]").inner_text() != ""
    visit.page.locator("dialog textarea").fill("Head is rounded off")
    visit.press("dialog .action")
    visit.wait_until_next_is_not("transfer-case/loosen-fill-plug")

    status = visit.status("transfer-case/loosen-fill-plug")
    assert status is not None
    assert (status["status"], status["reason"]) == ("skipped", "Head is rounded off")


def test_where_out_and_in_are_compared_the_level_before_is_a_reason_of_one_tap(phone: Phone) -> None:
    step = "transfer-case/count-in"
    visit = Visit(phone, GEAR).walk(id=step)
    visit.press(".row button", 2)

    visit.press("dialog .offers button")
    visit.press("dialog .action")
    visit.wait_until_next_is_not(step)

    status = visit.status(step)
    assert status is not None
    assert (status["status"], status["reason"]) == ("skipped", "It came too low or too full")


def stopped(phone: Phone) -> Visit:
    """A visit whose fill plug was passed over: what needs it is stopped."""
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    visit.press(".row button", 2)
    visit.page.locator("dialog textarea").fill("Later")
    visit.press("dialog .action")
    visit.page.locator(".stop-card").wait_for()
    return visit


def test_a_stop_says_how_it_is_and_how_it_must_be(phone: Phone) -> None:
    visit = stopped(phone)

    said = visit.page.locator(".stop-card").inner_text()

    assert "is now closed" in said
    assert "must be hand-tight" in said
    assert visit.page.locator(".stop-card [role=alert]").count() == 1


def test_the_cure_of_a_stop_is_one_press_away_and_leads_back(phone: Phone) -> None:
    visit = stopped(phone)

    visit.press(".kind-foot .action")
    visit.shown("transfer-case/loosen-fill-plug")
    visit.press(".kind-foot .action")
    visit.shown("transfer-case/take-out-fill-plug")

    status = visit.status("transfer-case/loosen-fill-plug")
    assert status is not None
    assert status["status"] == "done"


def test_a_stop_is_overruled_only_with_a_reason_and_a_held_press(phone: Phone) -> None:
    visit = stopped(phone)
    visit.press(".kind-foot .second")
    visit.page.locator("dialog textarea").fill("The plug is out already")

    visit.hold("dialog .hold-button", SHORT_MS)
    assert visit.page.locator(".stop-card").count() == 1
    visit.hold("dialog .hold-button", LONG_MS)
    visit.page.locator(".step-card").wait_for()

    overrides = phone.ask("(id) => fillfirst.visit(id).visit.overrides", visit.id)
    assert [one["reason"] for one in overrides] == ["The plug is out already"]


@pytest.mark.parametrize("by", ["Undo", "Back one"])
def test_a_stop_that_was_overruled_stands_again_once_that_is_taken_back(phone: Phone, by: str) -> None:
    visit = stopped(phone)
    visit.press(".kind-foot .second")
    visit.page.locator("dialog textarea").fill("The plug is out already")
    visit.hold("dialog .hold-button", LONG_MS)
    visit.page.locator(".step-card").wait_for()

    visit.press(f"button:text-is('{by}')")

    visit.page.locator(".stop-card").wait_for()
    assert phone.ask("(id) => fillfirst.visit(id).visit.overrides", visit.id) == []


RECORD = "([id, kind, payload]) => fillfirst.record(id, kind, payload).then(() => 1)"


def test_a_rule_that_was_overruled_at_one_place_stops_again_at_another(phone: Phone) -> None:
    step = "running/start-engine"
    visit = Visit(phone, ["engine-oil"]).walk(id=step)
    stop = visit.page.locator(".stop-card")

    def say_open(closure: str) -> None:
        phone.ask(RECORD, [visit.id, "state-confirmed", {"variable": closure, "value": "open"}])
        stop.wait_for()

    say_open("engine-oil-filler-cap")
    overruled = {"step": step, "stops": ["engine-shut"], "reason": "Seen it shut"}
    phone.ask(RECORD, [visit.id, "stop-overridden", overruled])
    stop.wait_for(state="detached")
    say_open("engine-oil-filter-housing")

    said = visit.read(".stop-card")
    assert "Engine only with plugs, filters and caps closed" in said
    assert "filler cap" not in said


def test_the_keyboard_has_an_equal_for_the_held_press(phone: Phone) -> None:
    visit = stopped(phone)
    visit.press(".kind-foot .second")
    visit.page.locator("dialog textarea").fill("The plug is out already")

    visit.page.locator("dialog .hold-button").focus()
    visit.page.keyboard.press("Enter")
    visit.page.keyboard.press("Enter")

    visit.page.locator(".step-card").wait_for()


@pytest.mark.parametrize(("typed", "kept"), [("1,5", 1.5), ("-0.4", -0.4), ("2", 2.0)])
def test_a_number_is_kept_as_it_was_understood(phone: Phone, typed: str, kept: float) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    visit.press(".kind-foot .action")

    visit.keep(typed)
    phone.wait_for("(id) => fillfirst.visit(id).visit.readings.tilt_lengthwise?.length === 1", visit.id)

    (reading,) = visit.readings("tilt_lengthwise")
    assert reading["unit"] == "degree"
    assert reading["value"] == pytest.approx(kept * 3.14159265 / 180, rel=1e-6)


@pytest.mark.parametrize(
    ("jobs", "until"),
    [(GEAR, {"kind": "measure"}), (GEARBOX, {"id": "automatic-gearbox/watch-temperature"})],
    ids=["a reading", "a watch"],
)
def test_half_typed_digits_outlive_a_reload(phone: Phone, jobs: list[str], until: dict[str, str]) -> None:
    visit = Visit(phone, jobs).walk(**until)
    step = visit.next
    visit.press(".kind-foot .action")
    visit.type("3")

    phone.reload()
    visit.show()
    visit.page.locator("#quantity").wait_for()

    assert visit.page.locator("#quantity").input_value() == "3"
    assert visit.page.locator(".foot-slot").get_attribute("data-step") == step


def test_a_number_beyond_its_range_is_refused_with_the_range_in_sight(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    visit.press(".kind-foot .action")

    visit.type("49")

    assert visit.page.locator(".echo").inner_text() == "49° cannot be."
    assert "15°" in visit.page.locator("#quantity-range").inner_text()
    assert visit.page.locator(".keep").get_attribute("aria-disabled") == "true"


def test_a_number_that_may_mean_two_things_is_asked_about(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/odometer")
    visit.press(".kind-foot .action")
    visit.page.locator("#quantity").fill("84.210")

    visit.page.get_by_role("button", name="84,210 km", exact=True).click()

    assert visit.page.locator(".keep").inner_text().split() == ["Keep", "84,210", "km"]


def test_few_units_are_offered_and_any_other_may_be_written(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/measure-out")
    visit.press(".kind-foot .action")
    picker = visit.page.locator("select.unit")
    offered = picker.locator("option").all_inner_texts()

    visit.page.locator("#quantity").fill("1.2 pt")
    visit.page.get_by_role("button", name="1.2 US pt", exact=True).click()

    assert offered == ["l", "ml", "US qt", "imp qt"]
    assert picker.input_value() == "pt"
    assert visit.page.locator(".keep").inner_text().split() == ["Keep", "1.2", "US", "pt"]


def test_readings_that_do_not_hold_lead_back_and_not_on(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    visit.press(".kind-foot .action")
    visit.keep("5")
    visit.keep("0")

    visit.page.locator(".verdict[data-holds=false]").wait_for()
    visit.press(".pair .action")
    visit.wait_until_next_is_not("preparation/check-level")

    assert visit.readings("tilt_lengthwise")
    assert visit.status("preparation/check-level") is None


def test_a_timer_survives_a_reload_and_says_how_long_ago_it_ended(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    left = visit.page.locator(".timer .digits").inner_text()

    phone.reload()
    visit.show()
    still_left = visit.page.locator(".timer .digits").inner_text()
    visit.page.evaluate(LOCKED_FOR, 40 * 60_000)
    visit.page.locator(".timer[data-over]").wait_for()

    assert seconds(left) - 10 <= seconds(still_left) <= seconds(left)
    assert "ago" in visit.page.locator(".timer .under").inner_text()
    assert visit.page.locator(".kind-foot .action").get_attribute("aria-disabled") is None


def seconds(clock: str) -> int:
    minutes, rest = clock.split(":")
    return int(minutes) * 60 + int(rest)


def test_positions_are_held_one_after_the_other(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(kind="cycle")
    first = visit.page.locator(".cycle .position").inner_text()

    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    visit.page.evaluate(LOCKED_FOR, 60_000)
    visit.page.locator(".positions [data-turn=done]").first.wait_for()

    assert visit.page.locator(".cycle .position").inner_text() != first
    assert visit.page.locator(".positions [data-turn=next]").count() == 1


@pytest.mark.parametrize(
    ("reading", "standing", "action"),
    [
        ("24", "below", "Enter a reading"),
        ("37", "inside", None),
        ("52", "above", "Go back and put it right"),
    ],
)
def test_a_reading_stands_below_inside_or_above_its_window(
    phone: Phone, reading: str, standing: str, action: str | None
) -> None:
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/watch-temperature")
    visit.press(".kind-foot .action")

    visit.keep(reading)
    visit.page.locator(f".standing[data-standing={standing}]").wait_for()

    said = visit.page.locator(".kind-foot .action").inner_text()
    assert said == (action or visit.does("automatic-gearbox/watch-temperature"))


def test_an_old_reading_inside_the_window_is_not_believed(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/watch-temperature")
    visit.press(".kind-foot .action")
    visit.keep("37")
    visit.page.locator(".standing[data-standing=inside]").wait_for()

    visit.page.evaluate(LOCKED_FOR, 5 * 60_000)
    visit.page.locator(".standing[data-standing=old]").wait_for()

    assert visit.page.locator(".kind-foot .action").inner_text() == "Enter a reading"


def test_too_warm_leads_back_and_the_readings_begin_afresh(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/watch-temperature")
    visit.press(".kind-foot .action")
    visit.keep("52")
    visit.page.locator(".standing[data-standing=above]").wait_for()

    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not("automatic-gearbox/watch-temperature")
    visit.walk(id="automatic-gearbox/watch-temperature")

    assert visit.page.locator(".standing").get_attribute("data-standing") == "none"


def test_a_bad_finding_says_what_it_means_and_is_kept_while_the_step_stands_still(phone: Phone) -> None:
    step = "transfer-case/read-magnet"
    visit = Visit(phone, GEAR).walk(id=step)

    visit.page.locator(".finding", has_text="Flakes").click()
    said = visit.page.locator(".verdict").inner_text()
    visit.press(".pair .action")
    phone.wait_for("(id) => Object.keys(fillfirst.visit(id).visit.found).length > 0", visit.id)

    assert len(said) > 40
    assert phone.ask("(id) => fillfirst.visit(id).visit.found", visit.id) == {step: ["flakes"]}
    assert visit.next == step


def test_a_photo_is_kept_with_its_step(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/read-magnet")

    picture = visit.page.screenshot(type="jpeg", quality=40)
    visit.page.locator("input[type=file]").set_input_files(
        {"name": "magnet.jpg", "mimeType": "image/jpeg", "buffer": picture}
    )
    visit.page.locator(".row button", has_text="1 photo").wait_for()

    photos = phone.ask("(id) => fillfirst.visit(id).visit.photos", visit.id)
    assert [len(kept) for kept in photos.values()] == [1]


def test_every_number_opens_to_where_it_comes_from(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")

    visit.press(".hero")
    said = visit.read("dialog")

    assert "36 N·m" in said
    assert "Fellside demo handbook, p. 45" in said
    assert "Plausible range" in said


def test_a_number_that_was_given_wrongly_is_put_right_at_the_step(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-drain-plug")
    sheet = phone.page.locator("dialog")

    visit.press(".hero")
    visit.press("dialog button:text-is('Correct it')")
    visit.keep("38")
    visit.press("dialog button:has-text('The maker’s manual')")
    for field, text in (
        ("source-document", "Demo manual"),
        ("source-page", "12"),
        ("fact-reason", "Misread"),
    ):
        sheet.locator(f"#{field}").fill(text)
    for name in sheet.locator("#fact-by").all():
        name.fill("Ada")
    visit.press("dialog .fact-foot .action")

    sheet.wait_for(state="detached")
    expect(phone.page.locator(".hero .digits")).to_have_text("38")


def test_a_worked_out_number_opens_to_its_formula_and_an_example(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/check-oil")

    visit.press(".hero")
    said = visit.read("dialog")

    assert "capacity × (1 + reserve)" in said
    assert "Worked example" in said
    assert "15 %" in said


def test_closing_is_held_and_leads_to_the_record(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk()

    visit.hold(".hold-button", SHORT_MS)
    assert phone.ask("(id) => fillfirst.visit(id).visit.closed", visit.id) is None
    visit.hold(".hold-button", LONG_MS)
    phone.wait_for("location.hash.startsWith('#/record/')")

    assert "Every step was done" in visit.page.locator("main").inner_text()


def test_what_is_left_unfinished_is_named_before_closing(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/tighten-fill-plug")
    visit.press(".row button", 2)
    visit.page.locator("dialog textarea").fill("Wrench left at home")
    visit.press("dialog .action")
    visit.walk()

    said = visit.page.locator(".unfinished").inner_text()
    visit.hold(".hold-button", LONG_MS)
    phone.wait_for("location.hash.startsWith('#/record/')")

    assert "Fill plug, transfer case" in said
    assert "Wrench left at home" in visit.page.locator(".exceptions", has_text="Fill plug").inner_text()


def test_the_end_leads_to_the_list_that_puts_right_what_is_left(phone: Phone) -> None:
    step = "transfer-case/tighten-drain-plug"
    visit = Visit(phone, GEAR).walk(id=step)
    phone.ask(
        "([id, step]) => fillfirst.record(id, 'step-skipped', { step, reason: 'Later' }).then(() => 1)",
        [visit.id, step],
    )
    visit.walk()

    visit.press("button:text-is('Show what is open')")
    visit.press(".make-safe-offer")

    visit.page.locator(f".safe-list [data-step='{step}']").wait_for()
