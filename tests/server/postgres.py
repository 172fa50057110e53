"""A throw-away PostgreSQL from Debian's package: in a temporary folder, on a socket file, for one run."""

from __future__ import annotations

import asyncio
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import asyncpg

# Debian keeps the programs of each version out of the way of PATH.
DEBIAN = Path("/usr/lib/postgresql")


def find_program(name: str) -> str:
    found = sorted(DEBIAN.glob(f"*/bin/{name}"), reverse=True)
    path = str(found[0]) if found else shutil.which(name)
    assert path is not None, f"there is no {name}: install Debian's package postgresql"
    return path


def run(*words: str) -> None:
    # PostgreSQL refuses to run as root.
    as_other = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    done = subprocess.run([*as_other, *words], capture_output=True, text=True, cwd="/", check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@contextmanager
def running_postgres(fsync: str = "off") -> Iterator[str]:
    """The address of a new cluster, up to the name of a database."""
    folder = Path(tempfile.mkdtemp(prefix="fillfirst-postgres-"))
    data = folder / "data"
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    # Nothing of a test need survive a power cut.
    small = "-c shared_buffers=16MB -c max_connections=60"
    flags = f"-c listen_addresses='' -k {folder} -c fsync={fsync} {small}"
    log = str(folder / "log")
    try:
        run(find_program("initdb"), "-D", str(data), "-U", "keeper", "-A", "trust", "-E", "UTF8", "--no-sync",
            "--locale", "C")  # fmt: skip
        run(find_program("pg_ctl"), "-D", str(data), "-w", "-l", log, "-o", flags, "start")
        try:
            yield f"postgresql://keeper@/{{name}}?host={folder}"
        finally:
            run(find_program("pg_ctl"), "-D", str(data), "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def create_database(cluster: str) -> str:
    """The address of a new, empty database."""
    name = f"test_{uuid4().hex}"

    async def create() -> None:
        connection = await asyncpg.connect(cluster.format(name="postgres"))
        await connection.execute(f"CREATE DATABASE {name}")
        await connection.close()

    # In a loop of its own, so that tests without one may ask for it too.
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, create()).result()
    return cluster.format(name=name)
