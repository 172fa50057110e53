"""What makes the page an app that a phone installs and starts fast, read from the files themselves."""

from __future__ import annotations

import json
import re
import struct
from collections.abc import Callable

import pytest
from phones import TOP, Phone, Server
from screen_visits import start_afresh

WEBUI = TOP / "webui"
INDEX = (WEBUI / "index.html").read_text()


def list_start_path() -> set[str]:
    """Every module that must be there before main.js runs: what it imports, and what these import in turn."""
    found: set[str] = set()
    waiting = ["main.js"]
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        code = re.sub(r"/\*.*?\*/|//[^\n]*", "", (WEBUI / name).read_text(), flags=re.DOTALL)
        for address in re.findall(r'^import\b[^;]*?"(\.[^"]+)"', code, flags=re.MULTILINE):
            waiting.append(str((WEBUI / name).parent.joinpath(address).resolve().relative_to(WEBUI)))
    return found


def test_modules_of_the_start_path_are_asked_for_at_once() -> None:
    preloaded = set(re.findall(r'rel="modulepreload" href="\./([^"]+)"', INDEX))

    assert preloaded == list_start_path() - {"main.js"}


def test_the_page_names_what_its_first_screens_need(workshop: Server, kept_phone: Phone) -> None:
    phone = start_afresh(kept_phone)
    phone.cut()
    phone.page.goto("about:blank")
    phone.page.goto(f"{workshop.address}/#/cars")
    phone.wait_until_started()
    phone.restore()

    named, used = phone.ask(LIST_MODULES)

    assert {"screens/cars.js"} <= set(used) <= set(named)


def test_page_holds_no_inline_script_and_no_inline_style() -> None:
    assert re.findall(r"<script(?![^>]*\bsrc=)", INDEX) == []
    assert re.findall(r"<style|\sstyle=|\son\w+=", INDEX) == []


def test_manifest_names_icons_of_the_sizes_that_phones_ask_for() -> None:
    manifest = json.loads((WEBUI / "manifest.webmanifest").read_text())
    sizes = {
        (icon["src"], icon["sizes"]): struct.unpack(">II", (WEBUI / icon["src"]).read_bytes()[16:24])
        for icon in manifest["icons"]
        if icon["type"] == "image/png"
    }

    assert {key: f"{width}x{height}" for key, (width, height) in sizes.items()} == {
        key: key[1] for key in sizes
    }
    assert (manifest["id"], manifest["start_url"], manifest["display"]) == ("/", "/", "standalone")


def test_everything_the_app_may_ask_for_is_on_the_phone_after_the_first_load(phone: Phone) -> None:
    names = {path.relative_to(WEBUI).as_posix() for path in WEBUI.rglob("*") if path.is_file()}
    apart = {"index.html", "service-worker.js", "sw-off.js"} | {n for n in names if n.endswith(".png")}

    kept = phone.ask(LIST_CACHE)

    assert {name.split("/", 3)[3] for name in kept if name != "/"} == names - apart


def test_addresses_lead_to_the_screens_they_name_and_all_others_to_the_cars(phone: Phone) -> None:
    found = phone.ask(PARSE_ADDRESSES, [address for address, _ in ADDRESSES])

    assert found == [f"{view} {subject}".strip() for _, (view, subject) in ADDRESSES]


@pytest.mark.parametrize(
    ("zone", "expected"),
    [
        ("Europe/Helsinki", "2026-05-04T11:42:00+03:00"),
        ("America/St_Johns", "2026-05-04T06:12:00-02:30"),
        ("Asia/Kathmandu", "2026-05-04T14:27:00+05:45"),
    ],
)
def test_wall_time_is_the_phones_own_with_its_offset(
    server: Server, phones: Callable[..., Phone], zone: str, expected: str
) -> None:
    phone = phones(server, timezone_id=zone).let_in()

    assert phone.ask(TELL_WALL_TIME, "2026-05-04T08:42:00Z") == expected


ADDRESSES = [
    ("", ("cars", "")),
    ("#/cars", ("cars", "")),
    ("#/plan/hill-estate", ("plan", "hill-estate")),
    ("#/car/new", ("car", "new")),
    ("#/work/0192-ab", ("work", "0192-ab")),
    ("#/open/a%2Fb", ("open", "a/b")),
    ("#/record/x", ("record", "x")),
    ("#/let-in", ("let-in", "")),
    ("#/work/", ("cars", "")),
    ("#/plan/%E0%A4%A", ("cars", "")),
    ("#/elsewhere/x", ("cars", "")),
]
# What the page names of a view's modules, and what was asked for as an import alone.
LIST_MODULES = """
() => {
  const start = document.querySelector("script").src.replace("main.js", "");
  const named = document.querySelector("meta[name=modules-of-cars]").content.split(" ");
  const asked = performance.getEntriesByType("resource").map(({ name }) => name);
  const screens = asked.filter((name) => name.startsWith(`${start}screens/`));
  return [named, screens.map((name) => name.slice(start.length))];
}
"""
PARSE_ADDRESSES = """
async (addresses) => {
  const router = document.querySelector("script").src.replace("main.js", "app/router.js");
  const { parseAddress } = await import(router);
  return addresses.map(parseAddress).map(({ view, car, visit }) => `${view} ${car}${visit}`.trim());
}
"""
TELL_WALL_TIME = """
async (moment) => {
  const storage = document.querySelector("script").src.replace("main.js", "storage/events.js");
  return (await import(storage)).tellWallTime(new Date(moment));
}
"""
LIST_CACHE = """
async () => {
  const [name] = await caches.keys();
  const requests = await (await caches.open(name)).keys();
  return requests.map((request) => new URL(request.url).pathname);
}
"""
