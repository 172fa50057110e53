"""What every route works with: one running server."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, cast

from starlette.requests import Request

from fillfirst.access.doorkeeper import Doorkeeper
from fillfirst.settings import Settings
from fillfirst.store.interface import Device, Store
from fillfirst.web.journal import Counts
from fillfirst.web.shell import Shell

if TYPE_CHECKING:
    # What reads certificates takes a while to load, and a server without one does without it.
    from fillfirst.access.certificate import ServedCertificate
    from fillfirst.keeping.schedule import Schedule


def read_clock() -> int:
    return time.time_ns() // 1_000_000


@dataclass(frozen=True, slots=True)
class ServedCatalog:
    """The catalog that phones are given now."""

    hash: str
    json: bytes
    trouble: str = ""
    """Why a keeper's own specs are not in it; empty where they are, or where there are none."""


@dataclass(frozen=True, slots=True)
class Server:
    """One running server and everything it holds."""

    settings: Settings
    store: Store
    catalog: ServedCatalog
    shell: Shell
    doorkeeper: Doorkeeper
    now_ms: Callable[[], int] = field(default=read_clock)
    certificate: ServedCertificate | None = None
    schedule: Schedule | None = None
    counts: Counts = field(default_factory=Counts)
    started_at_ms: int = field(default_factory=read_clock)


def server_of(request: Request) -> Server:
    return cast(Server, request.app.state.server)


def device_of(request: Request) -> Device:
    """The device that asks; only for endpoints that let in nobody else."""
    return cast(Device, request.state.device)
