"""How long a phone works out the list of Make safe, in every state that a whole visit passes through.

    .venv/bin/python tests/bench/make_safe.py              every job the demo estate can have
    .venv/bin/python tests/bench/make_safe.py engine-oil   or these jobs only

Run by hand, in Chromium with its CPU slowed four times: after every step of the day the list is worked out once
for each aim, as the screen does it after an entry. The first one reads the visit as well, so it is told apart.
"""

from __future__ import annotations

import json
import shutil
import statistics
import sys
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path.insert(0, str(TOP / "server"))

from playwright.sync_api import Page, Route, sync_playwright  # noqa: E402

from fillfirst.specs import Specs, load  # noqa: E402
from fillfirst.visits.compose import compose  # noqa: E402

SLOWER = 4
CAR = "fellside-estate"
ORIGIN = "http://core.invalid"
GOAL_MS = 50
MEASURE = """
async ([catalog, composition]) => {
  const { makeSafe } = await import("/core/make-safe.js");
  const { effects, startingVariables } = await import("/core/compose.js");
  let variables = startingVariables(catalog, composition);
  const times = [];
  for (const instance of [null, ...composition.steps]) {
    if (instance) variables = { ...variables, ...effects(catalog, composition, variables, instance) };
    for (const aim of ["to-stand", "to-drive"]) {
      const before = performance.now();
      const found = makeSafe(catalog, composition, variables, aim);
      const ms = performance.now() - before;
      times.push({ aim, step: instance?.id ?? "the beginning", ms, steps: found?.steps.length ?? -1 });
    }
  }
  return times;
}
"""


def answer(route: Route) -> None:
    path = TOP / "webui" / route.request.url.removeprefix(ORIGIN).lstrip("/")
    if path.is_file():
        route.fulfill(content_type="text/javascript", body=path.read_text())
    else:
        route.fulfill(content_type="text/html", body="<!doctype html><title>core</title>")


def measure(page: Page, specs: Specs, jobs: list[str]) -> list[dict[str, object]]:
    facts = {name: fact.value for name, fact in specs.vehicles[CAR].facts.items()}
    able = jobs or [id for id, job in specs.jobs.items() if not job.shared]
    composition = compose(specs, able, facts)
    given = json.loads(json.dumps([specs.model_dump(mode="json", by_alias=True), composition]))
    times: list[dict[str, object]] = page.evaluate(MEASURE, given)
    return times


def tell(times: list[dict[str, object]]) -> None:
    first, *rest = times
    print(f"{len(times)} lists, CPU slowed {SLOWER} times; the first, with reading the visit: {first['ms']:.1f} ms")
    for aim in ("to-stand", "to-drive"):
        took = sorted(float(str(each["ms"])) for each in rest if each["aim"] == aim)
        p95 = took[int(len(took) * 0.95)]
        least, middle, most = took[0], statistics.median(took), took[-1]
        over = sum(ms > GOAL_MS for ms in took)
        print(f"{aim}: min {least:.1f}, median {middle:.1f}, p95 {p95:.1f}, max {most:.1f} ms; {over} over {GOAL_MS} ms")
    for each in sorted(rest, key=lambda each: -float(str(each["ms"])))[:5]:
        print(f"  {each['ms']:.1f} ms {each['aim']} after {each['step']}, {each['steps']} steps")


def main() -> None:
    specs = load(TOP / "specs")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        page.route("**/*", answer)
        page.goto(ORIGIN)
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        tell(measure(page, specs, sys.argv[1:]))
        browser.close()


if __name__ == "__main__":
    main()
