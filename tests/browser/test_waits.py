"""While one thing waits, hands do another: what is offered, how one comes back, what is told of the time."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from phones import Phone
from screen_visits import COUNT_NOTES, TIME_GOES_BY, Visit, start_afresh

GEAR = ["transfer-case", "front-final-drive"]
DRAIN = "transfer-case/drain"
OTHER = "front-final-drive/loosen-fill-plug"
AFTER = "front-final-drive/take-out-fill-plug"
COLD = "running/cold-again"
SPILLS = "closing/spills-up"
FLUIDS = "closing/used-fluids-away"
#: An hour, and the minutes that a busy machine takes.
ABOUT = r"About (60|5\d) min still"
LEFT_MS = """([visit, step]) => {
  const { started_ms, least_s } = fillfirst.visit(visit).visit.timers[step];
  return started_ms + 1000 * least_s - Date.now();
}"""
#: How high the row of what waits is, where it stands, and where the heading under it does.
PLACES = """() => [".wait-row", ".step-card h1"].map((one) => {
  const { top, height } = document.querySelector(one).getBoundingClientRect();
  return [top, height];
})"""
READ_ORDER = """() => {
  const [row, heading] = [".wait-row", ".step-card h1"].map((one) => document.querySelector(one));
  const isBefore = row.compareDocumentPosition(heading) & Node.DOCUMENT_POSITION_FOLLOWING;
  return [Boolean(isBefore), document.activeElement === heading];
}"""
#: How often the screens are told to draw themselves until an entry is told to be kept.
DRAWN = """async (visit) => {
  let drawn = 0;
  const stop = fillfirst.subscribe(() => (drawn += 1));
  await fillfirst.record(visit, "step-done", { step: fillfirst.visit(visit).visit.next });
  stop();
  return drawn;
}"""
SET_CLOCK = "(by_ms) => { const now = Date.now.bind(Date); Date.now = () => now() + by_ms; }"


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    yield start_afresh(kept_phone)
    kept_phone.ask("localStorage.clear()")
    kept_phone.check()


def begin_draining(phone: Phone, jobs: list[str] = GEAR) -> Visit:
    """Started with a tap, as a tone needs one."""
    visit = Visit(phone, jobs).walk(id=DRAIN)
    visit.press(".kind-foot .action")
    visit.page.locator(".kind-foot .action[aria-disabled=true]").wait_for()
    return visit


def go_meanwhile(phone: Phone) -> Visit:
    visit = begin_draining(phone)
    visit.page.locator(".meanwhile").wait_for()
    visit.press(".meanwhile")
    visit.shown(OTHER)
    return visit


def let_time_pass(visit: Visit) -> None:
    visit.phone.ask(TIME_GOES_BY, visit.phone.ask(LEFT_MS, [visit.id, DRAIN]) + 1000)
    visit.page.locator(".wait-row[data-over]").wait_for()


def test_a_wait_is_filled_with_other_work_and_come_back_to_without_a_network(phone: Phone) -> None:
    visit = begin_draining(phone)
    phone.cut()
    offer = visit.page.locator(".meanwhile")
    offer.wait_for()
    said = offer.inner_text()
    visit.press(".meanwhile")
    visit.shown(OTHER)
    strip = visit.read(".wait-row")
    visit.press(".kind-foot .action")
    visit.shown(AFTER)  # and on to what may be done next
    still = visit.next
    let_time_pass(visit)
    over = visit.read(".wait-row")
    visit.press(".wait-row")
    visit.shown(DRAIN)
    visit.press(".kind-foot .action")
    visit.wait_until_next_is_not(DRAIN)

    assert said == "Meanwhile: Fill plug of the front final drive: loosen it first"
    assert strip.splitlines() == ["12 min left", "Let the transfer case drain", "Go back"]
    assert still == DRAIN
    assert over.splitlines()[0] == "is over"
    assert visit.next == "transfer-case/measure-out"
    assert visit.status(OTHER) is not None
    assert visit.page.locator(".wait-row").count() == 0


def test_who_finishes_a_step_when_the_time_is_up_is_led_back(phone: Phone) -> None:
    visit = go_meanwhile(phone)
    let_time_pass(visit)

    visit.press(".kind-foot .action")
    visit.shown(DRAIN)

    assert visit.status(OTHER) is not None
    visit.page.locator(".timer[data-over]").wait_for()


def test_a_page_that_dies_comes_back_to_the_work_and_to_what_waits(phone: Phone) -> None:
    visit = go_meanwhile(phone)
    phone.cut()
    phone.page.reload()
    phone.wait_until_started()

    visit.show()
    visit.shown(OTHER)

    assert visit.read(".wait-row .what") == "Let the transfer case drain"


def test_the_end_is_heard_and_said_at_another_step_and_nothing_moves(phone: Phone) -> None:
    phone.ask(COUNT_NOTES)
    visit = go_meanwhile(phone)
    before = phone.ask(PLACES)
    let_time_pass(visit)

    assert phone.ask(PLACES) == before
    phone.wait_for("notes > 0")
    said = visit.page.locator(".waits [role=status]").inner_text()
    assert said == "Let the transfer case drain: the time is over."


def test_what_waits_is_read_before_the_step_and_left_by_keyboard(phone: Phone) -> None:
    visit = go_meanwhile(phone)
    order = phone.ask(READ_ORDER)
    row = visit.page.locator(".wait-row")
    label, box = row.get_attribute("aria-label"), row.bounding_box()

    row.focus()
    visit.page.keyboard.press("Enter")
    visit.shown(DRAIN)

    assert order == [True, True]
    assert label == "Let the transfer case drain: 12 min left. Go back to it."
    assert box
    assert box["height"] >= 48


def test_a_clock_set_at_another_step_is_asked_about_on_the_way_back(phone: Phone) -> None:
    visit = go_meanwhile(phone)

    phone.ask(SET_CLOCK, 3_600_000)
    visit.page.locator(".wait-row b", has_text="how long has it run?").wait_for()
    visit.press(".wait-row")
    visit.shown(DRAIN)

    visit.page.locator(".clock-set:not([hidden])").wait_for()


def test_work_taken_back_is_the_work_to_do_again(phone: Phone) -> None:
    visit = go_meanwhile(phone)
    visit.press(".kind-foot .action")
    visit.shown(AFTER)

    visit.press(".undo-bar button")
    visit.shown(OTHER)

    assert visit.status(OTHER) is None
    visit.page.locator(".wait-row").wait_for()


def test_nothing_is_offered_for_what_is_watched(phone: Phone) -> None:
    visit = Visit(phone, ["automatic-gearbox", "engine-oil"]).walk(id="automatic-gearbox/fast-idle")
    visit.press(".kind-foot .action")
    visit.page.locator(".kind-foot .action[aria-disabled=true]").wait_for()

    found = phone.ask(
        """async (visit) => {
          const from = document.querySelector("script[type=module]").src;
          const { findMeanwhile } = await import(new URL("./parts/step/waits.js", from).href);
          return findMeanwhile(fillfirst.visit(visit));
        }""",
        visit.id,
    )

    assert found is None
    assert visit.page.locator(".meanwhile").count() == 0


def test_what_was_just_done_covers_nothing_and_is_told_whole(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=OTHER)
    visit.press(".kind-foot .action")
    visit.shown(AFTER)
    bar, body = (visit.page.locator(one).bounding_box() for one in (".undo-bar", ".frame > .body"))

    assert bar
    assert body
    assert body["y"] + body["height"] <= bar["y"]
    assert visit.read(".undo-bar span") == "Done: Fill plug of the front final drive: loosen it first"


def test_the_screens_are_drawn_once_a_tap(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id=OTHER)
    phone.cut()

    # A round of the sync that falls into one of them draws too.
    assert min(phone.ask(DRAWN, visit.id) for _ in range(3)) == 1


def begin_cooling(phone: Phone) -> Visit:
    """The engine has just been switched off, and the coolant is still hot."""
    visit = Visit(phone, ["coolant-main"]).walk(id=COLD)
    visit.page.locator(".meanwhile").wait_for()
    return visit


def go_while_it_cools(phone: Phone) -> Visit:
    visit = begin_cooling(phone)
    visit.press(".meanwhile")
    visit.shown(SPILLS)
    return visit


def let_it_cool(visit: Visit) -> None:
    visit.phone.ask(TIME_GOES_BY, 61 * 60 * 1000)


def test_what_cools_says_how_long_still_and_is_read_at_any_moment(phone: Phone) -> None:
    visit = begin_cooling(phone)
    phone.cut()

    said = visit.read(".likely")
    offered = visit.read(".meanwhile")
    visit.press(".kind-foot .action")
    visit.keep("31")
    visit.page.locator(".kind-foot .action", has_text="It is cold again").wait_for()

    assert re.fullmatch(ABOUT + r"\nLikely from \S.* on, by common practice. The reading decides.", said)
    assert offered == "Meanwhile: Take up every spill"
    assert visit.page.locator(".meanwhile, .likely:not([hidden])").count() == 0


def test_what_cools_is_filled_with_other_work_and_come_back_to_without_a_network(phone: Phone) -> None:
    visit = go_while_it_cools(phone)
    phone.cut()
    strip = visit.read(".wait-row")
    phone.page.reload()
    phone.wait_until_started()
    visit.show()
    visit.shown(SPILLS)
    after_reload = visit.read(".wait-row b")
    visit.press(".kind-foot .action")
    visit.shown(FLUIDS)  # and on to what may be done next
    still = visit.next
    let_it_cool(visit)
    visit.page.locator(".wait-row[data-over]").wait_for()
    over = visit.read(".wait-row b")
    said = visit.page.locator(".waits [role=status]").inner_text()
    visit.press(".kind-foot .action")
    visit.shown(COLD)  # led back, as it is likely by now

    assert re.fullmatch(ABOUT + "\nWait until the coolant is cold again\nGo back", strip)
    assert re.fullmatch(ABOUT, after_reload)
    assert still == COLD
    assert over == "likely by now: look"
    assert said == "Wait until the coolant is cold again: likely by now. Look."
    assert visit.read(".likely") == "Likely by now\nLook: the reading decides."
    assert visit.page.locator(".wait-row, .meanwhile").count() == 0


def test_a_reading_that_is_too_warm_leaves_the_offer(phone: Phone) -> None:
    visit = begin_cooling(phone)
    let_it_cool(visit)
    visit.page.locator(".likely b", has_text="Likely by now").wait_for()

    visit.press(".kind-foot .action")
    visit.keep("62")
    visit.page.locator(".likely b", has_text="Longer than usual").wait_for()
    visit.page.locator(".meanwhile").wait_for()
    visit.press(".meanwhile")
    visit.shown(SPILLS)

    assert visit.next == COLD
    assert visit.read(".wait-row b") == "look again now and then"


def test_nothing_is_said_of_a_wait_whose_beginning_lies_ahead(phone: Phone) -> None:
    """Another phone's clock, or one set back: then nobody knows how long it has cooled."""
    visit = begin_cooling(phone)

    phone.ask(SET_CLOCK, -3_600_000)
    visit.page.locator(".likely[hidden]").wait_for(state="attached")

    assert visit.page.locator(".meanwhile, .clock-set").count() == 0
    assert visit.read(".kind-foot .action").endswith("Temperature at the radiator")
