"""What makes a server the one that phones trust: its settings, and the authority of the house with its keys.

It goes along in sealed backups alone, because whoever has the keys can pose as this server. Put back on a new
box, it spares its keeper a walk to every phone.
"""

from __future__ import annotations

import os
from pathlib import Path

from fillfirst.access.certificate import AUTHORITY, FOLDER
from fillfirst.settings import FILE

# The folder inside a backup.
INSIDE = "house"


def list_house(data: Path) -> list[tuple[str, Path]]:
    """Each file that goes along: its name in a backup, and where it is."""
    found = [data / FILE, *sorted((data / FOLDER).glob("*.pem"))]
    return [(f"{INSIDE}/{path.relative_to(data)}", path) for path in found if path.is_file()]


def put_house(unpacked: Path, data: Path) -> list[str]:
    """Put the files of an unpacked backup where there are none; say which of them.

    An authority that is there already stays, with all that belongs to it: phones may trust it by now.
    """
    inside = unpacked / INSIDE
    has_authority = (data / FOLDER / AUTHORITY).exists()
    done = []
    for path in sorted(file for file in inside.rglob("*") if file.is_file()):
        name = path.relative_to(inside)
        target = data / name
        if target.exists() or (has_authority and name.parts[0] == FOLDER):
            continue
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with open(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(path.read_bytes())
        done.append(str(name))
    return done
