"""Makes a backup whenever the newest one has become old, or somebody asks, as long as the server runs."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from contextlib import suppress
from typing import NamedTuple

from fillfirst.errors import FillfirstError
from fillfirst.keeping.folder import list_backups, read_moment
from fillfirst.keeping.passphrase import read_passphrase
from fillfirst.settings import Settings
from fillfirst.store.sql import SqlStore

log = logging.getLogger("fillfirst")

HOUR_MS = 60 * 60 * 1000
# Not at once: a server that is started again and again must not do nothing else.
FIRST_LOOK_AFTER_S = 60
LOOK_EVERY_S = 10 * 60


class NewestBackup(NamedTuple):
    """What a keeper wants to know of it."""

    made_at_ms: int
    name: str
    size: int


class Schedule:
    """One for a running server. Where several share a database, `backup_every` is 0 on all but one."""

    def __init__(self, settings: Settings, store: SqlStore, now_ms: Callable[[], int]) -> None:
        self._settings = settings
        self._store = store
        self._now_ms = now_ms
        self._asked = asyncio.Event()
        self.trouble: str | None = None
        """Why the last try failed; None if it did not."""
        # A passphrase that cannot be read is told at start and not at night.
        read_passphrase(settings)

    def find_newest(self) -> NewestBackup | None:
        found = list_backups(self._settings.backup_folder)
        if not found:
            return None
        return NewestBackup(read_moment(found[-1]), found[-1].name, found[-1].stat().st_size)

    @property
    def is_due(self) -> bool:
        every_ms = self._settings.backup_every * HOUR_MS
        newest = self.find_newest()
        return every_ms > 0 and (newest is None or self._now_ms() - newest.made_at_ms >= every_ms)

    @property
    def is_asked(self) -> bool:
        """Whether somebody asked for a backup that is not made yet."""
        return self._asked.is_set()

    def ask(self) -> None:
        """Make one now, whether it is time or not. Asked twice, one is made."""
        self._asked.set()

    async def look(self) -> None:
        """Make a backup if it is time. A failure is noted and told, and tried again at the next look."""
        if not self.is_asked and not self.is_due:
            return
        try:
            await self._make()
        finally:
            self._asked.clear()

    async def _make(self) -> None:
        # Imported here: what encrypts takes a while to load, and a start should not wait for it.
        from fillfirst.keeping.backup import make_backup

        try:
            made = await make_backup(
                self._store,
                self._settings.backup_folder,
                data=self._settings.data,
                passphrase=read_passphrase(self._settings),
                keep=self._settings.backup_keep,
                keep_months=self._settings.backup_keep_months,
                now_ms=self._now_ms(),
            )
        except (FillfirstError, OSError) as error:
            self.trouble = str(error)
            log.error("no backup was made: %s", error)
            return
        self.trouble = None
        if spoilt := made.manifest.spoilt_photos:
            self.trouble = f"{len(spoilt)} photos are spoilt on the server's disk."
            log.error("the backup holds %d photos that are spoilt: the disk may be failing", len(spoilt))
        log.info("a backup was made", extra={"facts": {"bytes": made.size, "rows": made.manifest.rows}})

    async def run(self) -> None:
        wait_s = FIRST_LOOK_AFTER_S
        while True:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._asked.wait(), wait_s)
            await self.look()
            wait_s = LOOK_EVERY_S
