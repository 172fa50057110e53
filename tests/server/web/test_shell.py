"""The web client's files: each version under its own address, unchanged for ever."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from pathlib import Path

import httpx
import pytest
from samples import ORIGIN, write_webui

from fillfirst.errors import SettingsError
from fillfirst.web.app import create_app
from fillfirst.web.server import Server
from fillfirst.web.shell import Shell, load_version

pytestmark = pytest.mark.anyio


def read_package(worker: str) -> dict[str, object]:
    line, _, rest = worker.partition(";\n")
    assert rest == "// worker\n"
    package: dict[str, object] = json.loads(line.removeprefix("self.PACKAGE = "))
    return package


async def test_the_page_names_the_files_of_its_version(stranger: httpx.AsyncClient, server: Server) -> None:
    version = server.shell.get().version
    answer = await stranger.get("/")

    assert f'href="/v/{version}/styles/index.css"' in answer.text
    assert f'src="/v/{version}/main.js"' in answer.text
    assert answer.headers["cache-control"] == "no-cache"


async def test_the_worker_is_given_the_hash_of_every_file_as_it_is_served(
    stranger: httpx.AsyncClient,
) -> None:
    worker = await stranger.get("/sw.js")
    package = read_package(worker.text)
    files = package["files"]
    assert isinstance(files, dict)
    served = {path: hashlib.sha256((await stranger.get(path)).content).hexdigest() for path in files}

    assert served == files
    assert sorted(path.rpartition("/")[2] for path in files) == ["", "index.css", "main.js", "units.js"]
    assert package["force"] is False
    assert worker.headers["cache-control"] == "no-cache"


async def test_a_file_of_a_version_never_changes(stranger: httpx.AsyncClient, server: Server) -> None:
    answer = await stranger.get(f"/v/{server.shell.get().version}/main.js")

    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert answer.headers["content-type"] == "text/javascript; charset=utf-8"
    assert answer.headers["content-encoding"] == "gzip"
    assert answer.headers["vary"] == "accept-encoding"


async def test_a_browser_that_unpacks_nothing_gets_the_plain_file(
    stranger: httpx.AsyncClient, server: Server
) -> None:
    path = f"/v/{server.shell.get().version}/main.js"
    answer = await stranger.get(path, headers={"accept-encoding": "identity"})

    assert "content-encoding" not in answer.headers
    assert answer.content == (server.settings.webui_folder / "main.js").read_bytes()


@pytest.mark.parametrize(
    "path",
    [
        "/v/0000000000000000/main.js",
        "/v/{version}/none.js",
        "/v/{version}/",
        "/v/{version}/.hidden",
        "/v/{version}/index.html",
        "/v/{version}/service-worker.js",
        "/v/{version}/sw-off.js",
        "/v/{version}/../main.js",
        "/v/{version}/%2e%2e/%2e%2e/data/fillfirst.db",
        "/v/{version}/..%2f..%2fdata%2ffillfirst.db",
        "/v/{version}//etc/passwd",
        "/main.js",
        "/index.html",
    ],
)
async def test_nothing_else_is_served(stranger: httpx.AsyncClient, server: Server, path: str) -> None:
    answer = await stranger.get(path.format(version=server.shell.get().version))

    assert (answer.status_code, answer.json()["code"]) == (404, "not_found")


def test_any_change_of_any_file_is_another_version(tmp_path: Path) -> None:
    folder = write_webui(tmp_path)
    versions = {load_version(folder).version}
    for name in ("index.html", "service-worker.js", "sw-off.js", "core/units.js"):
        (folder / name).write_text((folder / name).read_text() + " ")
        versions.add(load_version(folder).version)
    (folder / "core" / "new.js").write_text("")
    versions.add(load_version(folder).version)

    assert len(versions) == 6


def test_the_same_files_are_the_same_version(tmp_path: Path) -> None:
    assert (
        load_version(write_webui(tmp_path / "a")).version == load_version(write_webui(tmp_path / "b")).version
    )


async def test_the_kill_switch_is_served_at_the_worker_s_own_address(server: Server) -> None:
    off = replace(server, shell=Shell(server.settings.webui_folder, is_off=True))
    transport = httpx.ASGITransport(create_app(off))
    async with httpx.AsyncClient(transport=transport, base_url=ORIGIN) as client:
        assert (await client.get("/sw.js")).text == "// off\n"


def test_a_fix_that_cannot_wait_tells_the_worker_so(tmp_path: Path) -> None:
    worker = load_version(write_webui(tmp_path), force_update=True).worker

    assert read_package(worker.body.decode())["force"] is True


def test_a_follower_sees_a_change_at_once(tmp_path: Path) -> None:
    shell = Shell(write_webui(tmp_path), follow=True)
    before = shell.get()
    (tmp_path / "new.js").write_text("")

    assert shell.get().version != before.version
    assert shell.get() is shell.get()


def test_a_server_does_not_notice_until_it_is_started_again(tmp_path: Path) -> None:
    shell = Shell(write_webui(tmp_path))
    before = shell.get()
    (tmp_path / "new.js").write_text("")

    assert shell.get() is before


def test_a_folder_that_is_no_web_client_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as refused:
        load_version(tmp_path)

    assert (
        str(refused.value)
        == f"--webui: found no index.html in {tmp_path}; expected the folder of the web client."
    )
