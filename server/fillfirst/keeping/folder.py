"""The folder of backups: their names say when they were made, and the oldest are thrown away."""

from __future__ import annotations

import re
import shutil
import time
from datetime import UTC, datetime
from pathlib import Path

NAME = re.compile(r"fillfirst-(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d-\d{3}Z)\.(tar|sealed)")
MOMENT = "%Y-%m-%dT%H-%M-%S"
# Folders in which backups are made and read back.
WORK_PREFIX = ".backup-"
# No backup takes this long.
OLD_WORK_S = 24 * 60 * 60
# How much of a name says the month.
MONTH_END = len("fillfirst-2026-05")


def name_backup(now_ms: int, *, is_sealed: bool) -> str:
    moment = datetime.fromtimestamp(now_ms / 1000, UTC).strftime(MOMENT)
    return f"fillfirst-{moment}-{now_ms % 1000:03}Z.{'sealed' if is_sealed else 'tar'}"


def list_backups(folder: Path) -> list[Path]:
    """All that were made here, the oldest first."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if NAME.fullmatch(path.name))


def read_moment(path: Path) -> int:
    """When a backup was made, by its name, in milliseconds."""
    match = NAME.fullmatch(path.name)
    assert match is not None
    moment, _, thousandths = match[1].removesuffix("Z").rpartition("-")
    seconds = datetime.strptime(moment, MOMENT).replace(tzinfo=UTC).timestamp()
    return int(seconds) * 1000 + int(thousandths)


def prune(folder: Path, *, keep: int, keep_months: int = 0) -> list[Path]:
    """Throw away all but the `keep` newest and the last of each of the `keep_months` newest months.

    With `keep` 0 all stay. Says which are gone.
    """
    found = list_backups(folder)
    last_of_month = {path.name[:MONTH_END]: path for path in found}
    kept = {*found[-keep:], *list(last_of_month.values())[max(0, len(last_of_month) - keep_months) :]}
    gone = [path for path in found if path not in kept] if keep > 0 else []
    for path in gone:
        path.unlink()
    return gone


def clear(data: Path) -> None:
    """Throw away what a stop in the middle of a backup left; newer folders may be another process's."""
    for path in data.glob(f"{WORK_PREFIX}*"):
        if path.is_dir() and path.stat().st_mtime < time.time() - OLD_WORK_S:
            shutil.rmtree(path, ignore_errors=True)
