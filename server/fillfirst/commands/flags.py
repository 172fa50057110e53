"""Flags that several commands share, and how a command is added to the parser."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

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
    parser.add_argument("--data", type=Path, help="the folder of the database and the photos")
