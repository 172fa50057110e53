"""The wheel, installed elsewhere, serves the same app: it carries the web client and the specs."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).parents[3]
SETUP = tomllib.loads((TOP / "pyproject.toml").read_text())["tool"]["setuptools"]


def list_files(folder: Path) -> set[str]:
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and not any(part.startswith((".", "__pycache__")) for part in path.parts)
    }


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel's content, in a folder far from the checkout."""
    source, folder = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("elsewhere")
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    for name in listed.rstrip("\0").split("\0"):
        if (TOP / name).is_file():
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            (source / name).write_bytes((TOP / name).read_bytes())
    command = "import sys; from setuptools.build_meta import build_wheel; print(build_wheel(sys.argv[1]))"
    done = subprocess.run(
        [sys.executable, "-c", command, str(folder)], cwd=source, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    with zipfile.ZipFile(next(folder.glob("*.whl"))) as wheel:
        wheel.extractall(folder / "installed")
    return folder / "installed"


def test_every_package_is_named_for_the_wheel() -> None:
    package = TOP / "server" / "fillfirst"
    found = {path.parent.relative_to(package.parent).as_posix() for path in package.rglob("__init__.py")}

    assert set(SETUP["packages"]) == {path.replace("/", ".") for path in found} | {
        "fillfirst.webui_files",
        "fillfirst.specs_files",
    }


@pytest.mark.parametrize("name", ["webui", "specs"])
def test_the_wheel_carries_every_file(unpacked: Path, name: str) -> None:
    assert list_files(unpacked / "fillfirst" / f"{name}_files") == list_files(TOP / name)


def test_the_wheel_carries_the_migrations_and_the_protocol(unpacked: Path) -> None:
    assert list((unpacked / "fillfirst" / "store" / "migrations").glob("*.sql"))
    assert (unpacked / "fillfirst" / "sync" / "PROTOCOL.md").is_file()


def test_the_wheel_carries_the_set_up_page(unpacked: Path) -> None:
    pages = TOP / "server" / "fillfirst" / "web" / "pages"

    assert list_files(unpacked / "fillfirst" / "web" / "pages") == list_files(pages)


def test_the_installed_package_uses_what_it_carries(unpacked: Path, tmp_path: Path) -> None:
    command = (
        "from fillfirst.settings import read_settings as read\n"
        "from fillfirst.web.shell import load_version as load\n"
        "print(read({}).specs_folder, load(read({}).webui_folder).version)"
    )
    environment = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": str(unpacked)}
    done = subprocess.run(
        [sys.executable, "-c", command],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    folder, version = done.stdout.split()

    assert folder == str(unpacked / "fillfirst" / "specs_files")
    assert re.fullmatch("[0-9a-f]{16}", version)


def test_the_installed_package_checks_its_own_specs(unpacked: Path, tmp_path: Path) -> None:
    environment = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": str(unpacked)}
    done = subprocess.run(
        [sys.executable, "-m", "fillfirst", "check"],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )

    assert (done.returncode, done.stderr) == (0, "")
    assert "proved" in done.stdout
