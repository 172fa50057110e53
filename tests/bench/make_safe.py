"""How long a phone works out the list of Make safe, in the states that a whole visit passes through.

    .venv/bin/python tests/bench/make_safe.py              every job the demo estate can have
    .venv/bin/python tests/bench/make_safe.py engine-oil   or these jobs only

Run by hand, in Chromium: after every eighth step of the day the list is worked out once for each aim, as the
screen does it after an entry. What is told is the time that the CPU worked, times four, for a phone that is
four times slower: other programs on the machine hardly change it. The first one reads the visit as well, so
it is told apart. What takes longer than five seconds is broken off and counted.
"""

from __future__ import annotations

import json
import math
import shutil
import statistics
import sys
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path.insert(0, str(TOP / "server"))

from playwright.sync_api import CDPSession, Error, Page, Route, sync_playwright  # noqa: E402

from fillfirst.specs import Specs, load  # noqa: E402
from fillfirst.visits.compose import compose  # noqa: E402

SLOWER = 4
CAR = "fellside-estate"
ORIGIN = "http://core.invalid"
GOAL_MS = 50
EVERY = 8
LIMIT_MS = 5000
PREPARE = """
async ([catalog, composition]) => {
  const { makeSafe } = await import("/core/make-safe.js");
  const { effects, startingVariables } = await import("/core/compose.js");
  const states = [startingVariables(catalog, composition)];
  for (const instance of composition.steps) {
    const before = states.at(-1);
    states.push({ ...before, ...effects(catalog, composition, before, instance) });
  }
  globalThis.measure = (at, aim) => {
    const { shortest } = makeSafe(catalog, composition, states[at], aim) ?? { shortest: true };
    return shortest;
  };
}
"""
Took = tuple[
    str, str, float, bool
]  # the aim, the step it was after, milliseconds, whether it is the shortest


def answer(route: Route) -> None:
    path = TOP / "webui" / route.request.url.removeprefix(ORIGIN).lstrip("/")
    if path.is_file():
        route.fulfill(content_type="text/javascript", body=path.read_text())
    else:
        route.fulfill(content_type="text/html", body="<!doctype html><title>core</title>")


def measure(page: Page, session: CDPSession, specs: Specs, jobs: list[str]) -> list[Took]:
    facts = {name: fact.value for name, fact in specs.vehicles[CAR].facts.items()}
    able = jobs or [id for id, job in specs.jobs.items() if not job.shared]
    composition = compose(specs, able, facts)
    page.evaluate(
        PREPARE, json.loads(json.dumps([specs.model_dump(mode="json", by_alias=True), composition]))
    )
    steps = ["the beginning", *(instance["id"] for instance in composition["steps"])]
    return [
        (aim, steps[at], *work_out(session, at, aim))
        for at in range(0, len(steps), EVERY)
        for aim in ("to-stand", "to-drive")
    ]


def work_out(session: CDPSession, at: int, aim: str) -> tuple[float, bool]:
    """Milliseconds, endless where it was broken off; and whether the list is the shortest."""
    asked = {"expression": f"measure({at}, '{aim}')", "timeout": LIMIT_MS, "returnByValue": True}
    before = worked_s(session)
    try:
        answered = session.send("Runtime.evaluate", asked)
    except Error:
        return math.inf, False
    if "exceptionDetails" in answered:
        return math.inf, False
    return (worked_s(session) - before) * 1000 * SLOWER, bool(answered["result"]["value"])


def worked_s(session: CDPSession) -> float:
    """How long the CPU has worked for the page by now."""
    metrics = session.send("Performance.getMetrics")["metrics"]
    return next(float(each["value"]) for each in metrics if each["name"] == "TaskDuration")


def tell(times: list[Took]) -> None:
    (*_, first, _), *rest = times
    print(f"{len(times)} lists, CPU slowed {SLOWER} times; the first, with reading the visit: {first:.1f} ms")
    print(f"{sum(shortest for *_, shortest in times)} of them are the shortest")
    for aim in ("to-stand", "to-drive"):
        took = sorted(ms for each, _, ms, _ in rest if each == aim)
        figures = [took[0], statistics.median(took), took[int(len(took) * 0.95)], took[-1]]
        told = ", ".join(
            f"{name} {ms:.1f}" for name, ms in zip(("min", "median", "p95", "max"), figures, strict=True)
        )
        over, endless = sum(ms > GOAL_MS for ms in took), sum(ms == math.inf for ms in took)
        print(f"{aim}: {told} ms; {over} of {len(took)} over {GOAL_MS} ms, {endless} of them broken off")
    for aim, step, ms, _ in sorted(rest, key=lambda each: -each[2])[:5]:
        print(f"  {ms:.1f} ms {aim} after {step}")


def main() -> None:
    specs = load(TOP / "specs")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        page.route("**/*", answer)
        page.goto(ORIGIN)
        session = page.context.new_cdp_session(page)
        session.send("Performance.enable", {"timeDomain": "threadTicks"})
        tell(measure(page, session, specs, sys.argv[1:]))
        browser.close()


if __name__ == "__main__":
    main()
