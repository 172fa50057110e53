"""Flags that several commands share, and how a command is added to the parser."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fillfirst.settings import Settings
from fillfirst.store.opening import open_store
from fillfirst.store.sql import SqlStore
from fillfirst.web.server import read_clock

Options = dict[str, Any]
Command = Callable[[Options], int]
# argparse keeps the class of what add_subparsers() gives to itself.
Commands = Any


def add_command(commands: Commands, name: str, run: Command, *, help: str) -> argparse.ArgumentParser:
    """A command that `run` carries out with the options it was given; its answer is the exit status."""
    parser: argparse.ArgumentParser = commands.add_parser(name, help=help)
    parser.set_defaults(command=run)
    return parser


def add_data(parser: argparse.ArgumentParser) -> None:
    """The flags that say where everything lies."""
    parser.add_argument("--data", type=Path, help="the folder of the database and the photos")
    parser.add_argument("--database", metavar="URL", help="a PostgreSQL database instead of a file")
    parser.add_argument("--photos", metavar="URL", help="a folder, or s3+https://HOST/BUCKET/FOLDER")


def add_backups(parser: argparse.ArgumentParser) -> None:
    """The flags of backups."""
    parser.add_argument("--backups", type=Path, help="the folder of backups, best on another disk")
    parser.add_argument("--backup-keep", type=int, metavar="COUNT", help="how many backups are kept (7)")
    parser.add_argument(
        "--backup-keep-months", type=int, metavar="COUNT", help="and the last one of so many months (3)"
    )
    add_passphrase(parser)


def add_passphrase(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--backup-passphrase-file", type=Path, metavar="FILE", help="the file of the passphrase of backups"
    )


async def open_store_of(settings: Settings) -> SqlStore:
    """The store that these settings name. Raises SettingsError or StoreError."""
    return await open_store(
        settings.data, database=settings.database, photos=settings.photos, now_ms=read_clock()
    )
