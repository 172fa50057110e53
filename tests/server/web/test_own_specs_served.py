"""A keeper's own specs that are at fault never take the catalog out of service."""

from __future__ import annotations

import asyncio
from pathlib import Path

from fillfirst.catalog import Catalog
from fillfirst.specs.linked import Specs
from fillfirst.store.sqlite import open_store
from fillfirst.web.current_catalog import get_current_catalog
from fillfirst.web.server import ServedCatalog

MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"
GOOD = '[rope]\ntitle = "Rope"\nsays = "It pulls a hand in."\nlevel = "danger"\n'


def run(folder: Path, *hazards: str | None) -> list[ServedCatalog]:
    """Start once for each state of the own hazards, one after another; None is no folder of one's own."""
    own = folder / "own"
    own.mkdir()

    async def start(now_ms: int, text: str | None) -> ServedCatalog:
        store = await open_store(folder / "data", now_ms=now_ms)
        try:
            if text is not None:
                (own / "hazards.toml").write_text(text)
            return await get_current_catalog(
                store, MINI, own if text is not None else None, now_ms=now_ms, tell=_ignore
            )
        finally:
            await store.close()

    return [asyncio.run(start(1000 + at, text)) for at, text in enumerate(hazards)]


def _ignore(words: str) -> None:
    pass


def read(served: ServedCatalog) -> Specs:
    return Catalog.parse(served.json, served.hash)


def test_own_specs_are_in_the_catalog(tmp_path: Path) -> None:
    (served,) = run(tmp_path, GOOD)

    assert "rope" in read(served).hazards
    assert served.trouble == ""


def test_the_last_good_catalog_stays_when_own_specs_break(tmp_path: Path) -> None:
    good, broken = run(tmp_path, GOOD, GOOD.replace("danger", "dangerous"))

    assert broken.hash == good.hash
    assert str(tmp_path / "own" / "hazards.toml") in broken.trouble


def test_the_last_in_service_is_the_one_that_stays(tmp_path: Path) -> None:
    other = GOOD.replace("rope", "hook")
    first, _, again, broken = run(tmp_path, GOOD, other, GOOD, "[rope\n")

    assert first.hash == again.hash == broken.hash


def test_without_any_good_one_the_shipped_specs_are_served(tmp_path: Path) -> None:
    broken, shipped = run(tmp_path, "[rope\n", None)

    assert broken.hash == shipped.hash
    assert broken.trouble != ""
    assert shipped.trouble == ""
