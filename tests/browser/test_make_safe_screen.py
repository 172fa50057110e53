"""Make safe on the phone: an interrupted visit closed up step by step, without any network."""

from __future__ import annotations

from phones import Phone
from screen_visits import Visit

DO_NEXT = """
async ([visit, step]) => {
  await fillfirst.record(visit, "step-done", { step });
}
"""
STATE = "(id) => fillfirst.visit(id).visit.variables"
TELL_OF_ANOTHER = """
async (id) => {
  const base = document.querySelector('script[type="module"]').src;
  const { makeSafe } = await import(new URL("./core/make-safe.js", base).href);
  const { tellWhat } = await import(new URL("./parts/open/safe.js", base).href);
  const open = fillfirst.visit(id);
  const asked = [open.catalog, open.composition, open.visit.variables, "to-stand"];
  return [tellWhat(open, makeSafe(...asked)), tellWhat(open, makeSafe(...asked, 0))];
}
"""
AHEAD = "() => [...document.querySelectorAll('.safe-list [data-step]')].map((row) => row.dataset.step)"


def test_an_interrupted_visit_is_closed_up_offline(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"])
    visit.walk(id="engine-oil/let-it-drip")
    phone.cut()
    visit.go(f"#/open/{visit.id}")

    visit.press(".make-safe-offer")
    phone.page.locator(".safe-left h3").wait_for()
    first = phone.page.evaluate(AHEAD)[0]
    visit.press(".safe-step")
    visit.shown(first)
    phone.ask(DO_NEXT, [visit.id, first])
    visit.go(f"#/open/{visit.id}")
    phone.page.locator(".safe-list [data-done]").first.wait_for()
    while ahead := phone.page.evaluate(AHEAD):
        phone.ask(DO_NEXT, [visit.id, ahead[0]])
        phone.page.locator(f'.safe-list [data-step="{ahead[0]}"]').wait_for(state="detached")

    state = phone.ask(STATE, visit.id)
    assert "open" not in state.values()
    assert state["support"] == "on-ground"
    assert state["engine"] == "off"
    assert "Engine oil: empty" in visit.read(".safe-left")
    phone.page.reload()
    phone.page.locator(".open-screen").wait_for()
    phone.page.locator(".make-safe[data-finished]").wait_for()
    visit.press(".open-screen .action")
    phone.page.locator('[data-step="engine-oil/let-it-drip"]').first.wait_for()
    again = phone.ask("(id) => Object.keys(fillfirst.visit(id).visit.steps)", visit.id)
    assert "engine-oil/drain-plug-torque" not in again
    assert "engine-oil/drain-plug-out" in again
    (closed,) = phone.ask("(id) => fillfirst.visit(id).visit.closings", visit.id)
    assert closed["again"]


def test_a_list_that_may_not_be_the_shortest_says_so(phone: Phone) -> None:
    visit = Visit(phone, ["engine-oil"])
    visit.walk(id="engine-oil/let-it-drip")

    shortest, another = phone.ask(TELL_OF_ANOTHER, visit.id)

    assert "The shortest list" in shortest
    assert "not known to be the shortest" in another
