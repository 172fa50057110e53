"""New versions come whole, wait for consent, and never arrive in the middle of a visit."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from phones import TOP, Phone, Server

VERSION = "new URL(document.querySelector('script').src).pathname.split('/')[2]"
# What became of the new version, also where the browser had begun to fetch it by itself.
LOOK_FOR_UPDATE = """
async () => {
  const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
  const registration = await navigator.serviceWorker.getRegistration();
  const { active } = registration;
  let found = registration.installing;
  registration.addEventListener("updatefound", () => (found = registration.installing));
  for (let turn = 0; turn < 100; turn++) {
    await registration.update();
    while (registration.installing) await pause(20);
    if (registration.waiting || registration.active !== active) return "installed";
    if (found) return found.state;
    await pause(100);
  }
  return "none was found";
}
"""
CACHES = "async () => (await caches.keys()).sort()"
SPOIL = """
async ([name, text]) => {
  const [cacheName] = (await caches.keys()).filter((key) => key.startsWith("app-"));
  const cache = await caches.open(cacheName);
  const request = (await cache.keys()).find((request) => request.url.endsWith("/" + name));
  if (text === null) await cache.delete(request);
  else await cache.put(request, new Response(text, { headers: { "content-type": "text/javascript" } }));
}
"""
SENT = "fillfirst.sync.state === 'idle' && fillfirst.sync.waiting === 0"
CLOSE_VISIT = (
    "(visit) => fillfirst.record(visit, 'visit-closed', { figures: {}, by: 'Test' }).then(() => true)"
)


@pytest.fixture
def webui(tmp_path: Path) -> Path:
    """A copy of the web client that a test may change."""
    source = Path(os.environ.get("FILLFIRST_WEBUI", TOP / "webui"))
    return Path(shutil.copytree(source, tmp_path / "webui"))


@pytest.fixture
def server(make_server: Callable[..., Server], webui: Path) -> Server:
    return make_server(webui).start("--follow")


def publish(webui: Path) -> None:
    """Make a new version: one word is another."""
    words = webui / "app" / "words.js"
    words.write_text(words.read_text() + f"// changed {words.stat().st_size}\n")


def test_a_new_version_waits_until_a_person_takes_it(phone: Phone, webui: Path) -> None:
    old = phone.ask(VERSION)
    publish(webui)
    assert phone.ask(LOOK_FOR_UPDATE) == "installed"
    phone.wait_for("fillfirst.update.ready")
    assert phone.ask(VERSION) == old

    phone.page.locator(".bar", has_text="newer version").get_by_role("button").click()
    phone.wait_for(f"{VERSION} !== '{old}'")
    phone.wait_until_started()

    phone.wait_for(f"({CACHES})().then((names) => names.join() === 'app-' + {VERSION})")


def test_a_new_version_is_not_even_installed_while_a_visit_is_open(phone: Phone, webui: Path) -> None:
    old = phone.ask(VERSION)
    visit = phone.open_visit()
    publish(webui)
    assert phone.ask(LOOK_FOR_UPDATE) == "redundant"

    # What consent alone does not prevent: a waiting version takes over when the phone ends the app.
    phone.kill_page()
    phone.open_again()

    assert phone.ask(VERSION) == old
    assert phone.ask("(visit) => fillfirst.loadVisit(visit).then((open) => open.id)", visit) == visit


def test_a_version_that_was_refused_during_a_visit_comes_when_it_is_closed(phone: Phone, webui: Path) -> None:
    visit = phone.open_visit()
    publish(webui)
    assert phone.ask(LOOK_FOR_UPDATE) == "redundant"

    phone.ask(CLOSE_VISIT, visit)

    phone.wait_for("fillfirst.update.ready")


def test_a_visit_is_begun_in_the_version_that_was_waiting(phone: Phone, webui: Path) -> None:
    old = phone.ask(VERSION)
    publish(webui)
    phone.ask(LOOK_FOR_UPDATE)
    phone.wait_for("fillfirst.update.ready")

    phone.ask("() => void fillfirst.openVisit(order)".replace("order", ORDER))
    phone.wait_for(f"{VERSION} !== '{old}' && globalThis.fillfirst?.visits().length === 1")

    phone.wait_for("location.hash === `#/work/${fillfirst.visits()[0].id}`")


def test_a_version_that_cannot_wait_is_installed_although_a_visit_is_open(
    phone: Phone, server: Server, webui: Path
) -> None:
    phone.open_visit()
    publish(webui)
    server.stop()
    server.start("--force-update")

    assert phone.ask(LOOK_FOR_UPDATE) == "installed"


def test_taking_a_version_is_refused_while_a_visit_is_open(phone: Phone) -> None:
    phone.open_visit()

    refusal = phone.ask("fillfirst.update.take().then(() => null, (error) => error.message)")

    assert refusal == phone.ask("fillfirst.words.errors.updateWhileOpen")


def test_the_kill_switch_removes_the_worker_and_its_files_and_leaves_what_was_recorded(
    phone: Phone, server: Server
) -> None:
    phone.reload()  # as a phone has it that was let in long ago: from its worker
    visit = phone.open_visit()
    done = phone.finish_step(visit)
    server.stop()
    server.start("--follow", "--sw-off")
    loads: list[str] = []
    phone.page.on("domcontentloaded", lambda page: loads.append(page.url))

    phone.ask("navigator.serviceWorker.getRegistration().then((registration) => void registration.update())")
    phone.wait_for("navigator.serviceWorker.controller === null")
    phone.wait_until_started()
    # Its own worker is asked for as always, and goes again without a word.
    phone.wait_for(SENT)
    phone.wait_for("navigator.serviceWorker.getRegistrations().then((all) => all.length === 0)")

    assert len(loads) == 1
    assert phone.ask(CACHES) == []
    assert phone.ask("performance.getEntriesByType('navigation')[0].workerStart") == 0
    assert phone.done(visit) == [done]
    phone.complaints.clear()  # its worker may have been asked for while no server was there


def test_the_worker_comes_back_once_the_kill_switch_is_off_again(phone: Phone, server: Server) -> None:
    server.stop()
    server.start("--follow", "--sw-off")
    phone.reload()
    phone.wait_for("navigator.serviceWorker.getRegistrations().then((all) => all.length === 0)")
    server.stop()
    server.start("--follow")

    phone.reload()
    phone.wait_for_worker()

    assert phone.ask(CACHES) == [f"app-{phone.ask(VERSION)}"]
    phone.complaints.clear()  # its worker may have been asked for while no server was there


def test_a_damaged_file_is_found_and_the_app_started_again(phone: Phone) -> None:
    visit = phone.open_visit()
    loads: list[str] = []
    phone.page.on("domcontentloaded", lambda page: loads.append(page.url))
    phone.ask(SPOIL, ["main.js", "this is not JavaScript ("])
    phone.page.reload()

    phone.wait_until_started()

    assert len(loads) == 2
    assert phone.next_step(visit) is not None
    phone.complaints.clear()  # the damaged file was noticed, as it should be


def test_a_version_that_lost_a_file_for_good_is_replaced_even_during_a_visit(
    phone: Phone, webui: Path
) -> None:
    old = phone.ask(VERSION)
    visit = phone.open_visit()
    phone.ask(SPOIL, ["main.js", None])
    phone.context.new_cdp_session(phone.page).send("Network.clearBrowserCache")
    publish(webui)
    phone.page.reload()

    phone.wait_for(f"{VERSION} !== '{old}'")
    phone.wait_until_started()

    assert phone.next_step(visit) is not None


def test_a_version_of_which_one_file_is_damaged_on_the_way_is_not_used(
    phone: Phone, server: Server, webui: Path
) -> None:
    old = phone.ask(VERSION)
    worker = phone.context.request.get(f"{server.address}/sw.js").text()
    publish(webui)
    forged = webui / "service-worker.js"
    forged.write_text(forged.read_text().replace("found !== hash", "found === hash"))
    assert worker != phone.context.request.get(f"{server.address}/sw.js").text()

    assert phone.ask(LOOK_FOR_UPDATE) == "redundant"

    phone.reload()
    assert phone.ask(VERSION) == old


ORDER = """{ carId: fillfirst.cars()[0].id, jobs: Object.keys(fillfirst.catalog.jobs), settings: {},
  odometer_m: 1, by: 'Test' }"""
