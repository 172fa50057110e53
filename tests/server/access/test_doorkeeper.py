"""One code lets one device in, for ten minutes, and guessing is slow."""

from __future__ import annotations

from typing import Any

import pytest
from samples import NOW_MS

from fillfirst.access.doorkeeper import Doorkeeper, offer_code, write_link
from fillfirst.errors import RequestError
from fillfirst.store.sqlite import SqliteStore

pytestmark = pytest.mark.anyio

MINUTE_MS = 60_000
WRONG = "BBBBBBBB"


@pytest.fixture
def doorkeeper(store: SqliteStore) -> Doorkeeper:
    return Doorkeeper(store)


async def try_in(doorkeeper: Doorkeeper, code: str, *, now_ms: int = NOW_MS, **more: Any) -> str:
    """The token, or the code of the refusal."""
    try:
        return (await doorkeeper.let_in(code, "phone", replaces=more.get("replaces"), now_ms=now_ms)).token
    except RequestError as error:
        return error.code


async def test_a_code_lets_a_device_in(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    token = await try_in(doorkeeper, await offer_code(store, now_ms=NOW_MS))

    device = await doorkeeper.recognise(token)
    assert device is not None
    assert device.name == "phone"


async def test_a_code_is_used_up(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    code = await offer_code(store, now_ms=NOW_MS)
    await try_in(doorkeeper, code)

    assert await try_in(doorkeeper, code) == "code_not_valid"


@pytest.mark.parametrize(("minutes", "is_in"), [(9.99, True), (10, False)])
async def test_a_code_lasts_ten_minutes(
    store: SqliteStore, doorkeeper: Doorkeeper, minutes: float, is_in: bool
) -> None:
    code = await offer_code(store, now_ms=NOW_MS)
    answer = await try_in(doorkeeper, code, now_ms=NOW_MS + int(minutes * MINUTE_MS))

    assert (answer != "code_not_valid") == is_in


@pytest.mark.parametrize(("wrong", "is_in"), [(4, True), (5, False)])
async def test_a_code_stands_five_tries(
    store: SqliteStore, doorkeeper: Doorkeeper, wrong: int, is_in: bool
) -> None:
    code = await offer_code(store, now_ms=NOW_MS)
    answers = [await try_in(doorkeeper, WRONG) for _ in range(wrong)]
    answer = await try_in(doorkeeper, code)

    assert answers == ["code_not_valid"] * wrong
    assert (answer != "code_not_valid") == is_in


async def test_ten_tries_a_minute_are_all_there_are(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    for _ in range(10):
        await try_in(doorkeeper, WRONG)
    code = await offer_code(store, now_ms=NOW_MS)

    assert await try_in(doorkeeper, code) == "too_many_tries"
    assert len(await try_in(doorkeeper, code, now_ms=NOW_MS + MINUTE_MS)) == 43


async def test_a_device_sent_away_is_known_no_more(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    token = await try_in(doorkeeper, await offer_code(store, now_ms=NOW_MS))
    assert await store.devices.revoke(1, now_ms=NOW_MS)

    assert await doorkeeper.recognise(token) is None
    assert not await store.devices.revoke(1, now_ms=NOW_MS)


async def test_a_browser_let_in_again_is_one_device(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    first = await try_in(doorkeeper, await offer_code(store, now_ms=NOW_MS))
    device = await doorkeeper.recognise(first)
    second = await try_in(doorkeeper, await offer_code(store, now_ms=NOW_MS), replaces=device)

    assert await doorkeeper.recognise(first) is None
    assert await doorkeeper.recognise(second) is not None


@pytest.mark.parametrize("token", [None, "", "guess", "\ud800"])
async def test_a_token_never_given_is_not_known(doorkeeper: Doorkeeper, token: str | None) -> None:
    assert await doorkeeper.recognise(token) is None


async def test_no_secret_is_in_the_database(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    code = await offer_code(store, now_ms=NOW_MS)
    token = await try_in(doorkeeper, code)
    rows = await store._database.read("SELECT * FROM pairing_codes, devices")

    assert not [
        value for row in rows for value in row if value in (code, token, code.encode(), token.encode())
    ]


async def test_a_name_is_cut_to_one_short_line(store: SqliteStore, doorkeeper: Doorkeeper) -> None:
    code = await offer_code(store, now_ms=NOW_MS)
    let_in = await doorkeeper.let_in(code, "  a\n b " + "x" * 99, replaces=None, now_ms=NOW_MS)

    assert let_in.device.name == "a b " + "x" * 56


def test_the_code_in_a_link_is_never_sent_to_a_server() -> None:
    assert write_link("http://127.0.0.1:8765", "BCDFGHJK") == "http://127.0.0.1:8765/#let-in=BCDFGHJK"
