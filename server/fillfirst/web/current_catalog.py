"""The catalog to serve: the one kept from last time where nothing has changed, else built and proved anew.

Building it takes seconds of units, links and proof; an unchanged start should take none of that.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from pathlib import Path

from fillfirst.settings import PACKAGE
from fillfirst.store.interface import Store
from fillfirst.web.server import ServedCatalog

# The parts of the code that a catalog's content depends on.
MAKERS = ("quantities", "formulas", "specs", "visits", "catalog")


async def get_current_catalog(
    store: Store, specs: Path, *, now_ms: int, tell: Callable[[str], object]
) -> ServedCatalog:
    """The catalog of these specs; `tell` is told what takes a while.

    Raises SpecsError or UnprovedError if the specs are not sound: an unproved catalog is not served.
    """
    made_from = hash_files([specs, *(PACKAGE / name for name in MAKERS)])
    kept = await store.catalogs.find_made_from(made_from)
    if kept is not None:
        return ServedCatalog(*kept)
    # Imported here, because an unchanged start needs none of it.
    from fillfirst.catalog import build
    from fillfirst.specs import load

    tell("The procedures are new here: reading and proving them …")
    catalog = build(load(specs))
    await store.catalogs.keep(catalog.hash, catalog.json, made_from=made_from, now_ms=now_ms)
    return ServedCatalog(catalog.hash, catalog.json)


def hash_files(folders: Iterable[Path]) -> str:
    """One hash over the names and contents of all specs and modules in these folders."""
    digest = hashlib.sha256()
    for folder in folders:
        for path in sorted(path for path in folder.rglob("*") if path.suffix in {".toml", ".py"}):
            body = path.read_bytes()
            digest.update(f"{path.relative_to(folder)}\0{len(body)}\0".encode())
            digest.update(body)
    return digest.hexdigest()
