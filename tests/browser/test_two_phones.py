"""Two phones at one car, often without a network: both show the same, and the less safe state stands."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from phones import Phone, Server

PICTURE = """
async (visit) => {
  const { variables, steps, contradictions, closed } = (await fillfirst.loadVisit(visit)).visit;
  return { variables, steps: Object.keys(steps).sort(), contradictions, closed: closed?.id ?? null };
}
"""


@pytest.fixture
def other(phone: Phone, server: Server, phones: Callable[..., Phone]) -> Phone:
    """A second phone, let in by a second code."""
    return phones(server).let_in(server.invite())


def meet(visit: str, *together: Phone) -> None:
    """Let each talk to the server until all have heard of everything."""
    for phone in (*together, *together):
        phone.sync()
        phone.wait_until_sent()
        phone.ask("(visit) => fillfirst.loadVisit(visit).then(() => true)", visit)


def test_a_visit_begun_on_one_phone_goes_on_on_the_other(phone: Phone, other: Phone) -> None:
    visit = phone.open_visit()
    first = phone.finish_step(visit)
    meet(visit, phone, other)

    second = other.finish_step(visit)
    meet(visit, other, phone)

    assert phone.done(visit) == other.done(visit) == [first, second]


def test_work_done_on_both_without_a_network_is_joined(phone: Phone, other: Phone) -> None:
    visit = phone.open_visit()
    meet(visit, phone, other)
    phone.cut()
    other.cut()
    phone.finish_step(visit)
    other.ask(SKIP, visit)
    other.finish_step(visit)

    phone.restore()
    other.restore()
    meet(visit, phone, other)

    assert phone.ask(PICTURE, visit) == other.ask(PICTURE, visit)


def test_a_state_that_the_phones_tell_differently_is_shown_on_both_and_the_less_safe_one_stands(
    phone: Phone, other: Phone
) -> None:
    visit = phone.open_visit()
    meet(visit, phone, other)
    variable, safest, least_safe = phone.ask(PICK_VARIABLE, visit)
    phone.cut()
    other.cut()
    phone.ask(CONFIRM, [visit, variable, safest])
    other.ask(CONFIRM, [visit, variable, least_safe])

    phone.restore()
    other.restore()
    meet(visit, phone, other)

    picture = phone.ask(PICTURE, visit)
    assert picture == other.ask(PICTURE, visit)
    assert picture["variables"][variable] == least_safe
    assert [found["variable"] for found in picture["contradictions"]] == [variable]


@pytest.mark.parametrize("days", [-1, 1])
def test_a_clock_that_is_a_day_wrong_neither_loses_nor_hides_what_comes_after(
    server: Server, phones: Callable[..., Phone], days: int
) -> None:
    wrong = phones(server)
    wrong.context.add_init_script(f"const right = Date.now; Date.now = () => right() + {days * 86_400_000};")
    wrong.context.add_init_script(SHIFT_DATE)
    wrong.let_in()
    right = phones(server).let_in(server.invite())
    visit = wrong.open_visit()
    first = wrong.finish_step(visit)
    meet(visit, wrong, right)
    second = right.finish_step(visit)
    right.ask("(visit) => fillfirst.undo(visit, fillfirst.visit(visit).events.at(-1).id)", visit)
    meet(visit, right, wrong)

    assert wrong.done(visit) == right.done(visit) == [first]
    assert wrong.next_step(visit) == second
    assert abs(wrong.ask("fillfirst.sync.clockOffset_ms") + days * 86_400_000) < 60_000


def test_a_visit_closed_on_one_phone_no_longer_holds_up_updates_on_the_other(
    phone: Phone, other: Phone
) -> None:
    visit = phone.open_visit()
    meet(visit, phone, other)
    other.finish_step(visit)
    meet(visit, other, phone)
    assert other.ask("fillfirst.me.openVisits") == [visit]

    phone.ask("(visit) => fillfirst.record(visit, 'visit-closed', { figures: {}, by: 'Test' })", visit)
    meet(visit, phone, other)

    assert other.ask("fillfirst.me.openVisits") == []


SKIP = """
(visit) => {
  const step = fillfirst.visit(visit).visit.next;
  return fillfirst.record(visit, "step-skipped", { step, reason: "not here" });
}
"""
PICK_VARIABLE = """
(visit) => {
  const { catalog, composition } = fillfirst.visit(visit);
  const isClosure = ([, base]) => catalog.variables[base].kind === "closure";
  const [id, base] = Object.entries(composition.variables).find(isClosure);
  const { values } = catalog.variables[base];
  return [id, values[0], values.at(-1)];
}
"""
CONFIRM = "([visit, variable, value]) => fillfirst.record(visit, 'state-confirmed', { variable, value })"
SHIFT_DATE = """
const RightDate = Date;
globalThis.Date = class extends RightDate {
  constructor(...given) { super(...(given.length ? given : [RightDate.now()])); }
};
"""
