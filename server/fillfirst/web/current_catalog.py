"""The catalog to serve: the one kept from last time where nothing has changed, else built and proved anew.

Building it takes seconds of units, links and proof; an unchanged start should take none of that.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from fillfirst.settings import PACKAGE
from fillfirst.store.interface import Store
from fillfirst.web.server import ServedCatalog

# The parts of the code that a catalog's content depends on.
MAKERS = ("quantities", "formulas", "specs", "visits", "catalog")


async def get_current_catalog(
    store: Store, specs: Path, own: Path | None = None, *, now_ms: int, tell: Callable[[str], object]
) -> ServedCatalog:
    """The catalog of these specs, with a keeper's own laid over them; `tell` is told what takes a while.

    Where the keeper's own are at fault, that is told, and the last good catalog stays in service.

    Raises SpecsError or UnprovedError if the specs are not sound: an unproved catalog is not served.
    """
    made_from = hash_files([specs, *([own] if own else []), *(PACKAGE / name for name in MAKERS)])
    kept = await store.catalogs.find_made_from(made_from)
    if kept is not None:
        # The last one in service is the one to fall back on.
        await store.catalogs.keep(*kept, made_from=made_from, now_ms=now_ms)
        return ServedCatalog(*kept)
    # Imported here, because an unchanged start needs none of it.
    from fillfirst.catalog import UnprovedError, build
    from fillfirst.specs import SpecsError, load

    tell("The procedures are new here: reading and proving them …")
    if own is None:
        catalog = build(load(specs))
    else:
        from fillfirst.specs.own import lay_own, load_own

        laid = lay_own(specs, own)
        try:
            catalog = build(load_own(laid))
        except (SpecsError, UnprovedError) as error:
            named = ", ".join(map(str, laid.find_files(str(error))))
            trouble = f"The own specs in {own} are not in service, because of {named}:\n{error}"
            last = await store.catalogs.find_newest()
            whose = "the last good ones" if last else "those that came with fillfirst"
            tell(f"The own specs in {own} are at fault, so {whose} are in service.")
            if last is not None:
                return ServedCatalog(*last, trouble=trouble)
            return replace(await get_current_catalog(store, specs, now_ms=now_ms, tell=tell), trouble=trouble)
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
