"""A real server and a phone to use it with: what the tests of this folder work with.

A `Server` is the server of this checkout as its own process, on a free port; it can be ended and started
again. A `Phone` is a browser context with its own storage and one page. What the page logs as an error, and
anything that the content policy stops, is a complaint, which `check` fails on.
"""

from __future__ import annotations

import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, ConsoleMessage, Error, Page, expect

TOP = Path(__file__).parents[2]
# How long anything may take before it counts as never. Nothing takes so long where all is well, but a machine
# that does much else at the same time may be slow.
WAIT_S = 60
expect.set_options(timeout=WAIT_S * 1000)
# What a page may say although nothing is wrong: a request that finds no network is an everyday thing.
EVERYDAY = re.compile(r"net::ERR_|Failed to load resource")

# Collects what the content policy stopped, in every page from its first moment.
WATCH = """
globalThis.violations = [];
addEventListener("securitypolicyviolation", (event) =>
  violations.push(`${event.violatedDirective}: ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`));
"""


class Server:
    """One server process and its data."""

    def __init__(self, data: Path, webui: Path | None = None) -> None:
        self.data = data
        self.webui = webui
        self.port = find_free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.link = ""
        self._process: subprocess.Popen[str] | None = None

    def start(self, *flags: str) -> Server:
        """Start and wait until it answers; `link` then lets one browser in."""
        command = [sys.executable, "-m", "fillfirst", "serve", "--demo", "--data", str(self.data)]
        command += ["--port", str(self.port), *(["--webui", str(self.webui)] if self.webui else []), *flags]
        self._process = subprocess.Popen(
            command, env=make_environment(), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        said = []
        assert self._process.stdout is not None
        for line in self._process.stdout:
            said.append(line)
            if found := re.search(r"http\S+#let-in=\S+", line):
                self.link = found.group()
            if "Ctrl-C" in line:
                return self
        self.kill()
        raise AssertionError("The server did not start:\n" + "".join(said))

    def stop(self) -> None:
        """As a keeper stops it."""
        self._end(signal.SIGTERM)

    def kill(self) -> None:
        """As a power cut stops it."""
        self._end(signal.SIGKILL)

    def _end(self, number: int) -> None:
        if self._process is None:
            return
        self._process.send_signal(number)
        self._process.communicate(timeout=WAIT_S)
        self._process = None

    def invite(self) -> str:
        """A fresh link that lets one more browser in."""
        command = [
            sys.executable,
            "-m",
            "fillfirst",
            "pair",
            "--data",
            str(self.data),
            "--port",
            str(self.port),
        ]
        said = subprocess.run(
            command, env=make_environment(), capture_output=True, text=True, check=True
        ).stdout
        found = re.search(r"http\S+#let-in=\S+", said)
        assert found, said
        return found.group()


class Phone:
    """One person's phone: a browser with its own storage, and a page of the app."""

    def __init__(self, context: BrowserContext, server: Server) -> None:
        self.context = context
        self.server = server
        self.complaints: list[str] = []
        self.page = self._open_page()

    def _open_page(self) -> Page:
        page = self.context.new_page()
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        return page

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not EVERYDAY.search(message.text):
            self.complaints.append(message.text)

    def let_in(self, link: str | None = None) -> Phone:
        """Open the one-time link; wait until the procedures are here and the worker is in charge."""
        self.page.goto(link or self.server.link)
        self.wait_for("fillfirst.me.paired && fillfirst.catalog !== null")
        return self.wait_for_worker()

    def wait_for_worker(self) -> Phone:
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.wait_for("navigator.serviceWorker.controller !== null")
        return self

    def wait_until_started(self) -> Phone:
        """Wait until the app has read what it holds and shows a screen."""
        self.wait_for("globalThis.fillfirst?.catalog && !document.querySelector('#screen > .note')")
        return self

    def reload(self) -> Phone:
        self.page.reload()
        return self.wait_until_started()

    def kill_page(self) -> None:
        """End the page without a word to it, as phones do."""
        self.page.close(run_before_unload=False)

    def crash(self) -> None:
        """Kill the processes that run pages, at once and from outside."""
        browser = self.context.browser
        assert browser
        session = browser.new_browser_cdp_session()

        def list_renderers() -> set[int]:
            processes = session.send("SystemInfo.getProcessInfo")["processInfo"]
            return {process["id"] for process in processes if process["type"] == "renderer"}

        killed = list_renderers()
        for process in killed:
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGKILL)
        # A new page could be given to one that the browser does not know to be gone, and would never come.
        deadline = time.monotonic() + WAIT_S
        while killed & list_renderers() and time.monotonic() < deadline:
            time.sleep(0.02)
        self.page.close()

    def open_again(self, address: str = "/") -> Phone:
        self.page = self._open_page()
        self.page.goto(self.server.address + address)
        return self.wait_until_started()

    def cut(self) -> None:
        """Cut the network: nothing goes out, from the page or the worker."""
        self.context.set_offline(True)

    def restore(self) -> None:
        self.context.set_offline(False)

    def ask(self, script: str, argument: Any = None) -> Any:
        """Run an expression, or an async function of one argument, in the page."""
        return self.page.evaluate(script, argument)

    def wait_for(self, script: str, argument: Any = None) -> None:
        """Wait until an expression holds; asked from here, as the page may not build code from text."""
        wait_for(self.page, script, argument)

    def settle(self) -> Phone:
        """Wait until what was pressed last is done, and no press is taken for a leftover any more."""
        self.wait_for(SETTLED)
        return self

    def press(self, selector: str, at: int = 0) -> None:
        """A meant press: after the moment in which leftovers are ignored."""
        self.settle()
        self.page.locator(selector).nth(at).click()

    def open_visit(self, car: int = 0) -> str:
        """Begin a visit with every job that the car's facts allow; which these are is the app's affair."""
        return str(self.ask(OPEN_VISIT, car))

    def next_step(self, visit: str) -> str:
        return str(self.ask("(visit) => fillfirst.visit(visit).visit.next", visit))

    def finish_step(self, visit: str) -> str:
        """Record the next step as done, and give its name back once that is durable."""
        return str(self.ask(FINISH_STEP, visit))

    def done(self, visit: str) -> list[str]:
        """The steps that this phone, after reading its storage again, holds as done."""
        return list(self.ask(DONE, visit))

    def sync(self) -> str:
        """Talk to the server now; gives the state afterwards."""
        return str(self.ask("fillfirst.sync.now().then(() => fillfirst.sync.state)"))

    def wait_until_sent(self) -> Phone:
        self.wait_for("fillfirst.sync.state === 'idle' && fillfirst.sync.waiting === 0")
        return self

    def check(self) -> None:
        """Nothing was stopped by the content policy and nothing failed aloud."""
        # What a test answered in the server's place may still be under way.
        self.context.unroute_all(behavior="ignoreErrors")
        for page in self.context.pages:
            self.complaints += wait_for(page, "[globalThis.violations ?? []]")[0]
        complaints, self.complaints = self.complaints, []  # the next test with this phone starts clean
        assert not complaints, "\n".join(map(str, complaints))


def wait_for(page: Page, script: str, argument: Any = None) -> Any:
    """Wait until an expression holds, and give its value; a page that is just being loaded has none yet."""
    deadline = time.monotonic() + WAIT_S
    last: object = None
    while time.monotonic() < deadline:
        try:
            last = page.evaluate(script, argument)
        except Error as error:
            last = error.message
        else:
            if last:
                return last
        page.wait_for_timeout(30)
    raise AssertionError(f"This did not come true in {WAIT_S} s, at last it was {last}: {script}")


#: The numbers that this phone's own entries have in its database.
OWN_COUNTS = """
() => new Promise((resolve) => {
  const opening = indexedDB.open("fillfirst");
  opening.onsuccess = () => {
    const reading = opening.result.transaction("events").objectStore("events").getAll();
    reading.onsuccess = () => {
      opening.result.close();
      const own = reading.result.filter((event) => event.device === fillfirst.me.device);
      resolve(own.map((event) => event.n).sort((a, b) => a - b));
    };
  };
})
"""

#: Answered by the app itself: the page's own module says whether a press now would count as meant.
SETTLED = """
async () => {
  if (document.querySelector("[aria-busy=true]")) return false;
  const main = document.querySelector("script[type=module]").src;
  const { isMeant } = await import(new URL("parts/controls/press.js", main).href);
  return isMeant({ detail: 1 });
}
"""
OPEN_VISIT = """
async (index) => {
  const car = fillfirst.cars()[index];
  const jobs = Object.entries(fillfirst.catalog.jobs).filter(([, job]) => !job.shared).map(([id]) => id);
  const order = { carId: car.id, jobs, settings: {}, odometer_m: car.odometer.value, by: "Test" };
  return fillfirst.openVisit(order);
}
"""
FINISH_STEP = """
async (visit) => {
  const step = fillfirst.visit(visit).visit.next;
  await fillfirst.record(visit, "step-done", { step });
  return step;
}
"""
DONE = """
async (visit) => Object.keys((await fillfirst.loadVisit(visit))?.visit.steps ?? {})
"""


def make_environment() -> dict[str, str]:
    path = os.pathsep.join([str(TOP / "server"), os.environ.get("PYTHONPATH", "")])
    return os.environ | {"PYTHONPATH": path, "PYTHONUNBUFFERED": "1"}


def find_free_port() -> int:
    """A port that stays free while its server is down: below those that are given to whoever calls out."""
    while True:
        port = random.SystemRandom().randrange(12_000, 32_000)
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def read_log(server: Server, phone: Phone) -> list[dict[str, Any]]:
    """Every entry on the server, asked for with the phone's own cookie as a phone without any entry would."""
    question = {"epoch": None, "cursor": 0, "ack": 0, "client_now": 0, "device": "reader", "events": []}
    answer = phone.context.request.post(
        f"{server.address}/api/sync",
        data=json.dumps(question),
        headers={"content-type": "application/json", "origin": server.address},
    )
    return [passed["event"] for passed in answer.json()["events"]]
