"""Whatever interrupts the work, at every kind of step: the step comes back as it was, and nothing is lost.

One visit is walked from kind to kind. At each the phone is called, reloaded, ended by its camera, locked for
an hour, and goes flat in the middle of a write.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from phones import OWN_COUNTS, Phone
from screen_visits import Visit

JOBS = ["transfer-case", "automatic-gearbox", "engine-oil"]
HOUR_MS = 3_600_000
CANNOT = ".frame > footer > .row button >> nth=-1"
ENDED = ".timer[data-over] .under:has-text('ago')"

#: What a person sees of a step, and what stands behind it.
PLACE = """
(id) => {
  const { visit, events } = fillfirst.visit(id);
  const shown = document.querySelector(".foot-slot")?.dataset.step;
  const texts = (selector) => [...document.querySelectorAll(selector)].map((one) => one.textContent);
  const turns = [...document.querySelectorAll("[data-turn]")].map(({ dataset }) => dataset.turn);
  return {
    step: shown,
    next: visit.next,
    heading: texts("#screen h1"),
    entries: events.map(({ id }) => id).sort(),
    timer: visit.timers[shown] ?? null,
    typed: document.querySelector("#quantity")?.value ?? null,
    finding: texts(".panel[aria-live] > .verdict b"),
    readings: texts(".reading-line b"),
    waits: texts(".wait-row .what"),
    // While a position is held its time runs on, whatever becomes of the page.
    turns: visit.timers[shown] ? [] : turns,
    stopped: texts(".state-row dt"),
  };
}
"""
#: An hour in a pocket: out of sight, the clock on the wall goes on, and back.
LOCK = """
async (by_ms) => {
  const show = (state) => {
    Object.defineProperty(document, "visibilityState", { configurable: true, get: () => state });
    document.dispatchEvent(new Event("visibilitychange"));
  };
  show("hidden");
  await new Promise((resolve) => setTimeout(resolve, 50));
  const now = Date.now;
  Date.now = () => now() + by_ms;
  show("visible");
}
"""


@dataclass(frozen=True)
class Kind:
    """A kind of step, brought to the middle of its work; `press` is the button that writes an entry."""

    until: dict[str, Any]
    begin: Callable[[Visit], object] = lambda visit: None
    shows: str = "next"  # what there is to lose
    press: str = ".kind-foot .action"
    has_camera: bool = True
    later: str | None = None  # what an hour makes of it


def half_read(visit: Visit) -> None:
    visit.press(".kind-foot .action")
    visit.keep("0.2")
    visit.type("0.1")


def half_watched(visit: Visit) -> None:
    visit.press(".kind-foot .action")
    visit.keep("30")
    visit.press(".kind-foot .action")
    visit.type("3")


def begin_wait(visit: Visit) -> None:
    visit.press(".kind-foot .action")
    visit.page.locator(".kind-foot .action[aria-disabled=true]").wait_for()


def work_meanwhile(visit: Visit) -> None:
    if visit.page.locator(".kind-foot .action[aria-disabled=true]").count() == 0:
        begin_wait(visit)
    visit.page.locator(".meanwhile").wait_for()
    visit.press(".meanwhile")
    visit.page.locator(".wait-row").wait_for()


def find_flakes(visit: Visit) -> None:
    visit.press(".finding:has-text('Flakes')")
    visit.page.locator(".verdict").wait_for()


def be_stopped(visit: Visit) -> None:
    visit.press(CANNOT)
    visit.page.locator("dialog textarea").fill("Later")
    visit.press("dialog .action")
    visit.page.locator(".stop-card").wait_for()


KINDS = {
    "a reading half typed": Kind(
        {"id": "preparation/check-level"}, half_read, "typed", press=".keep", has_camera=False
    ),
    "an act": Kind({"id": "transfer-case/loosen-fill-plug"}),
    "a stop": Kind({"id": "transfer-case/take-out-fill-plug"}, be_stopped, "stopped"),
    "a wait": Kind({"id": "transfer-case/drain"}, begin_wait, "timer", later=ENDED),
    "work while another step waits": Kind({"id": "transfer-case/drain"}, work_meanwhile, "waits"),
    "a finding": Kind({"id": "transfer-case/read-magnet"}, find_flakes, "finding"),
    "a torque": Kind({"kind": "tighten"}),
    "one screw of a pattern": Kind({"id": "automatic-gearbox/first-pass", "index": 5}, shows="turns"),
    "a position held": Kind({"kind": "cycle"}, begin_wait, "timer", later=".positions [data-turn=done]"),
    "a watch half typed": Kind({"kind": "watch"}, half_watched, "typed", press=".keep", has_camera=False),
    "the end": Kind({}, shows="heading", press=".hold-button", has_camera=False),
}


@pytest.fixture(scope="module")
def visit(kept_phone: Phone) -> Iterator[Visit]:
    visit = Visit(kept_phone, JOBS)
    kept_phone.wait_until_sent().cut()
    yield visit
    kept_phone.restore()


def see(visit: Visit) -> dict[str, Any]:
    visit.phone.wait_for("!document.querySelector('[aria-busy=true]')")
    return dict(visit.phone.ask(PLACE, visit.id))


def come_back(visit: Visit, at: str) -> None:
    """The app was ended: it begins with what is open, or with the step that the camera was opened from."""
    visit.page = visit.phone.page
    visit.phone.wait_for(f"location.hash.startsWith('#/{at}/')")
    visit.phone.wait_for("document.querySelector('#screen h1')")
    visit.go(f"#/work/{visit.id}")
    visit.page.locator(".foot-slot[data-step]").wait_for(state="attached")


def call(visit: Visit) -> None:
    session = visit.phone.context.new_cdp_session(visit.page)
    for state in ("frozen", "active"):
        session.send("Page.setWebLifecycleState", {"state": state})
    session.detach()
    visit.phone.ask(LOCK, 1000)


def reload(visit: Visit) -> None:
    visit.phone.reload()
    come_back(visit, "open")


def be_ended_by_the_camera(visit: Visit) -> None:
    with visit.page.expect_file_chooser():
        visit.press(".frame > footer > .row button >> nth=1")
    visit.phone.kill_page()
    visit.phone.open_again()
    come_back(visit, "work")


def go_flat(visit: Visit, press: str) -> None:
    """Every process of the browser that shows a page is killed while the entry is on its way."""
    visit.phone.settle()
    visit.page.locator(press).first.dispatch_event("click")
    visit.phone.crash()
    visit.phone.open_again()
    come_back(visit, "open")


@pytest.mark.parametrize("name", KINDS)
def test_the_same_step_comes_back_as_it_was_left(visit: Visit, name: str) -> None:
    kind = KINDS[name]
    visit.walk(**kind.until)
    kind.begin(visit)
    left = see(visit)

    call(visit)
    assert see(visit) == left
    visit.phone.ask(LOCK, HOUR_MS)
    if kind.later:
        visit.page.locator(kind.later).first.wait_for()
    assert see(visit) == left
    reload(visit)  # by which the clock is right again
    assert see(visit) == left
    if kind.has_camera:
        be_ended_by_the_camera(visit)
        assert see(visit) == left
    go_flat(visit, kind.press)
    found, counts = see(visit), visit.phone.ask(OWN_COUNTS)

    assert left[kind.shows]
    assert counts == list(range(1, len(counts) + 1))
    assert set(left["entries"]) <= set(found["entries"])
    assert found == left or len(found["entries"]) == len(left["entries"]) + 1


def test_a_reason_half_written_is_there_when_the_sheet_is_opened_again(visit: Visit) -> None:
    other = Visit(visit.phone, ["transfer-case"]).walk(id="transfer-case/loosen-fill-plug")
    written = other.page.locator("dialog textarea")
    other.press(CANNOT)
    written.press_sequentially("Head is rounded")
    reload(other)
    other.press(CANNOT)
    kept = written.input_value()
    other.page.keyboard.press("Escape")
    written.wait_for(state="detached")
    other.press(CANNOT)

    assert (kept, written.input_value()) == ("Head is rounded", "")
