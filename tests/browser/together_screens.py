"""Draws a visit that more than one phone takes part in, and a car that is closed up before its end."""

from __future__ import annotations

from gallery import WORK, Gallery
from phones import Phone
from screen_visits import Visit

FINISH = "([visit, step]) => fillfirst.record(visit, 'step-done', { step }).then(() => 1)"
SAY_CLOSING = """
([visit, kind]) => {
  const payload = kind === "closing-up" ? { aim: "to-stand", steps: [] } : {};
  return fillfirst.record(visit, kind, payload).then(() => 1);
}
"""


def draw_two_phones(gallery: Gallery, other: Phone) -> None:
    """Two phones on one car, out of touch, that say two things of one plug."""
    gallery.begin("churn-van")
    gallery.walk(kind="hold")
    gallery.phone.sync()
    other.sync()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => 1)", gallery.visit)
    say = "([visit, payload]) => fillfirst.record(visit, 'state-confirmed', payload).then(() => 1)"
    for phone, value in [(gallery.phone, "open"), (other, "closed")]:
        phone.cut()
        phone.ask(say, [gallery.visit, {"variable": "undertray", "value": value}])
    for phone in (gallery.phone, other, gallery.phone):
        phone.restore()
        phone.sync()
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("open-contradiction", WORK)


def draw_make_safe(gallery: Gallery, other: Phone) -> None:
    """A car closed up in the middle of its visit, seen by another phone, finished, and taken up again."""
    gallery.visit = Visit(gallery.phone, ["engine-oil"]).id
    gallery.walk(id="engine-oil/let-it-drip")
    gallery.go(f"#/open/{gallery.visit}")
    gallery.press(".make-safe-offer")
    gallery.page.locator(".safe-list [data-step]").first.wait_for()
    gallery.draw("safe-list", WORK)
    gallery.draw("safe-list-whole", whole=True)
    gallery.press(".open-screen footer .action")
    gallery.page.locator(".foot-slot[data-step]").wait_for(state="attached")
    gallery.draw("safe-step", WORK)
    gallery.go("#/cars")
    gallery.go(f"#/work/{gallery.visit}")
    gallery.page.locator(".closing-note").wait_for()
    gallery.draw("safe-other-phone", WORK)
    gallery.go(f"#/open/{gallery.visit}")
    row = gallery.page.locator(".safe-list [data-step]")
    row.first.wait_for()
    while row.count():
        step = row.first.get_attribute("data-step")
        gallery.page.evaluate(FINISH, [gallery.visit, step])
        gallery.page.locator(f'.safe-list [data-step="{step}"]').wait_for(state="detached")
    gallery.draw("safe-finished", WORK, at=gallery.page.locator(".make-safe[data-finished]"))
    gallery.press(".open-screen footer .action")
    gallery.page.locator(".foot-slot[data-step]").wait_for(state="attached")
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("safe-gone-on", WORK)
    gallery.phone.sync()
    other.sync()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => 1)", gallery.visit)
    for phone, kind in [(gallery.phone, "taken-up-again"), (other, "closing-up")]:
        phone.cut()
        phone.ask(SAY_CLOSING, [gallery.visit, kind])
    for phone in (gallery.phone, other, gallery.phone):
        phone.restore()
        phone.sync()
    gallery.page.locator(".which-goes").wait_for()
    gallery.draw("safe-contradiction", WORK)


LOOSEN = "transfer-case/loosen-fill-plug"


def draw_two_people(gallery: Gallery, other: Phone) -> None:
    """Two people on one car: who is there, who has done what, and a step of the other's taken back."""
    gallery.visit = Visit(gallery.phone, ["transfer-case"]).id
    gallery.walk(id=LOOSEN)
    gallery.phone.sync()
    other.sync()
    other.ask("(visit) => fillfirst.loadVisit(visit).then(() => 1)", gallery.visit)
    second = Gallery(other, gallery.folder, gallery.words)
    second.visit = gallery.visit
    second.show_work()
    second.page.get_by_label("Who works here?").fill("Bea")
    second.draw("together-who", WORK)
    second.page.get_by_role("button", name="That is me").click()
    second.page.get_by_label("Who works here?").wait_for(state="hidden")
    second.press(".kind-foot .action")
    for phone in (other, gallery.phone):
        phone.sync()
        phone.wait_until_sent()
    gallery.page.locator(".moved-on").wait_for()
    gallery.draw("together-moved-on", WORK)
    gallery.press(".moved-on button")
    gallery.press(".foot-slot .row .second, .frame > footer > .row .second")
    gallery.page.locator("dialog").wait_for()
    gallery.draw("together-take-back", WORK)
    gallery.close_sheet()
    gallery.press(".where-one-is")
    gallery.draw("together-day", WORK)
    gallery.close_sheet()
    gallery.go(f"#/open/{gallery.visit}")
    gallery.draw("together-open", WORK)
