"""What a phone would find one turn after another, told or given at once: modules and styles by their imports.

Nothing is built: modules stay files of their own, and a page served without this works too, only slower.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping

COMMENT = re.compile(r"/\*.*?\*/|^\s*//[^\n]*", re.DOTALL | re.MULTILINE)
IMPORT = re.compile(r'^(?:import|export)\b[^;]*?"(\.[^"]+)"', re.MULTILINE)
START = re.compile(r'<script\b[^>]*\bsrc="\./([^"]+)"')
VIEW = re.compile(r'(<meta name="modules-of-[^"]+" content=")([^"]*)"')
STYLE = re.compile(r'^@import url\("([^"]+)"\)(?: layer\((\w+)\))?;$', re.MULTILINE)


def name_modules(page: str, files: Mapping[str, bytes]) -> str:
    """The page with all modules that its views need named in it, in the place of those that they begin with.

    A view is `<meta name="modules-of-VIEW" content="MODULE …">`; without what the
    page's own scripts import.
    """
    begins = find_modules(START.findall(page), files)

    def name_all(view: re.Match[str]) -> str:
        found = find_modules(view[2].split(), files)
        return f'{view[1]}{" ".join(name for name in found if name not in begins)}"'

    return VIEW.sub(name_all, page)


def find_modules(names: list[str], files: Mapping[str, bytes]) -> list[str]:
    """These modules and all that they import, and these in turn; what is asked for first comes first."""
    found: dict[str, None] = {}
    waiting = list(names)
    while waiting:
        name = waiting.pop(0)
        if name in found or name not in files:
            continue
        found[name] = None
        code = COMMENT.sub("", files[name].decode())
        waiting += [
            posixpath.normpath(posixpath.join(posixpath.dirname(name), one)) for one in IMPORT.findall(code)
        ]
    return list(found)


def join_styles(name: str, files: Mapping[str, bytes]) -> bytes:
    """The style with those that it imports in their places: `@import … layer(x)` says `@layer x { … }`."""

    def take(found: re.Match[str]) -> str:
        path = posixpath.join(posixpath.dirname(name), found[1])
        if path not in files:
            return found[0]
        text = files[path].decode()
        return f"@layer {found[2]} {{\n{text}}}" if found[2] else text

    return STYLE.sub(take, files[name].decode()).encode()
