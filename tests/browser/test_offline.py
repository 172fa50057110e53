"""After the first load the app needs no network: not to start, not to work, not to be started again."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from phones import TOP, Phone, Server, read_log


def test_first_browser_is_let_in_by_the_link_and_the_code_leaves_the_address(phone: Phone) -> None:
    assert phone.ask("location.hash.includes('let-in')") is False
    assert phone.ask("fillfirst.cars().length") > 0


def test_a_link_opened_where_the_app_waits_for_a_code_lets_it_in(
    server: Server, phones: Callable[..., Phone]
) -> None:
    phone = phones(server)
    phone.page.goto(server.address)
    phone.page.locator(".let-in").wait_for()

    phone.let_in()

    assert phone.ask("location.hash") == ""
    assert phone.page.locator(".let-in").count() == 0


def test_a_wrong_code_is_told_on_the_screen(server: Server, phones: Callable[..., Phone]) -> None:
    phone = phones(server)
    phone.page.goto(server.address)
    phone.page.locator("#code").fill("bcdf-ghjk")

    phone.page.locator(".let-in button").tap()

    phone.page.locator(".let-in [role=alert]", has_text="wrong, used or too old").wait_for()
    assert phone.ask("fillfirst.me.paired") is False


def test_a_visit_goes_on_where_it_was_when_the_page_is_reloaded_without_a_network(phone: Phone) -> None:
    visit = phone.open_visit()
    first = phone.finish_step(visit)
    phone.cut()
    second = phone.finish_step(visit)

    phone.reload()

    assert phone.done(visit) == [first, second]
    phone.restore()


def test_the_app_starts_while_the_server_is_down(phone: Phone, server: Server) -> None:
    visit = phone.open_visit()
    done = phone.finish_step(visit)
    phone.wait_until_sent()
    server.kill()

    phone.kill_page()
    phone.open_again()

    assert phone.done(visit) == [done]


def test_an_app_that_was_ended_during_a_visit_starts_with_what_is_open_on_the_car(phone: Phone) -> None:
    visit = phone.open_visit()
    phone.finish_step(visit)
    phone.cut()

    phone.kill_page()
    phone.open_again()

    assert phone.ask("location.hash") == f"#/open/{visit}"
    phone.restore()


def test_entries_made_without_a_network_reach_the_server_when_it_is_back(
    phone: Phone, server: Server
) -> None:
    phone.cut()
    visit = phone.open_visit()
    steps = [phone.finish_step(visit) for _ in range(3)]
    phone.wait_for("fillfirst.sync.waiting === 4")

    phone.restore()
    phone.wait_until_sent()

    log = (
        phone.ask("fillfirst.visits().length"),
        [event["payload"].get("step") for event in read_log(server, phone)],
    )
    assert log == (1, [None, *steps])


def test_a_server_that_is_killed_and_started_again_gets_what_it_missed(phone: Phone, server: Server) -> None:
    visit = phone.open_visit()
    phone.wait_until_sent()
    server.kill()
    done = phone.finish_step(visit)

    server.start()
    phone.sync()
    phone.wait_until_sent()

    assert [event["kind"] for event in read_log(server, phone)] == ["visit-opened", "step-done"]
    assert phone.done(visit) == [done]


def test_a_visit_keeps_the_procedures_it_began_with_on_every_phone_when_the_newest_are_others(
    phone: Phone, server: Server, phones: Callable[..., Phone], tmp_path: Path
) -> None:
    visit = phone.open_visit()
    phone.wait_until_sent()
    began_with = phone.ask("fillfirst.catalogHash")
    specs = Path(shutil.copytree(TOP / "specs", tmp_path / "specs"))
    hazards = specs / "hazards.toml"
    hazards.write_text(hazards.read_text().replace('title = "', 'title = "Now: ', 1))
    server.stop()
    server.start("--specs", str(specs))

    phone.sync()
    phone.reload()
    other = phones(server).let_in(server.invite())
    other.sync()

    pinned = "(visit) => fillfirst.loadVisit(visit).then((open) => [open.catalogHash, fillfirst.catalogHash])"
    newest = phone.ask("fillfirst.catalogHash")
    assert newest != began_with
    assert phone.ask(pinned, visit) == other.ask(pinned, visit) == [began_with, newest]


def test_a_file_that_the_browser_dropped_is_fetched_again(phone: Phone) -> None:
    path = phone.ask(DROP_A_FILE, "main.js")

    phone.reload()

    assert phone.ask("fetch(location.origin + '/').then((response) => response.status)") == 200
    assert path.endswith("/main.js")


DROP_A_FILE = """
async (name) => {
  const [cacheName] = (await caches.keys()).filter((key) => key.startsWith("app-"));
  const cache = await caches.open(cacheName);
  const request = (await cache.keys()).find((request) => request.url.endsWith("/" + name));
  await cache.delete(request);
  return request.url;
}
"""
