"""A whole visit with the keys of a keyboard alone, from the first screen to the record."""

from __future__ import annotations

from collections.abc import Callable

from keyboard import Keyboard, KeyMechanic
from phones import Phone, Server
from test_main_job import READINGS

KINDS = {"act", "measure", "tighten", "hold", "cycle", "watch", "inspect"}
BACK = ".frame > footer > .row button:first-of-type"
NOT_DONE = """
(visit) => {
  const { composition, visit: { steps } } = fillfirst.visit(visit);
  return composition.steps.filter(({ id }) => steps[id]?.status !== "done").map(({ id }) => id);
}
"""


def open_visit(keys: Keyboard) -> str:
    """Choose a car on the first screen and one service on its plan, and start; gives the visit."""
    keys.wait_for("h1")
    keys.press("Tab")
    keys.use(".car-card button", "Fellside")
    keys.wait_for(".plan h1")
    keys.use("[data-service=automatic-gearbox] input", most=20, key="Space")
    keys.use(".plan > footer .action", most=30)
    keys.phone.wait_for("location.hash.startsWith('#/work/')")
    return str(keys.phone.ask("location.hash.split('/')[2]"))


def type_on_the_keys_of_the_screen(mechanic: KeyMechanic) -> None:
    keys = mechanic.keys
    mechanic.work_until("preparation/read-jack")
    keys.use(".kind-foot .action")
    keys.wait_for("#quantity")
    keys.use(".pad .key", "3", most=20)
    keys.go_to(".pad .key", "0")
    for _ in range(3):
        keys.press("Space")
    keys.use(".pad .keep")
    keys.wait_for(".kind-foot .action:not(.keep)")
    keys.press("Enter")
    mechanic.wait_until_done("preparation/read-jack")


def pass_over(mechanic: KeyMechanic, reason: str, stopped_at: str) -> None:
    """Say that the step cannot be done, with a reason; first think better of it."""
    keys = mechanic.keys
    keys.use(".frame > footer > .row button:last-of-type")
    keys.wait_for("dialog h2")
    keys.go_to("dialog textarea")
    keys.press("Escape")
    keys.wait_for(".frame > footer > .row button:last-of-type")
    keys.press("Enter")
    keys.wait_for("dialog h2")
    keys.go_to("dialog textarea")
    keys.type(reason)
    keys.use("dialog .action")
    mechanic.begin(stopped_at)
    keys.phone.page.locator(f".stop-card[data-step='{stopped_at}']").wait_for()


def be_stopped_and_put_it_right(mechanic: KeyMechanic) -> None:
    mechanic.work_until("automatic-gearbox/loosen-fill-plug")
    pass_over(mechanic, "Later", "automatic-gearbox/take-out-fill-plug")
    mechanic.keys.use(".kind-foot .action")
    mechanic.begin("automatic-gearbox/loosen-fill-plug")
    mechanic.keys.use(".kind-foot .action")
    mechanic.wait_until_done("automatic-gearbox/loosen-fill-plug")
    mechanic.begin("automatic-gearbox/take-out-fill-plug")


def overrule_a_stop_and_go_back(mechanic: KeyMechanic) -> None:
    """The button that is held has an equal for the keyboard."""
    keys = mechanic.keys
    stopped = "automatic-gearbox/take-out-drain-plug"
    pass_over(mechanic, "It is out already", stopped)
    keys.use(".kind-foot .second")
    keys.wait_for("dialog h2")
    keys.go_to("dialog textarea")
    keys.type("Seen it out myself")
    keys.use("dialog .hold-button")
    keys.wait_for("dialog .hold .second")
    keys.press("Enter")
    keys.phone.page.locator(f".step-card[data-step='{stopped}']").wait_for()
    mechanic.begin(stopped)
    # Once back is to the stop, twice to the step before it.
    keys.use(BACK)
    keys.wait_for(".stop-card h1")
    keys.use(BACK)
    mechanic.begin("automatic-gearbox/take-out-fill-plug")


def look_at_make_safe(mechanic: KeyMechanic, step: str) -> None:
    keys = mechanic.keys
    mechanic.work_until(step)
    keys.go_to(".open-pill", key="Shift+Tab")
    keys.press("Enter")
    keys.wait_for(".open-screen h1")
    keys.use(".make-safe-offer", most=30)
    keys.wait_for(".make-safe h2")
    keys.phone.page.locator(".make-safe[aria-busy=false] .safe-list button").first.wait_for()
    keys.go_to(".safe-list button")
    keys.use(".frame > footer > .second", most=40)
    mechanic.begin(step)


def ask_where_a_number_is_from(mechanic: KeyMechanic) -> None:
    mechanic.work_until("automatic-gearbox/first-pass@1")
    mechanic.keys.use("button.hero")
    mechanic.keys.wait_for("dialog h2")
    mechanic.keys.press("Escape")
    mechanic.keys.wait_for("button.hero")
    mechanic.keys.use(".kind-foot .action")
    mechanic.wait_until_done("automatic-gearbox/first-pass@1")


def close_visit(keys: Keyboard) -> None:
    keys.wait_for(".frame h1")
    keys.use(".hold-button", most=20)
    keys.wait_for(".hold .second")
    keys.press("Enter")
    keys.phone.wait_for("location.hash.startsWith('#/record/')")
    keys.wait_for("#screen h1")


def test_a_whole_visit_is_done_with_keys_alone(server: Server, phones: Callable[..., Phone]) -> None:
    phone = phones(server)
    phone.page.clock.install()
    keys = Keyboard(phone.let_in())

    mechanic = KeyMechanic(keys, open_visit(keys), READINGS)
    type_on_the_keys_of_the_screen(mechanic)
    be_stopped_and_put_it_right(mechanic)
    overrule_a_stop_and_go_back(mechanic)
    look_at_make_safe(mechanic, "automatic-gearbox/take-out-drain-plug")
    ask_where_a_number_is_from(mechanic)
    mechanic.work_until()
    close_visit(keys)

    assert mechanic.kinds == KINDS
    assert phone.ask(NOT_DONE, mechanic.visit) == []
    assert "Every step" in phone.page.locator("main").inner_text()
