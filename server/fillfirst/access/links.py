"""Secret addresses: whoever holds one sees the one thing it opens, without being let in.

The secret is 256 random bits, of which the store keeps the hash. It is told once, when it is made. A link
that was taken back is like one that never was.
"""

from __future__ import annotations

from typing import NamedTuple

from fillfirst.access.doorkeeper import SEEN_EVERY_MS, cut_name
from fillfirst.access.secrets import hash_secret, make_token
from fillfirst.store.interface import Link, Opens, Store


class MadeLink(NamedTuple):
    """A link, and the secret that nobody can ask for again."""

    link: Link
    secret: str


async def make_link(
    store: Store, opens: Opens, subject: str, name: str, *, created_by: int, now_ms: int
) -> MadeLink:
    """Make a link. `created_by` is the number of the device that asked for it."""
    secret = make_token()
    link = await store.links.add(
        hash_secret(secret), opens, subject, cut_name(name), created_by=created_by, now_ms=now_ms
    )
    return MadeLink(link, secret)


async def open_link(store: Store, opens: Opens, secret: str, *, now_ms: int) -> Link | None:
    """The link of this secret, noted as seen; None if there is none that opens this."""
    link = await store.links.find(hash_secret(secret))
    if link is None or link.opens != opens:
        return None
    if link.last_seen_at_ms is None or now_ms - link.last_seen_at_ms >= SEEN_EVERY_MS:
        await store.links.note_seen(link.id, now_ms=now_ms)
    return link
