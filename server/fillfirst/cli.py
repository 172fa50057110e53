"""What a person types: one parser over all families of commands."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence

from fillfirst import __version__
from fillfirst.commands import access, check, keeping, serve, setup
from fillfirst.errors import FillfirstError

# In the order in which they are listed.
FAMILIES = (setup, serve, check, access, keeping)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the answer is the exit status."""
    options = vars(_make_parser().parse_args(arguments))
    command = options.pop("command")
    logging.basicConfig(format="%(message)s", level=logging.WARNING)
    try:
        return int(command(options))
    except FillfirstError as error:
        print(error, file=sys.stderr)
        return 1


def _make_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="fillfirst", description=__doc__)
    parser.add_argument("--version", action="version", version=f"fillfirst {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for family in FAMILIES:
        family.add(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
