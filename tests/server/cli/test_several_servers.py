"""Several server processes on one PostgreSQL: every phone is given every entry, once, in order."""

from __future__ import annotations

import asyncio
import itertools
import random
import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest
from running import RunningServer, prepare
from samples import NOW_MS, make_event, make_id, make_round

from fillfirst.access.secrets import hash_secret
from fillfirst.store.opening import open_store

PHONES, ROUNDS, EVENTS_A_ROUND = 6, 12, 3
TOKENS = [f"token-of-phone-{number}" for number in range(PHONES)]


async def let_all_in(folder: Path, url: str) -> None:
    store = await open_store(folder, database=url, now_ms=NOW_MS)
    for number, token in enumerate(TOKENS):
        code = bytes([number])
        await store.devices.offer_code(code, role="owner", expires_at_ms=NOW_MS + 1, now_ms=NOW_MS)
        await store.devices.let_in(code, hash_secret(token), f"phone {number}", replaces=None, now_ms=NOW_MS)
    await store.close()


@pytest.fixture
def servers(tmp_path: Path, postgres_url: str) -> Iterator[list[RunningServer]]:
    (tmp_path / "a").mkdir()
    prepare(tmp_path / "a")
    shutil.copytree(tmp_path / "a", tmp_path / "b")
    # At once, on a database that is empty: one of them makes the tables.
    with ThreadPoolExecutor(2) as threads:
        more = ["--database", postgres_url, "--backup-every", "0", "--demo"]
        started = list(threads.map(lambda name: RunningServer(tmp_path / name, *more), ["a", "b"]))
    asyncio.run(let_all_in(tmp_path / "a", postgres_url))
    yield started
    for server in started:
        server.kill()


class Phone:
    """Pushes its own entries and pulls everybody's, through whichever server it happens to reach."""

    def __init__(self, number: int, servers: list[RunningServer], epoch: str) -> None:
        self.number, self.epoch = number, epoch
        self.clients = [
            httpx.Client(
                base_url=server.address,
                headers={"origin": server.address, "cookie": f"device={TOKENS[number]}"},
                timeout=30,
            )
            for server in servers
        ]
        self.cursor, self.ack, self.seqs, self.ids = 0, 0, [], []
        self.chance = random.Random(number)

    def hold_round(self, *events: dict[str, object]) -> bool:
        body = make_round(
            *events, epoch=self.epoch, cursor=self.cursor, ack=self.ack, device=f"phone-{self.number}"
        )
        answer = self.chance.choice(self.clients).post("/api/sync", json=body)
        assert answer.status_code == 200, answer.text
        told = answer.json()
        assert told["epoch"] == self.epoch
        assert told["refused"] == []
        self.seqs += [one["seq"] for one in told["events"]]
        self.ids += [one["event"]["id"] for one in told["events"]]
        self.cursor, self.ack = told["cursor"], told["ack"]
        return bool(told["more"])

    def work(self) -> None:
        counts = itertools.count(1)
        for _ in range(ROUNDS):
            self.hold_round(*(self.make(next(counts)) for _ in range(EVENTS_A_ROUND)))

    def make(self, n: int) -> dict[str, object]:
        return make_event(
            n,
            id=make_id(n, device=self.number),
            device=f"phone-{self.number}",
            subject=f"visit-{self.number}",
        )

    def close(self) -> None:
        for client in self.clients:
            client.close()


def test_no_entry_is_missed_and_none_is_given_twice(servers: list[RunningServer]) -> None:
    health = [httpx.get(f"{server.address}/api/health").json() for server in servers]
    phones = [Phone(number, servers, health[0]["epoch"]) for number in range(PHONES)]
    with ThreadPoolExecutor(PHONES) as threads:
        list(threads.map(Phone.work, phones))
    for phone in phones:
        while phone.hold_round():
            pass
        phone.close()

    everything = {
        make_id(n, device=number) for number in range(PHONES) for n in range(1, ROUNDS * EVENTS_A_ROUND + 1)
    }
    assert health[0]["server_id"] == health[1]["server_id"]
    assert all(sorted(phone.ids) == sorted(everything) for phone in phones)
    assert all(phone.seqs == sorted(set(phone.seqs)) for phone in phones)
    assert {tuple(phone.ids) for phone in phones} == {tuple(phones[0].ids)}
