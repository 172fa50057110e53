"""What colour tells is told without it too; the system's own colours and a wish for less motion are kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import pytest
from phones import Phone
from screen_visits import Visit, ask_look, start_afresh

GEAR = ["transfer-case"]
GEARBOX = ["automatic-gearbox", "engine-oil"]
SKIP = "([id, step]) => fillfirst.record(id, 'step-skipped', { step, reason: 'Later' }).then(() => 1)"
GOOD = """
([id, name]) => {
  const step = fillfirst.visit(id).catalog.steps.find((one) => one.id === name);
  return step.findings.map(({ good }) => good);
}
"""
#: An own car whose oil was changed so many days ago, by a maker who wants it every year.
TYPE_IN = """
async (before) => {
  const garage = await fillfirst.loadGarage();
  const id = await garage.addCar({ title: `Tern ${before}`, plate: "DEMO T" });
  const date = new Date(Date.now() - before * 864e5).toISOString().slice(0, 10);
  const source = { kind: "makers-manual", reference: "schedule, p. 7" };
  const write = (fact, value) => garage.writeFact(id, { fact, value, source, doubt: "so it says" });
  await write("powertrain", "combustion");
  await write("engine_oil_maker_time", 31557600);
  const done = { date, odometer_m: 60_000_000, source: { kind: "owner", reference: "bill" } };
  await garage.note(id, "service-noted", { job: "engine-oil", ...done });
}
"""


@pytest.fixture
def phone(kept_phone: Phone) -> Iterator[Phone]:
    kept_phone.page.emulate_media(forced_colors="active")
    yield start_afresh(kept_phone)
    kept_phone.page.emulate_media(forced_colors="none", reduced_motion="no-preference")
    kept_phone.check()


def tell(visit: Visit, selector: str, state: str) -> dict[str, set[str]]:
    """How each state of such elements is told apart from colour: outlines, lines, weights and state words."""
    visit.page.locator(selector).first.wait_for(state="attached")
    told: dict[str, set[str]] = {}
    for name, how in ask_look(visit.phone, "toldWithoutColour", selector, state):
        told.setdefault(name, set()).add(how)
    return told


def assert_told_apart(told: dict[str, set[str]], *states: str) -> None:
    assert set(states) <= set(told), told
    for one, other in combinations(states, 2):
        assert told[one].isdisjoint(told[other]), f"{one} and {other} differ by colour alone: {told[one]}"


def test_findings_and_verdicts_carry_marks_of_their_own(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="preparation/check-level")
    visit.press(".kind-foot .action")
    visit.keep("5")
    visit.keep("0")
    verdicts = tell(visit, ".verdict", "holds")
    visit.press(".pair .second")
    visit.keep("0")
    visit.press(".reading-line")
    visit.keep("0")
    visit.page.locator(".verdict[data-holds=true]").wait_for()
    verdicts |= tell(visit, ".verdict", "holds")
    visit.walk(id="transfer-case/read-magnet")
    shapes = [how for _, how in ask_look(phone, "toldWithoutColour", ".finding", "mark")]
    is_good = phone.ask(GOOD, [visit.id, "transfer-case/read-magnet"])
    findings: dict[str, set[str]] = {}
    for good, shape in zip(is_good, shapes, strict=True):
        findings.setdefault(str(good), set()).add(shape)

    assert_told_apart(verdicts, "true", "false")
    assert_told_apart(findings, "True", "False")


def test_turns_of_screws_and_positions_differ_in_outline(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(id="automatic-gearbox/first-pass", index=5)
    screws = tell(visit, ".bolt", "turn")
    visit.walk(kind="cycle")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    visit.page.evaluate("() => { const now = Date.now; Date.now = () => now() + 60_000; }")
    visit.phone.ask("document.dispatchEvent(new Event('visibilitychange'))")
    visit.page.locator(".positions [data-turn=done]").first.wait_for()
    positions = tell(visit, ".positions li", "turn")

    assert_told_apart(screws, "done", "next", "later")
    assert_told_apart(positions, "done", "next", "later")


def test_a_window_and_a_wait_say_where_one_is_in_words(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX).walk(kind="watch")
    standings = tell(visit, ".standing", "standing")
    for reading, standing in [("24", "below"), ("37", "inside"), ("52", "above")]:
        visit.press(".kind-foot .second" if visit.page.locator(".pair").count() else ".kind-foot .action")
        visit.keep(reading)
        visit.page.locator(f".standing[data-standing={standing}]").wait_for()
        standings |= tell(visit, ".standing", "standing")

    assert_told_apart(standings, "none", "below", "inside", "above")


def test_a_day_and_what_is_open_are_told_by_outline_and_word(phone: Phone) -> None:
    visit = Visit(phone, GEAR).walk(id="transfer-case/loosen-fill-plug")
    phone.ask(SKIP, [visit.id, "transfer-case/loosen-fill-plug"])
    visit.page.locator(".stop-card").wait_for()
    stop = visit.read(".stop-kicker")
    visit.press(".where-one-is")
    visit.page.locator("dialog .day-phase").first.wait_for()
    day = tell(visit, ".day-phase li", "mark")
    marks = {how for hows in day.values() for how in hows}
    visit.page.keyboard.press("Escape")
    visit.show("open")
    opened = tell(visit, ".open-list .mark", "shape")
    pill = visit.read(".open-pill")

    assert stop.strip()
    assert len(marks) == 4  # done, passed over, now and still to come
    assert all(opened.values())
    assert pill.split()[0].isdigit()


def test_what_is_due_says_so(phone: Phone) -> None:
    visit = Visit(phone, GEAR)
    for before in (1000, 20):
        phone.ask(TYPE_IN, before)
    visit.go("#/due")
    visit.page.locator(".due-row .tag").first.wait_for()
    due = tell(visit, ".due-row:has(.tag)", "state")

    assert len(due) > 1
    assert_told_apart(due, *due)


def test_controls_and_drawings_are_seen_in_the_systems_own_colours(phone: Phone) -> None:
    visit = Visit(phone, GEARBOX)
    seen: list[str] = []
    steps: list[dict[str, Any]] = [{"kind": "inspect"}, {"id": "preparation/check-level"}]
    steps += [{"id": "automatic-gearbox/first-pass", "index": 5}, {"kind": "cycle"}, {"kind": "watch"}]
    for step in steps:
        visit.walk(**step)
        for light in ("light", "dark"):
            # A light that a person chose on this phone gives way as well.
            phone.ask("(light) => { document.documentElement.dataset.theme = light; }", light)
            seen += [f"{step} {light} {one}" for one in ask_look(phone, "edgeless")]
            seen += [f"{step} {light} {one}" for one in ask_look(phone, "tooFaint", 7)]
            seen += [f"{step} {light} {one}" for one in ask_look(phone, "faintLines", 3)]

    assert seen == []


def test_where_less_motion_is_wished_nothing_moves_and_the_time_is_told(phone: Phone) -> None:
    phone.page.emulate_media(forced_colors="none", reduced_motion="reduce")
    visit = Visit(phone, GEAR).walk(id="transfer-case/drain")
    moving = ask_look(phone, "moving")
    visit.press(".kind-foot .action")
    visit.page.locator(".action[aria-disabled=true]").wait_for()
    shown = visit.read(".timer .digits")
    phone.wait_for("(shown) => document.querySelector('.timer .digits').textContent !== shown", shown)
    moving += ask_look(phone, "moving")
    visit.show("open")
    moving += ask_look(phone, "moving")

    assert moving == []
