"""The catalog: canonical bytes, a hash that names them, and nothing that is not proved."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path

import orjson
import pytest

from fillfirst.catalog import Catalog, CatalogError, UnprovedError, build
from fillfirst.specs import Specs, load, load_files
from fillfirst.specs.files import read_folder

MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"


@cache
def load_mini() -> Specs:
    return load(MINI)


@cache
def build_mini() -> Catalog:
    return build(load_mini())


def load_changed(path: str, before: str, after: str) -> Specs:
    """The mini specs with one text of one file replaced."""
    files = read_folder(MINI)
    content = files[path].decode()
    assert before in content
    return load_files(files | {path: content.replace(before, after, 1).encode()})


def test_the_hash_is_the_sha256_of_the_bytes() -> None:
    catalog = build_mini()

    assert catalog.hash == hashlib.sha256(catalog.json).hexdigest()


def test_keys_are_sorted_all_the_way_down() -> None:
    catalog = build_mini()

    assert catalog.json == orjson.dumps(json.loads(catalog.json), option=orjson.OPT_SORT_KEYS)


def test_equal_specs_give_equal_bytes() -> None:
    assert build(load(MINI)) == build_mini()


def test_other_specs_give_another_hash() -> None:
    assert build(load_changed("car.toml", '"Undertray"', '"Panel"')).hash != build_mini().hash


def test_parse_reads_back_what_was_built() -> None:
    catalog = build_mini()

    assert Catalog.parse(catalog.json, catalog.hash) == load_mini()


def test_parsing_and_writing_again_gives_the_same_bytes() -> None:
    catalog = build_mini()

    assert build(Catalog.parse(catalog.json)) == catalog


def test_only_the_examples_that_a_phone_shows_travel() -> None:
    again = """
[[examples]]
from   = "arithmetic on the stated formula"
given  = { drained = "1 l", filled = "1 l" }
expect = true
"""
    files = read_folder(MINI)
    longer = load_files(
        files | {"formulas/balance-agrees.toml": files["formulas/balance-agrees.toml"] + again.encode()}
    )

    carried = Catalog.parse(build(longer).json).formulas["balance-agrees"].examples

    assert carried == longer.formulas["balance-agrees"].examples[:2]
    assert len(longer.formulas["balance-agrees"].examples) == 3


def test_parse_refuses_bytes_that_do_not_have_the_hash() -> None:
    catalog = build_mini()

    with pytest.raises(CatalogError, match="bytes with the hash"):
        Catalog.parse(catalog.json.replace(b"Undertray", b"undertray"), catalog.hash)


@pytest.mark.parametrize(
    ("bytes_", "place"),
    [
        (b'{"format":2}', '"format"'),
        (b"[]", '""'),
        (b'{"format":1}', '"units"'),
    ],
)
def test_parse_says_where_a_document_is_no_catalog(bytes_: bytes, place: str) -> None:
    with pytest.raises(CatalogError, match=f"does not fit at {place}"):
        Catalog.parse(bytes_)


def test_parse_refuses_what_is_not_json() -> None:
    with pytest.raises(CatalogError, match="not JSON"):
        Catalog.parse(b"{")


def test_parse_refuses_a_tree_that_is_not_in_the_language() -> None:
    document = json.loads(build_mini().json)
    document["jobs"]["engine-oil"]["when"] = ["exec", "rm"]

    with pytest.raises(CatalogError, match=r"jobs\.engine-oil\.when"):
        Catalog.parse(orjson.dumps(document))


def test_build_refuses_specs_with_which_a_visit_goes_wrong() -> None:
    specs = load_changed(
        "patterns/jobs/gear-unit.toml", 'makes = { "$unit-fill-plug" = "closed" }', 'work = "1 min"'
    )

    with pytest.raises(UnprovedError) as caught:
        build(specs)

    assert not caught.value.proof.is_proved
    assert "final-drive-fill-plug" in str(caught.value) or "Fill plug of the final drive" in str(caught.value)


def test_every_number_of_the_document_is_finite() -> None:
    assert b"null" not in orjson.dumps(find_numbers(json.loads(build_mini().json)))


def find_numbers(part: object) -> list[float]:
    if isinstance(part, bool):
        return []
    if isinstance(part, int | float):
        return [part]
    parts = part.values() if isinstance(part, dict) else part if isinstance(part, list) else []
    return [number for each in parts for number in find_numbers(each)]


def test_keys_are_those_of_the_file_language() -> None:
    document = json.loads(build_mini().json)
    keys = set(document["rules"][0]) | set(document["facts"]["wheel_torque"])

    assert {"while", "must", "from", "to"} <= keys
