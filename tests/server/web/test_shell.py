"""The web client's files: each version under its own address, unchanged for ever."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import replace
from pathlib import Path

import httpx
import pytest
from samples import ORIGIN, write_webui

from fillfirst.errors import SettingsError
from fillfirst.web.app import create_app
from fillfirst.web.server import Server
from fillfirst.web.shell import Shell, drop_comments, load_version

WEBUI = Path(__file__).parents[3] / "webui"
pytestmark = pytest.mark.anyio


def read_package(worker: str) -> dict[str, object]:
    line, _, rest = worker.partition(";\n")
    assert rest == "void worker;\n"
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
    assert answer.headers["vary"] == "accept-encoding"


@pytest.mark.parametrize(
    ("accepted", "encoding"),
    [
        ("gzip, deflate, br, zstd", "br"),
        ("gzip, deflate", "gzip"),
        ("br;q=0, gzip;q=0.5", "gzip"),
        ("br;q=0.1", "br"),
        ("identity", None),
        ("", None),
    ],
)
async def test_a_file_is_packed_as_the_browser_takes_it(
    stranger: httpx.AsyncClient, server: Server, accepted: str, encoding: str | None
) -> None:
    version = server.shell.get()
    path = f"/v/{version.version}/main.js"
    answer = await stranger.get(path, headers={"accept-encoding": accepted})

    assert answer.headers.get("content-encoding") == encoding
    assert answer.content == version.files["main.js"].body


async def test_a_browser_that_has_the_page_is_told_that_it_is_the_same(stranger: httpx.AsyncClient) -> None:
    tag = (await stranger.get("/")).headers["etag"]
    again = await stranger.get("/", headers={"if-none-match": tag})

    assert (again.status_code, again.content) == (304, b"")


async def test_all_texts_of_a_version_come_in_one_answer(stranger: httpx.AsyncClient, server: Server) -> None:
    version = server.shell.get()
    answer = await stranger.get(f"/v/{version.version}/whole.json")

    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert answer.json() == {name: [file.type, file.body.decode()] for name, file in version.files.items()}


@pytest.mark.parametrize(
    ("name", "written", "served"),
    [
        ("a.js", "// why\nlet a; // why\n", "\nlet a; // why\n"),
        ("a.js", "/**\n * why\n */\nlet a;\n", "\n\n\nlet a;\n"),
        ("a.js", "/** @type {A} */ (a)\nlet b; /* why */\n", "/** @type {A} */ (a)\nlet b; /* why */\n"),
        ("a.js", "  /* one */\nlet a = /* two */\n  1;\n", "\nlet a = /* two */\n  1;\n"),
        ("a.css", "/* why */\na { b: url(//c) }\n//d\n", "\na { b: url(//c) }\n//d\n"),
        ("a.svg", "// text\n", "// text\n"),
    ],
)
def test_comments_do_not_travel_where_they_fill_their_lines(name: str, written: str, served: str) -> None:
    assert drop_comments(name, written.encode()).decode() == served


async def test_a_browser_that_unpacks_nothing_gets_the_plain_file(
    stranger: httpx.AsyncClient, server: Server
) -> None:
    path = f"/v/{server.shell.get().version}/main.js"
    answer = await stranger.get(path, headers={"accept-encoding": "identity"})

    assert "content-encoding" not in answer.headers
    assert answer.content == server.shell.get().files["main.js"].body


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


def test_the_styles_of_the_web_client_lose_nothing_but_comments() -> None:
    styles = {path.name: path.read_text() for path in WEBUI.rglob("*.css")}
    served = {name: drop_comments(name, text.encode()).decode() for name, text in styles.items()}

    assert {name: read_rules(text) for name, text in served.items()} == {
        name: read_rules(text) for name, text in styles.items()
    }


def read_rules(style: str) -> list[str]:
    """The words of a style without any comment."""
    return re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL).split()
