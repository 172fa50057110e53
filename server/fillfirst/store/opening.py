"""Opens the store that the settings name: which database, and which shelf for the photos."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from fillfirst.errors import SettingsError
from fillfirst.store.shelf import FolderShelf, Shelf
from fillfirst.store.sql import SqlStore
from fillfirst.store.sqlite import open_store as open_sqlite_store

POSTGRES_SCHEMES = ("postgresql://", "postgres://")


async def open_store(
    folder: Path,
    *,
    database: str | None = None,
    photos: str | None = None,
    now_ms: int,
    environ: Mapping[str, str] | None = None,
) -> SqlStore:
    """The store of this data folder, or of the database and the photos elsewhere that are named.

    Raises StoreError, and SettingsError for an address that is none.
    """
    shelf = open_shelf(photos, os.environ if environ is None else environ)
    if database is None:
        return await open_sqlite_store(folder, now_ms=now_ms, shelf=shelf)
    if not database.startswith(POSTGRES_SCHEMES):
        raise SettingsError("--database", f'"{database}"', "postgresql://USER@HOST/NAME")
    # Imported here: on a small box neither its memory nor its time at start is spent.
    from fillfirst.store.postgres import open_store as open_postgres_store

    return await open_postgres_store(database, folder, now_ms=now_ms, shelf=shelf)


def open_shelf(photos: str | None, environ: Mapping[str, str]) -> Shelf | None:
    """The shelf that is named; None for the one in the data folder."""
    if photos is None:
        return None
    if "://" not in photos:
        return FolderShelf(Path(photos))
    from fillfirst.store.s3 import S3Shelf, read_keys

    return S3Shelf(photos, read_keys(environ))
