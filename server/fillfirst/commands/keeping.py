"""backup, restore, export, import, move: all of the data at once."""

from __future__ import annotations

import asyncio
import getpass
import sys
from pathlib import Path

from fillfirst.commands.flags import (
    Commands,
    Options,
    add_backups,
    add_command,
    add_data,
    add_passphrase,
    open_store_of,
)
from fillfirst.errors import SettingsError
from fillfirst.keeping.lock import holding
from fillfirst.keeping.passphrase import read_passphrase
from fillfirst.settings import Settings, read_settings
from fillfirst.store.opening import open_store
from fillfirst.sync.rounds import write_moment
from fillfirst.web.server import read_clock


def backup(options: Options) -> int:
    """Make one backup now, of a server that may be running."""
    return asyncio.run(_backup(read_settings(**options)))


async def _backup(settings: Settings) -> int:
    from fillfirst.keeping.backup import make_backup
    from fillfirst.keeping.house import list_house

    store = await open_store_of(settings)
    try:
        made = await make_backup(
            store,
            settings.backup_folder,
            data=settings.data,
            passphrase=read_passphrase(settings),
            keep=settings.backup_keep,
            keep_months=settings.backup_keep_months,
            now_ms=read_clock(),
        )
    finally:
        await store.close()
    rows, files = made.manifest.rows, len(made.manifest.files) - 1
    print(f"{made.path}")
    print(f"{rows['events']:,} entries and {files:,} photos, {made.size:,} bytes; read back and found whole.")
    if settings.backup_passphrase_file is None and list_house(settings.data):
        print("Settings and the authority of this house are not in it: they go into sealed backups alone.")
    for word, photos in (("missing", made.manifest.missing_photos), ("spoilt", made.manifest.spoilt_photos)):
        for sha256 in photos:
            print(f"The photo {sha256[:12]}… is {word} on the server.", file=sys.stderr)
    return 1 if made.manifest.spoilt_photos else 0


def restore(options: Options) -> int:
    """Put a backup in place of what is there."""
    file: Path = options.pop("file")
    return asyncio.run(_restore(read_settings(**options), file))


async def _restore(settings: Settings, file: Path) -> int:
    from fillfirst.keeping.archive import is_sealed
    from fillfirst.keeping.restore import restore as put_back

    if not file.is_file():
        raise SettingsError("FILE", f"{file}, which is no file", "a backup")
    passphrase = read_passphrase(settings)
    if passphrase is None and is_sealed(file) and sys.stdin.isatty():
        passphrase = getpass.getpass("Passphrase of this backup: ")
    with holding(settings.data, alone=True):
        done = await put_back(
            file,
            settings.data,
            passphrase=passphrase,
            now_ms=read_clock(),
            open_target=lambda: open_store_of(settings),
            is_in_folder=settings.database is None,
        )
    rows = done.manifest.rows
    print(f"Put back as of {write_moment(done.manifest.made_at_ms)}:")
    print(f"{rows['events']:,} entries and {done.photo_count:,} photos.")
    print("When phones sync next, they give back what came after it.")
    if done.set_aside is not None:
        print(f"The database that was here is in {done.set_aside}; throw it away when all is well.")
    if done.house:
        print(f"So were {', '.join(done.house)}: phones that trusted the old box trust this one.")
    for name in done.sent_away:
        print(f'"{name}" had been sent away since, and stays so.')
    print("See who is let in with: fillfirst devices")
    return 0


def export(options: Options) -> int:
    """Write everything in open formats."""
    folder: Path = options.pop("folder")
    return asyncio.run(_export(read_settings(**options), folder))


async def _export(settings: Settings, folder: Path) -> int:
    from fillfirst.keeping.taking_out import take_out

    store = await open_store_of(settings)
    try:
        done = await take_out(store, folder)
    except OSError as error:
        raise SettingsError("FOLDER", f"{folder}: {error.strerror or error}", "a disk with room") from error
    finally:
        await store.close()
    print(f"{done.events:,} entries, {done.records:,} records, {done.photo_count:,} photos in {folder}")
    for trouble in done.troubles:
        print(trouble, file=sys.stderr)
    return 0


def bring(options: Options) -> int:
    """Take the files that phones exported, and pictures."""
    files: list[Path] = options.pop("files")
    with_rescued: bool = options.pop("rescued")
    return asyncio.run(_bring(read_settings(**options), files, with_rescued))


async def _bring(settings: Settings, files: list[Path], with_rescued: bool) -> int:
    from fillfirst.keeping.bringing_in import bring_in

    for path in files:
        if not path.is_file():
            raise SettingsError("FILE", f"{path}, which is no file", "a file that a phone exported")
    store = await open_store_of(settings)
    try:
        done = await bring_in(store, files, with_rescued=with_rescued, now_ms=read_clock())
    finally:
        await store.close()
    print(f"{done.accepted:,} entries and {done.photo_count:,} photos are on the server now.")
    if done.rescued:
        print(
            f"{done.rescued:,} more were never numbered by their phone. If that phone is gone, take them with"
            " --rescued; if it lives, it will send them itself."
        )
    for trouble in done.troubles:
        print(trouble, file=sys.stderr)
    return 1 if done.troubles else 0


def move(options: Options) -> int:
    """Copy everything into another database, and photos to another place."""
    to: str = options.pop("to")
    photos_to: str | None = options.pop("photos_to")
    return asyncio.run(_move(read_settings(**options), to, photos_to))


async def _move(settings: Settings, to: str, photos_to: str | None) -> int:
    from fillfirst.keeping.moving import move as move_all

    with holding(settings.data, alone=True):
        source = await open_store_of(settings)
        try:
            target = await open_store(
                settings.data, database=to, photos=photos_to or settings.photos, now_ms=read_clock()
            )
            try:
                done = await move_all(source, target, moves_photos=photos_to is not None)
            finally:
                await target.close()
        finally:
            await source.close()
    for table, content in done.contents.items():
        print(f"{table:10} {content.row_count:>12,} rows  {content.sha256[:16]}")
    print(f"photos     {done.photo_count:>12,} files")
    print("Counts and hashes are the same on both sides. From now on start the server with")
    print(f"  fillfirst serve --database {to}" + (f" --photos {photos_to}" if photos_to else ""))
    for sha256 in done.missing_photos:
        print(f"The photo {sha256[:12]}… was not on the server.", file=sys.stderr)
    return 0


def add(commands: Commands) -> None:
    one = add_command(commands, "backup", backup, help="make a backup, also while the server runs")
    add_data(one)
    add_backups(one)

    one = add_command(commands, "restore", restore, help="put a backup in place of what is there")
    one.add_argument("file", metavar="FILE", type=Path, help="the backup")
    add_data(one)
    add_passphrase(one)

    one = add_command(commands, "export", export, help="write everything in open formats")
    one.add_argument("folder", metavar="FOLDER", type=Path, help="a new folder")
    add_data(one)

    one = add_command(commands, "import", bring, help="take files that phones exported, and pictures")
    one.add_argument("files", metavar="FILE", nargs="+", type=Path, help="what to take")
    add_data(one)
    one.add_argument("--rescued", action="store_true", help="also entries that a phone had not numbered yet")

    one = add_command(commands, "move", move, help="copy everything into another database")
    add_data(one)
    one.add_argument("--to", metavar="URL", required=True, help="an empty PostgreSQL database")
    one.add_argument("--photos-to", metavar="URL", help="where photos go; they stay if this is not given")
