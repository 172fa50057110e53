"""What the store asks of a database, in the SQL that SQLite and PostgreSQL both understand.

It exists so that devices, codes, catalogs, photos and most of the log are written once: `?` marks a value,
and what the two databases say differently is a method here, not a branch elsewhere.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Sequence
from typing import Any, Protocol, TypeVar

T = TypeVar("T")
Row = tuple[Any, ...]
# Rows that are held in memory at once when all of a database is read.
SCAN_ROWS = 1_000


class Connection(Protocol):
    """One transaction, for as long as the work that was given it lasts."""

    async def execute(self, sql: str, parameters: Sequence[Any] = ()) -> int:
        """Carry out one statement, and say how many rows it changed."""
        ...

    async def execute_many(self, sql: str, rows: Iterable[Sequence[Any]]) -> int:
        """The same statement for every row; how many were changed, or -1 where the database does not say."""
        ...

    async def fetch(self, sql: str, parameters: Sequence[Any] = ()) -> list[Row]:
        """All rows of one statement."""
        ...

    async def fetch_in(self, sql: str, values: Sequence[Any]) -> list[Row]:
        """All rows of `sql` whose last named column is one of these values."""
        ...

    async def load(self, table: str, columns: Sequence[str], rows: Sequence[Row]) -> None:
        """Add rows as they were in another database, numbers and all."""
        ...

    async def count_on(self) -> None:
        """After `load`: number what comes next behind what is there."""
        ...


Work = Callable[[Connection], Awaitable[T]]


class Database(Protocol):
    """An open database."""

    async def read(self, sql: str, parameters: Sequence[Any] = ()) -> list[Row]:
        """Rows of one statement. It sees every write that was answered before. Raises StoreError."""
        ...

    async def write(self, work: Work[T]) -> T:
        """Do this work in a transaction, and come back when it is on the disk.

        The work may be done more than once, of which only the last counts. Raises StoreError, and then
        nothing of it was kept.
        """
        ...

    async def execute(self, sql: str, parameters: Sequence[Any] = ()) -> int:
        """Write one statement, and say how many rows it changed."""
        ...

    @property
    def waiting(self) -> int:
        """How many writes wait for the disk."""
        ...

    def scan(self, statements: Sequence[str]) -> AsyncIterator[tuple[int, list[Row]]]:
        """Rows of several statements, all of one moment, a few at a time, each with its statement's place.

        Raises StoreError.
        """
        ...

    async def close(self) -> None: ...
