"""The newest events that this process took, kept in memory as they came.

Every round gives a phone back what it has just pushed, and within half a minute the other phones ask for the
same. What is still at hand need not be read and put together again. The log stays the only truth: these are
given only where they are all that follows a cursor, up to the head that the database tells.
"""

from __future__ import annotations

from collections.abc import Sequence

from fillfirst.store.interface import StoredEvent

KEPT_EVENTS = 2_000
KEPT_BYTES = 1024 * 1024


class RecentEvents:
    """A stretch of the log without a gap, ending at the last event that was added."""

    def __init__(self) -> None:
        self._events: list[StoredEvent] = []

    def add(self, events: Sequence[StoredEvent]) -> None:
        """What was committed just now. Where it does not follow on what is here, that is forgotten."""
        if self._events and self._events[-1].seq + 1 != events[0].seq:
            self._events = []
        self._events += events[-KEPT_EVENTS:]
        del self._events[:-KEPT_EVENTS]
        size = sum(len(event.text) for event in self._events)
        while size > KEPT_BYTES:
            size -= len(self._events.pop(0).text)

    def find(self, cursor: int, head: int) -> Sequence[StoredEvent] | None:
        """All events after a cursor; None if some of them are not here."""
        if not self._events or self._events[-1].seq < head:
            return None
        start = cursor + 1 - self._events[0].seq
        return self._events[start:] if start >= 0 else None
