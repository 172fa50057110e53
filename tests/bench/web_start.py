"""How fast the app starts without a network, how fast a tap is durable and shown, how much comes at first.

    .venv/bin/python tests/bench/web_start.py             all of it, about three minutes
    .venv/bin/python tests/bench/web_start.py start       or one of: start, tap, bytes

Run by hand, in Chromium with its CPU slowed four times. Everything is measured in turn with its floor, and a
ratio counts, not a time: a start with a page that only says hello, under the same service worker, which is
stopped before every start; a tap with one strict IndexedDB add in the same page.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP / "server"), str(TOP / "tests" / "browser")]

from phones import Phone, Server  # noqa: E402
from playwright.sync_api import Browser, CDPSession, Request, sync_playwright  # noqa: E402
from screen_visits import ESTATE, Visit, make_phone  # noqa: E402

STARTS, TAPS, HELD = 15, 60, 10_000
SLOWER = 4
HELLO_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>hello</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="./index.css"></head>
<body><main id="screen"></main><script type="module" src="./main.js"></script></body></html>
"""
HELLO_MAIN = """
const text = document.createElement("h1");
text.textContent = "Hello";
document.querySelector("#screen").append(text);
const policy = trustedTypes.createPolicy("sw", { createScriptURL: (address) => address });
navigator.serviceWorker.register(policy.createScriptURL("/sw.js"));
"""
# Notes when the first heading of a screen stands there, and the frame after it: that one is painted.
WATCH_START = """
new MutationObserver((_, observer) => {
  if (!document.querySelector("#screen h1")) return;
  observer.disconnect();
  requestAnimationFrame(() => setTimeout(() => (globalThis.paintedAt_ms = performance.now())));
}).observe(document, { childList: true, subtree: true });
"""
FILL = (Path(__file__).parent / "fill.js").read_text()
TAP = (Path(__file__).parent / "tap.js").read_text()


def slow_down(phone: Phone, rate: int = SLOWER) -> CDPSession:
    session = phone.context.new_cdp_session(phone.page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
    return session


def stop_workers(phone: Phone) -> None:
    """As a phone does with a worker that nobody used for half a minute."""
    session = phone.context.new_cdp_session(phone.page)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    session.detach()


def time_start(phone: Phone, address: str) -> float:
    """Milliseconds from asking for the page to its first heading, painted, without a network."""
    phone.page.goto("about:blank")
    stop_workers(phone)
    phone.page.goto(f"{phone.server.address}{address}", wait_until="commit")
    phone.wait_for("globalThis.paintedAt_ms ?? 0")
    return float(phone.ask("globalThis.paintedAt_ms"))


def open_hello(browser: Browser, server: Server) -> Phone:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    phone = Phone(context, server)
    phone.page.goto(server.address)
    return phone.wait_for_worker()


def write_hello(folder: Path) -> Path:
    folder.mkdir()
    (folder / "index.html").write_text(HELLO_PAGE)
    (folder / "main.js").write_text(HELLO_MAIN)
    (folder / "index.css").write_text("body { font-family: sans-serif; }\n")
    for name in ("service-worker.js", "sw-off.js"):
        shutil.copy(TOP / "webui" / name, folder / name)
    return folder


def measure_starts(browser: Browser, server: Server, hello: Server) -> None:
    phones = {"hello": open_hello(browser, hello)}
    visits = {}
    for name in ("an empty phone", f"{HELD:,} entries held"):
        phones[name] = make_phone(browser, server)
        visits[name] = Visit(phones[name], ["engine-oil", "coolant-main"], car=ESTATE).id
    phones[f"{HELD:,} entries held"].ask(FILL, [visits[f"{HELD:,} entries held"], HELD])
    times: dict[str, list[float]] = {}
    for phone in phones.values():
        phone.context.add_init_script(WATCH_START)
        phone.cut()
        slow_down(phone)
    starts = [("hello", "hello", "/")]
    for name, visit in visits.items():
        starts += [(f"{name}: a visit", name, f"/#/open/{visit}"), (f"{name}: cars", name, "/#/cars")]
    for turn in range(STARTS + 1):
        for title, name, address in starts:
            took_ms = time_start(phones[name], address)
            if turn:
                times.setdefault(title, []).append(took_ms)
    print(f"start without a network, CPU slowed {SLOWER} times, first heading painted:")
    for title, found in times.items():
        ratios = [ours / floor for ours, floor in zip(found, times["hello"], strict=True)]
        least = min(found) / min(times["hello"])
        print(
            f"  {title:32} {statistics.median(found):5.0f} ms, {statistics.median(ratios):.2f} times hello; "
            f"the least {min(found):4.0f} ms, {least:.2f} times the least"
        )


def measure_taps(browser: Browser, server: Server) -> None:
    phone = make_phone(browser, server)
    visit = Visit(phone, ["engine-oil", "coolant-main", "brake-fluid"], car=ESTATE)
    visit.show()
    phone.cut()
    slow_down(phone)
    phone.ask(TAP, [visit.id, 5])
    times = phone.ask(TAP, [visit.id, TAPS])
    print(f"tap, {len(times)} steps, CPU slowed {SLOWER} times:")
    columns = {
        "one strict add": "added_ms",
        "durable": "kept_ms",
        "told": "told_ms",
        "durable and shown": "shown_ms",
    }
    for title, key in columns.items():
        found = sorted(one[key] for one in times if one[key])
        ratio = statistics.median(one[key] / one["added_ms"] for one in times if one[key])
        p95 = found[int(len(found) * 0.95)]
        print(
            f"  {title:18} {statistics.median(found):5.1f} ms, the least {found[0]:.1f}, "
            f"95 of 100 within {p95:.1f}, {ratio:.2f} times one add"
        )


def measure_bytes(browser: Browser, server: Server) -> None:
    """What went over the network for a first visit, packed as this browser asked for it."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    sizes: dict[str, list[int]] = {}

    def hear(request: Request) -> None:
        path = urlsplit(request.url).path
        who = "service worker" if request.service_worker else "page"
        what = "catalog" if path.startswith("/api/catalog") else "other answers" if "/api/" in path else who
        sizes.setdefault(what, []).append(request.sizes()["responseBodySize"])

    context.on("requestfinished", hear)
    phone = Phone(context, server)
    phone.let_in(server.invite())
    phone.page.wait_for_timeout(1500)
    print("first download, as sent:")
    for what, found in sizes.items():
        print(f"  {what:15} {sum(found) / 1000:6.1f} kB in {len(found)} answers")
    print(f"  {'all':15} {sum(map(sum, sizes.values())) / 1000:6.1f} kB")
    context.close()


def main(wanted: list[str]) -> None:
    with tempfile.TemporaryDirectory() as temporary, sync_playwright() as playwright:
        folder = Path(temporary)
        server = Server(folder / "data").start()
        hello = Server(folder / "hello-data", write_hello(folder / "hello")).start()
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        work: dict[str, Callable[[], None]] = {
            "start": lambda: measure_starts(browser, server, hello),
            "tap": lambda: measure_taps(browser, server),
            "bytes": lambda: measure_bytes(browser, server),
        }
        try:
            for name in wanted or list(work):
                work[name]()
        finally:
            browser.close()
            hello.kill()
            server.kill()


if __name__ == "__main__":
    main(sys.argv[1:])
