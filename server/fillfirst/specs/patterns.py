"""One text for several likes: a pattern with `$name` places, filled in by the files that use it.

Five gear units differ in names and numbers, not in what is done; a pattern says it once. A use is a
file that holds `pattern = "gear-unit"` and a table `with`, and nothing else, so that whoever reads it
knows that the pattern is the whole of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from fillfirst.specs.problems import Document, Key, Report, Spot, nearest

# Where a parameter may begin; which one it is, is decided by the longest name that fits.
_TOKEN = re.compile(r"\$([A-Za-z][A-Za-z0-9_]*)")
_PARAMETER = re.compile(r"[A-Za-z][A-Za-z0-9_]*")

Known = Mapping[tuple[str, str], Document]


def fill(use: Document, known: Known, report: Report) -> Document | None:
    """The document that a use of a pattern stands for; nothing when it cannot be told."""
    spot = report.at(use)
    name, given = use.content["pattern"], use.content.get("with", {})
    if not isinstance(name, str) or not isinstance(given, dict):
        spot.problem(
            "this use of a pattern cannot be read",
            'a pattern is used with pattern = "name" and a table [with]',
            "Write both so.",
        )
        return None
    for key in sorted(set(use.content) - {"pattern", "with"}):
        spot.at(key).problem(
            f'"{key}" stands beside a pattern',
            "a file that uses a pattern holds only pattern and [with]",
            "Put it into the pattern, or write the file without the pattern.",
        )
    pattern = known.get((use.family, name))
    if pattern is None:
        names = [id for family, id in known if family == use.family]
        spot.at("pattern").unknown(
            name, f"a pattern for {use.family}", names, f"See specs/patterns/{use.family}/."
        )
        return None
    filling = _Filling(spot, given)
    content = filling.fill(pattern.content, ())
    filling.tell_unused()
    return Document(use.file, use.family, use.id, content, name) if filling.whole else None


def tell_unused(known: Known, uses: Sequence[Document], report: Report) -> None:
    """Tell of every pattern that no file uses: it would never be checked."""
    used = {(use.family, str(use.content.get("pattern"))) for use in uses}
    misspelt = {family for family, name in used if (family, name) not in known}
    for key, pattern in known.items():
        if key not in used and key[0] not in misspelt:
            report.at(pattern).problem(
                "no file uses this pattern", "a pattern is checked through its uses", "Use it or remove it."
            )


class _Filling:
    """One use: what it gives, and which of it was asked for."""

    def __init__(self, use: Spot, given: Mapping[str, Any]) -> None:
        self._use = use
        self._given = given
        self._asked: set[str] = set()
        self._unknown: set[str] = set()
        self.whole = True

    def fill(self, part: Any, path: tuple[Key, ...]) -> Any:
        if isinstance(part, dict):
            return {self._replace(key): self.fill(value, (*path, key)) for key, value in part.items()}
        if isinstance(part, list):
            return [self.fill(value, (*path, at)) for at, value in enumerate(part)]
        if isinstance(part, str):
            whole = _TOKEN.fullmatch(part)
            if whole is not None and whole[1] in self._given:
                # The whole text is one parameter: keep its type, so that a list stays a list.
                self._asked.add(whole[1])
                return self._given[whole[1]]
            return self._replace(part)
        return part

    def _replace(self, text: str) -> str:
        return _TOKEN.sub(self._fill_token, text)

    def _fill_token(self, token: re.Match[str]) -> str:
        fitting = [name for name in self._given if token[1].startswith(name)]
        if not fitting:
            self._tell_unknown(token[1])
            return token[0]
        name = max(fitting, key=len)
        self._asked.add(name)
        return _write(self._given[name]) + token[1].removeprefix(name)

    def _tell_unknown(self, token: str) -> None:
        self.whole = False
        if token not in self._unknown:
            self._unknown.add(token)
            near = nearest(token, self._given)
            self._use.at("with").problem(
                f'the pattern asks for "${token}", which is not given',
                f'the nearest one given is "{near}"' if near else "",
                f"Give it under [with]: {token} = …",
            )

    def tell_unused(self) -> None:
        named = [name for name in self._given if _PARAMETER.fullmatch(name)]
        for name in (name for name in named if name not in self._asked):
            self._use.at("with", name).problem(
                f'the pattern never asks for "{name}"',
                "every parameter is used",
                f"Remove it, or write ${name} in the pattern.",
            )
        for name in self._given:
            if name not in named:
                self._use.at("with", name).problem(
                    f'"{name}" cannot be a parameter', "a parameter is letters, digits and _", "Rename it."
                )


def _write(value: Any) -> str:
    """A parameter inside a longer text."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)
