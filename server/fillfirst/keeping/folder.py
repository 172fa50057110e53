"""The folder of backups: their names say when they were made, and the oldest are thrown away."""

from __future__ import annotations

import re
import shutil
from datetime import UTC, datetime
from pathlib import Path

NAME = re.compile(r"fillfirst-(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d-\d{3}Z)\.(tar|sealed)")
MOMENT = "%Y-%m-%dT%H-%M-%S"


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


def prune(folder: Path, *, keep: int) -> list[Path]:
    """Throw away the oldest, and what a stop in the middle left; say which backups these were."""
    gone = list_backups(folder)[:-keep] if keep > 0 else []
    for path in gone:
        path.unlink()
    for path in folder.iterdir():
        if path.name.startswith((".backup-", ".verify-")) and path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
    return gone
