"""A real authority in a real browser's profile: what is trusted works, what is not is refused.

Certificate errors are never ignored here: a browser told to ignore them registers a service worker that a
phone would refuse. The authority is put into the profile's own database of certificates, as a person does it
on a phone.
"""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from phones import WAIT_S, Server, find_free_port, wait_for
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from fillfirst.access.authority import make_leaf, write_certificate, write_key
from fillfirst.access.certificate import AUTHORITY, FOLDER, _read_authority, _read_moment, found_authority

NAME = "garage.home.arpa"
NAMES = [NAME]
OpenBrowser = Callable[..., Page]


def read_now() -> int:
    return time.time_ns() // 1_000_000


class House(Server):
    """A server that was set up with an authority of its own."""

    def __init__(self, data: Path) -> None:
        super().__init__(data)
        self.setup_port = find_free_port()
        self.address = f"https://{NAME}:{self.port}"
        self.certificate = found_authority(data, NAMES, anew=False, now_ms=read_now())
        self.authority = data / FOLDER / AUTHORITY

    def start(self, *flags: str) -> House:
        flags += ("--origin", self.address, "--tls-cert", str(self.certificate))
        super().start(*flags, "--setup-port", str(self.setup_port))
        return self


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path / "data")
    yield house
    house.kill()


def trust(home: Path, authority: Path) -> None:
    """What a person does in the settings of a phone."""
    database = home / ".pki" / "nssdb"
    database.mkdir(parents=True)
    name = f"sql:{database}"
    subprocess.run(["certutil", "-N", "-d", name, "--empty-password"], check=True)
    subprocess.run(
        ["certutil", "-A", "-d", name, "-t", "C,,", "-n", "house", "-i", str(authority)], check=True
    )


@pytest.fixture
def open_browser(playwright: Playwright, tmp_path: Path) -> Iterator[OpenBrowser]:
    """Opens a browser with a profile of its own, in which an authority is trusted or none."""
    contexts: list[BrowserContext] = []

    def open_one(authority: Path | None, *, also: str = NAME) -> Page:
        home = tmp_path / f"home-{len(contexts)}"
        home.mkdir()
        if authority is not None:
            trust(home, authority)
        context = playwright.chromium.launch_persistent_context(
            home / "profile",
            executable_path=shutil.which("chromium"),
            env={"HOME": str(home)},
            args=["--no-sandbox", f"--host-resolver-rules=MAP {also} 127.0.0.1"],
            timeout=WAIT_S * 1000,
        )
        context.set_default_timeout(WAIT_S * 1000)
        contexts.append(context)
        return context.new_page()

    yield open_one
    for context in contexts:
        context.close()


def refuse(page: Page, address: str) -> str:
    """What the browser says when it does not open an address."""
    with pytest.raises(Error) as refused:
        page.goto(address)
    return refused.value.message


def test_a_browser_that_trusts_the_authority_keeps_the_app(house: House, open_browser: OpenBrowser) -> None:
    house.start()
    page = open_browser(house.authority)
    page.goto(house.link)
    wait_for(page, "globalThis.fillfirst?.me.paired && fillfirst.catalog !== null")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    wait_for(page, "navigator.serviceWorker.controller !== null")
    cookies = {cookie["name"]: cookie for cookie in page.context.cookies()}
    house.stop()
    page.reload()

    wait_for(page, "globalThis.fillfirst?.catalog && fillfirst.me.paired")
    assert cookies["__Host-device"]["secure"]
    assert cookies["__Host-device"]["sameSite"] == "Strict"


def test_a_browser_that_was_not_told_to_trust_it_refuses(house: House, open_browser: OpenBrowser) -> None:
    house.start()

    assert "ERR_CERT_AUTHORITY_INVALID" in refuse(open_browser(None), house.address)


def test_a_certificate_for_a_foreign_name_is_refused_by_a_browser_that_trusts_the_authority(
    house: House, open_browser: OpenBrowser
) -> None:
    leaf = make_leaf(_read_authority(house.authority.parent), ["bank.example"], now=_read_moment(read_now()))
    stolen = house.data / "stolen.pem"
    stolen.write_bytes(write_key(leaf.key) + write_certificate(leaf.certificate))
    house.certificate = stolen
    house.start()
    page = open_browser(house.authority, also="bank.example")

    assert "ERR_CERT_INVALID" in refuse(page, f"https://bank.example:{house.port}")


def test_an_expired_certificate_is_refused(house: House, open_browser: OpenBrowser) -> None:
    old = _read_moment(read_now() - 400 * 24 * 60 * 60 * 1000)
    leaf = make_leaf(_read_authority(house.authority.parent), NAMES, now=old)
    expired = house.data / "expired.pem"
    expired.write_bytes(write_key(leaf.key) + write_certificate(leaf.certificate))
    house.certificate = expired
    house.start()

    assert "ERR_CERT_DATE_INVALID" in refuse(open_browser(house.authority), house.address)


def test_the_set_up_page_leads_from_plain_http_to_a_test_of_the_phone(
    house: House, open_browser: OpenBrowser
) -> None:
    house.start()
    page = open_browser(house.authority)
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.goto(f"http://{NAME}:{house.setup_port}/")
    plain, authority = page.locator("#plain").is_visible(), page.get_by_role("link", name="Take").count()
    width = page.evaluate("document.querySelector('img').naturalWidth")
    page.get_by_role("link", name="test it here").click()
    wait_for(page, "document.getElementById('found')?.dataset.done")
    found = page.evaluate("[...document.querySelectorAll('#found li')].map((item) => item.textContent)")

    assert (plain, authority) == (True, 1)
    assert complaints == []
    assert width > 0
    assert page.url == f"{house.address}/setup"
    assert "✓ Yes: The phone trusts this server." in found
    assert "✓ Yes: The app can start without a network." in found
    assert "✓ Yes: Entries can be kept on this phone." in found
    assert "✓ Yes: The clock agrees with the server's." in found
    assert [said for said in found if said.startswith("✗ No: The app is open from its icon.")] != []


def test_a_page_asked_for_by_another_name_is_opened_at_the_one_origin(
    house: House, open_browser: OpenBrowser
) -> None:
    house.start()
    page = open_browser(house.authority)
    page.goto(f"http://127.0.0.1:{house.setup_port}/x")

    assert page.url.startswith(house.address)
