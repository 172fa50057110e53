"""A blank Chromium page that imports the client's pure modules, for vectors that both languages must pass."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, sync_playwright

WEBUI = Path(__file__).parents[2] / "webui"
#: No such host: the route below answers every request from `webui/`, so no server and no port is needed.
ORIGIN = "http://core.invalid"

_CALL_ALL = """
async ([module, name, calls]) => {
  const imported = await import(module);
  return JSON.parse(calls).map((parts) => imported[name](...parts));
}
"""


_CALL_WITH = """
async ([module, name, calls]) => {
  const imported = await import(module);
  const [first, rest] = JSON.parse(calls);
  return rest.map((one) => imported[name](first, one));
}
"""


class CorePage:
    """Calls functions of `webui/core` inside Chromium."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def call(self, module: str, function: str, *parts: Any) -> Any:
        """Call one exported function of a module such as "evaluate.js"."""
        return self.call_all(module, function, [parts])[0]

    def call_all(self, module: str, function: str, calls: Sequence[Sequence[Any]]) -> list[Any]:
        """Call it once for each list of arguments, in one round trip."""
        address = f"{ORIGIN}/core/{module}"
        results: list[Any] = self._page.evaluate(
            _CALL_ALL, [address, function, _write([list(parts) for parts in calls])]
        )
        return results

    def call_with(self, first: Any, module: str, function: str, rest: Sequence[Any]) -> list[Any]:
        """Call it once for each of the rest, with one large first argument that crosses over once."""
        address = f"{ORIGIN}/core/{module}"
        results: list[Any] = self._page.evaluate(_CALL_WITH, [address, function, _write([first, list(rest)])])
        return results

    def run(self, script: str, *arguments: Any) -> Any:
        """Run a function of one text, the arguments as JSON, on a page that may import "/core/…"."""
        return self._page.evaluate(script, _write(list(arguments)))


def _write(arguments: Any) -> str:
    """As one text: a catalog crosses over in a tenth of the time that Playwright takes for its tree."""
    return json.dumps(arguments, allow_nan=False)


def _answer(route: Route) -> None:
    path = WEBUI / route.request.url.removeprefix(ORIGIN).lstrip("/")
    if path == WEBUI:
        route.fulfill(content_type="text/html", body="<!doctype html><title>core</title>")
    elif path.is_file():
        route.fulfill(content_type="text/javascript", body=path.read_text())
    else:
        route.fulfill(status=404, body="")


@pytest.fixture(scope="module")
def core_page() -> Iterator[CorePage]:
    """One page for all tests of a module; it is closed before the next module opens its own."""
    chromium = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page()
        page.route("**/*", _answer)
        page.goto(ORIGIN)
        yield CorePage(page)
        browser.close()
