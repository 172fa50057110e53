"""Servers and phones for the tests of this folder; `phones.py` says what they are."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from phones import WAIT_S, WATCH, Phone, Server
from playwright.sync_api import Browser, Error, Playwright, sync_playwright
from screen_visits import make_phone, run_server


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Function) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """A test that failed tells what its phones showed: the machine it failed on is often out of reach."""
    report = yield
    if report.when == "call" and report.failed:
        for name, phone in item.funcargs.items():
            if isinstance(phone, Phone):
                report.sections.append((f"what {name} showed", tell_screen(phone)))
    return report


def tell_screen(phone: Phone) -> str:
    try:
        return f"{phone.page.url}\n{phone.page.inner_text('body', timeout=2000)}"
    except Error as error:
        return error.message


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """For one file of tests only: while it runs, nothing else in this process may use asyncio."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="module")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    browser = playwright.chromium.launch(
        executable_path=shutil.which("chromium"), args=["--no-sandbox"], timeout=WAIT_S * 1000
    )
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def proved_data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data of a server that nobody used yet: proving the procedures once is enough for all tests."""
    server = Server(tmp_path_factory.mktemp("proved") / "data")
    server.start()
    server.stop()
    return server.data


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory, proved_data: Path) -> Iterator[Server]:
    """One server for all tests of a file, where none of them stops it."""
    with run_server(shutil.copytree(proved_data, tmp_path_factory.mktemp("kept") / "data")) as server:
        yield server


@pytest.fixture(scope="module")
def kept_phone(chromium: Browser, workshop: Server) -> Iterator[Phone]:
    """One phone for all tests of a file; `start_afresh` brings it back to its first screen for each."""
    phone = make_phone(chromium, workshop)
    yield phone
    phone.context.close()


@pytest.fixture(scope="module")
def measured_phone(chromium: Browser, workshop: Server) -> Iterator[Phone]:
    """A kept phone without the content policy: to measure, axe writes styles of its own, which it stops."""
    phone = make_phone(chromium, workshop, bypass_csp=True)
    yield phone
    phone.context.close()


@pytest.fixture
def make_server(tmp_path: Path, proved_data: Path) -> Iterator[Callable[..., Server]]:
    made: list[Server] = []

    def make(webui: Path | None = None) -> Server:
        data = shutil.copytree(proved_data, tmp_path / f"data-{len(made)}")
        server = Server(Path(data), webui)
        made.append(server)
        return server

    yield make
    for server in made:
        server.kill()


@pytest.fixture
def server(make_server: Callable[..., Server]) -> Server:
    return make_server().start()


@pytest.fixture
def phones(chromium: Browser) -> Iterator[Callable[..., Phone]]:
    """Makes phones; at the end of the test each must have nothing to complain of."""
    made: list[Phone] = []

    def make(server: Server, **options: Any) -> Phone:
        context = chromium.new_context(
            viewport={"width": 390, "height": 844},
            has_touch=True,
            is_mobile=True,
            device_scale_factor=2,
            **options,
        )
        context.set_default_timeout(WAIT_S * 1000)
        context.add_init_script(WATCH)
        phone = Phone(context, server)
        made.append(phone)
        return phone

    yield make
    for phone in made:
        try:
            phone.check()
        finally:
            phone.context.close()


@pytest.fixture
def phone(server: Server, phones: Callable[..., Phone]) -> Phone:
    """A phone that was let in and has everything it needs to work without a network."""
    return phones(server).let_in()
