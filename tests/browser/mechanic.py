"""One person working through a visit on the Work screen, with a finger, as the screen asks.

The mechanic reads from the app which step is next and of what kind it is, and does on the screen what a
person would: presses the action, types readings on the keys, waits for timers (the page's clock is moved on),
chooses the good finding. What a step becomes is the app's affair.
"""

from __future__ import annotations

from typing import Any

from phones import Phone

STEP = """
(visit) => {
  const { catalog, composition, visit: { next, variables, steps } } = fillfirst.visit(visit);
  const instance = composition.steps.find(({ id }) => id === next);
  if (!instance) return null;
  const step = catalog.steps.find(({ id }) => id === instance.step);
  return { ...step, instance: instance.id };
}
"""
SHOWN = "(step) => document.querySelector('.foot-slot')?.dataset.step === step"
KEPT = "(typed) => (document.querySelector('#quantity')?.value ?? '') !== typed"
NEXT = "(visit) => fillfirst.visit(visit).visit.next"
SEPARATOR = ".pad .key[aria-label='Decimal separator']"
SIGN = ".pad .key[aria-label='Plus or minus']"
#: Longer than the moment in which a leftover tap of the step before is ignored.
SETTLE_MS = 600


class Mechanic:
    """Works on one visit with one phone. `readings` says what gauges, jugs and dipsticks show, as typed."""

    def __init__(self, phone: Phone, visit: str, readings: dict[str, str]) -> None:
        self.phone = phone
        self.visit = visit
        self.readings = readings

    def next_step(self) -> dict[str, Any] | None:
        step: dict[str, Any] | None = self.phone.ask(STEP, self.visit)
        return step

    def work_until(self, name: str | None = None) -> int:
        """Do step after step until `name` is next, or to the end; say how many were done."""
        count = 0
        while (step := self.next_step()) is not None and step["instance"] != name:
            self.do_step(step)
            count += 1
        assert name is None or step is not None, f"{name} never came"
        return count

    def do_step(self, step: dict[str, Any]) -> None:
        """Do the step on the screen; fails with what the screen says when it cannot be done."""
        page = self.phone.page
        self.phone.wait_for(SHOWN, step["instance"])
        page.clock.run_for(SETTLE_MS)
        stop = page.locator(".stop-card")
        assert stop.count() == 0, f"{step['instance']}: {stop.first.inner_text()}"
        ways = {"measure": self._measure, "watch": self._measure, "hold": self._hold, "cycle": self._hold}
        ways.get(step["kind"], self._tick)(step)
        self.phone.wait_for(f"(visit) => ({NEXT})(visit) !== {step['instance']!r}", self.visit)

    def _tick(self, step: dict[str, Any]) -> None:
        findings = step["findings"]
        if findings:
            good = next(at for at, finding in enumerate(findings) if finding["good"])
            self._press(".finding", good)
            if self.phone.ask(NEXT, self.visit) == step["instance"] and self._count(".finding") == 0:
                self._press(".action")
        else:
            self._press(".action")

    def _measure(self, step: dict[str, Any]) -> None:
        for name in step["readings"]:
            if self._count("#quantity") == 0:
                self._press(".action")
            self._type(self.readings[name])
        self.phone.page.clock.run_for(SETTLE_MS)
        self._press(".action")

    def _type(self, text: str) -> None:
        page = self.phone.page
        page.locator("#quantity").wait_for()
        for sign in text:
            key = SEPARATOR if sign in ",." else SIGN if sign == "-" else f".pad .key:text-is('{sign}')"
            page.locator(key).tap()
        page.clock.run_for(SETTLE_MS)
        typed = page.locator("#quantity").input_value()
        self._press(".keep")
        self.phone.wait_for(KEPT, typed)

    def _hold(self, step: dict[str, Any]) -> None:
        action = self.phone.page.locator(".kind-foot .action")
        while self.phone.ask(NEXT, self.visit) == step["instance"]:
            said = action.inner_text()
            if action.get_attribute("aria-disabled") == "true":
                self.phone.page.clock.fast_forward(60_000)
                self.phone.page.clock.run_for(SETTLE_MS)
            else:
                self._press(".kind-foot .action")
                self.phone.wait_for(
                    "(said) => document.querySelector('.kind-foot .action')?.innerText !== said", said
                )

    def _count(self, selector: str) -> int:
        return self.phone.page.locator(selector).count()

    def _press(self, selector: str, at: int = 0) -> None:
        page = self.phone.page
        button = page.locator(selector).nth(at)
        button.tap()
        page.clock.run_for(100)
