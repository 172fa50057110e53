"""Every shipped demo car, with all its jobs: the whole day goes up, and nothing speaks against its record."""

from __future__ import annotations

import httpx
import pytest
from played import TOP, Phone
from samples import NOW_MS

from fillfirst.catalog.document import Catalog, write
from fillfirst.specs import Specs, load
from fillfirst.store.sqlite import SqliteStore

pytestmark = pytest.mark.anyio

CARS = sorted(path.stem for path in (TOP / "specs" / "vehicles").glob("*.toml"))


@pytest.fixture(scope="module")
def specs() -> Specs:
    return load(TOP / "specs")


@pytest.fixture(scope="module")
def catalog(specs: Specs) -> Catalog:
    return write(specs)


@pytest.mark.parametrize("car", CARS)
async def test_a_whole_day_leaves_nothing_open(
    phone: httpx.AsyncClient, store: SqliteStore, specs: Specs, catalog: Catalog, car: str
) -> None:
    await store.catalogs.keep(catalog.hash, catalog.json, made_from="shipped", now_ms=NOW_MS)
    played = Phone(specs, catalog.hash, car=car)
    played.do_all()
    played.close()
    await played.sync(phone)
    record = (await phone.get("/api/visits/visit-1/record")).json()

    assert {step["status"] for step in record["steps"]} == {"done"}
    assert record["left_open"] == []
    assert record["disagreements"] == []
    assert record["unread_count"] == 0
    assert [each["title"] for each in record["fluids"] if not (each["out_shown"] and each["in_shown"])] == []
    assert not [step["title"] for step in record["steps"] if "{" in step["title"]]
    assert not [step["id"] for step in record["steps"] if step["torque"] and not step["torque"]["source"]]
