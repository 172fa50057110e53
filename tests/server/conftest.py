"""A server in a temporary folder, with a clock that stands still and a catalog that need mean nothing."""

from __future__ import annotations

import hashlib
from collections.abc import AsyncIterator, Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from postgres import create_database, running_postgres
from samples import NOW_MS, ORIGIN, TINY_CATALOG, write_webui
from starlette.applications import Starlette

from fillfirst.access.doorkeeper import Doorkeeper, offer_code
from fillfirst.settings import Settings
from fillfirst.store.sqlite import SqliteStore, open_store
from fillfirst.web.app import create_app
from fillfirst.web.server import ServedCatalog, Server
from fillfirst.web.shell import Shell


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="session")
def cluster() -> Iterator[str]:
    """A PostgreSQL, started when the first test asks for a database."""
    with running_postgres() as url:
        yield url


@pytest.fixture
def postgres_url(cluster: str) -> str:
    """An empty database."""
    return create_database(cluster)


@dataclass
class StandingClock:
    """Milliseconds; moves only when told to."""

    ms: int = NOW_MS

    def __call__(self) -> int:
        return self.ms


@pytest.fixture
def clock() -> StandingClock:
    return StandingClock()


@pytest.fixture
async def store(tmp_path: Path) -> AsyncIterator[SqliteStore]:
    store = await open_store(tmp_path / "data", now_ms=NOW_MS)
    yield store
    await store.close()


@pytest.fixture
async def server(tmp_path: Path, store: SqliteStore, clock: StandingClock) -> Server:
    settings = Settings(data=tmp_path / "data", webui=write_webui(tmp_path / "webui"))
    catalog = ServedCatalog(hashlib.sha256(TINY_CATALOG).hexdigest(), TINY_CATALOG)
    await store.catalogs.keep(catalog.hash, catalog.json, made_from="tiny", now_ms=NOW_MS)
    return Server(settings, store, catalog, Shell(settings.webui_folder), Doorkeeper(store), clock)


@pytest.fixture
def app(server: Server) -> Starlette:
    return create_app(server)


@pytest.fixture
async def stranger(app: Starlette) -> AsyncIterator[httpx.AsyncClient]:
    """A browser, on one of our own pages, that was not let in."""
    transport = httpx.ASGITransport(app, raise_app_exceptions=False)
    async with httpx.AsyncClient(transport=transport, base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield client


@pytest.fixture
async def phone(server: Server, stranger: httpx.AsyncClient) -> httpx.AsyncClient:
    """A browser that was let in."""
    code = await offer_code(server.store, now_ms=server.now_ms())
    answer = await stranger.post("/api/pair", json={"code": code, "name": "garage phone"})
    assert answer.status_code == 200, answer.text
    return stranger
