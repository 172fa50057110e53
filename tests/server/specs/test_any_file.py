"""Whatever someone writes into a spec file, the checker tells what is wrong and never breaks itself."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from typing import Any

import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from laid_specs import MINI

from fillfirst.specs import link_files
from fillfirst.specs.files import read_folder

FILES = read_folder(MINI)
DOCUMENTS = {path: tomllib.loads(content.decode()) for path, content in FILES.items()}
NAMES = [
    "engine_oil_capacity",
    "wheels",
    "engine-oil",
    "engine",
    "item",
    "place",
    "#tag",
    "$name",
    "{x}",
    "a/b",
]
VALUES = st.one_of(
    st.sampled_from(NAMES),
    st.sampled_from(
        ["5 l", "-5 degC", "1e40 l", "powertrain == 'x'", "known(powertrain)", "wheel@x", "🙂", ""]
    ),
    st.booleans(),
    st.integers(-(2**60), 2**60),
    st.floats(),
    st.just([]),
    st.just({}),
    st.just([{}]),
    st.just([[1, 2]]),
    st.just({"name": "x"}),
    st.just([{"id": "x"}]),
)
Path = tuple[str | int, ...]


def list_paths(part: Any, path: Path = ()) -> Iterator[Path]:
    """Every place in a document."""
    entries = part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ()
    for key, value in entries:
        yield (*path, key)
        yield from list_paths(value, (*path, key))


PLACES = [(file, path) for file, document in DOCUMENTS.items() for path in list_paths(document)]


def put(document: dict[str, Any], path: Path, value: Any) -> dict[str, Any]:
    """A copy of the document with another value in one place."""
    changed = copy.deepcopy(document)
    here: Any = changed
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return changed


@given(place=st.sampled_from(PLACES), value=VALUES)
@settings(max_examples=80, deadline=None)
def test_any_value_in_any_place_is_linked_or_told(place: tuple[str, Path], value: Any) -> None:
    file, path = place
    content = tomli_w.dumps(put(DOCUMENTS[file], path, value)).encode()

    specs, problems = link_files(FILES | {file: content})

    assert (specs is None) == bool(problems)


@given(file=st.sampled_from(sorted(FILES)), content=st.binary(max_size=60))
@settings(max_examples=30, deadline=None)
def test_any_bytes_in_a_file_are_linked_or_told(file: str, content: bytes) -> None:
    specs, problems = link_files(FILES | {file: content})

    assert (specs is None) == bool(problems)
