"""One person working with the keys of a keyboard alone: Tab, Enter, Space, Escape and what is typed.

Wherever the focus comes by, it must be seen and in sight; a step begins with it on the heading.
"""

from __future__ import annotations

from typing import Any

from mechanic import NEXT, STEP
from phones import Phone

#: What has the focus, whether its ring is seen, and whether it is in sight. The ring of a box is its label's.
FOCUS = """
([wanted, near]) => {
  const one = document.activeElement;
  const ringed = (one.matches("input") && one.closest(".choice, .tick, .quantity .display")) || one;
  const { outlineStyle, outlineWidth } = getComputedStyle(ringed);
  const { top, bottom } = ringed.getBoundingClientRect();
  const { innerText: around } = one.closest("li, dialog, .pad button, .finding") ?? document.body;
  const says = one.innerText || one.getAttribute("aria-label") || one.id;
  return {
    isWanted: one.matches(wanted) && around.includes(near),
    isLost: one === document.body,
    isSeen: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2 && bottom > 0 && top < innerHeight,
    name: `${one.localName}.${one.className} ${says.slice(0, 50)}`,
  };
}
"""
AT_HEADING = """
(step) => {
  const { activeElement } = document;
  return document.querySelector(".foot-slot")?.dataset.step === step && activeElement.matches(".frame h1");
}
"""
MOVED_ON = "([visit, step]) => fillfirst.visit(visit).visit.next !== step"
#: Longer than any step of the demo cars waits.
WAITED_MS = 3_600_000


class Keyboard:
    """Keys pressed on one phone, and where the focus is after each."""

    def __init__(self, phone: Phone) -> None:
        self.phone = phone
        self.press = phone.page.keyboard.press
        self.type = phone.page.keyboard.type

    def go_to(self, wanted: str, near: str = "", *, most: int = 12, key: str = "Tab") -> None:
        """Press Tab until what is wanted has the focus; `near` is written on it or beside it."""
        way: list[str] = []
        for _ in range(most + 1):
            focus = self.look(wanted, near)
            way.append(focus["name"])
            if focus["isWanted"]:
                return
            self.press(key)
        raise AssertionError(f"{wanted} {near} is not reached: {way}")

    def use(self, wanted: str, near: str = "", *, most: int = 12, key: str = "Enter") -> None:
        self.go_to(wanted, near, most=most)
        self.press(key)

    def wait_for(self, wanted: str) -> None:
        """Wait until the focus has come there by itself."""
        self.phone.wait_for("(wanted) => document.activeElement.matches(wanted)", wanted)

    def look(self, wanted: str = "*", near: str = "") -> dict[str, Any]:
        focus: dict[str, Any] = self.phone.ask(FOCUS, [wanted, near])
        assert not focus["isLost"], f"the focus is nowhere, on the way to {wanted}"
        assert focus["isSeen"], f"{focus['name']} has the focus and does not show it"
        return focus


class KeyMechanic:
    """Works on one visit by keyboard. `readings` says what gauges, jugs and dipsticks show, as typed."""

    def __init__(self, keys: Keyboard, visit: str, readings: dict[str, str]) -> None:
        self.keys = keys
        self.phone = keys.phone
        self.visit = visit
        self.readings = readings
        self.kinds: set[str] = set()

    def work_until(self, name: str | None = None) -> None:
        """Do step after step until `name` is next, or to the end."""
        while (step := self.phone.ask(STEP, self.visit)) is not None and step["instance"] != name:
            self.do_step(step)
        assert name is None or step is not None, f"{name} never came"
        if name:
            self.begin(name)

    def begin(self, name: str) -> None:
        """Wait for a step, which is read from its heading on."""
        self.phone.wait_for(AT_HEADING, name)

    def do_step(self, step: dict[str, Any]) -> None:
        self.begin(step["instance"])
        self.kinds.add(step["kind"])
        ways = {"measure": self._measure, "watch": self._measure, "hold": self._hold, "cycle": self._hold}
        ways.get(step["kind"], self._tick)(step)
        self.wait_until_done(step["instance"])

    def wait_until_done(self, name: str) -> None:
        self.phone.wait_for(MOVED_ON, [self.visit, name])

    def _tick(self, step: dict[str, Any]) -> None:
        good = next((finding for finding in step["findings"] if finding["good"]), None)
        if good is None:
            return self.keys.use(".kind-foot .action")
        self.keys.use(".kind-foot .finding", good["label"])
        if good["says"]:
            self.keys.wait_for(".kind-foot .action")
            self.keys.press("Enter")
        return None

    def _measure(self, step: dict[str, Any]) -> None:
        self.keys.use(".kind-foot .action")
        for name in step["readings"]:
            self.keys.wait_for("#quantity")
            self.phone.wait_for("document.activeElement.value === ''")
            self.keys.look()
            self.keys.type(self.readings[name])
            self.keys.press("Enter")
            taken = "([visit, name]) => fillfirst.visit(visit).visit.readings[name]?.length > 0"
            self.phone.wait_for(taken, [self.visit, name])
        self.keys.wait_for(".kind-foot .action")
        self.keys.use(".kind-foot .action")

    def _hold(self, step: dict[str, Any]) -> None:
        action = self.phone.page.locator(".kind-foot .action")
        while self.phone.ask(NEXT, self.visit) == step["instance"]:
            said = action.inner_text()
            self.keys.use(".kind-foot .action")
            changed = "(said) => document.querySelector('.kind-foot .action')?.innerText !== said"
            self.phone.wait_for(changed, said)
            if self.phone.ask("document.activeElement.ariaDisabled === 'true'"):
                self.phone.page.clock.fast_forward(WAITED_MS)
                self.phone.wait_for(
                    "document.activeElement.matches('.kind-foot .action:not([aria-disabled])')"
                )
