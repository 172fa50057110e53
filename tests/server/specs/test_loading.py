"""Loading specs from the disk: whole folders, single files, files that cannot be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid_specs import MINI

from fillfirst.errors import FillfirstError
from fillfirst.specs import SpecsError, check, link_files, load
from fillfirst.specs.files import read_folder


def write_file(folder: Path, path: str, content: str) -> Path:
    target = folder / path
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(content)
    return target


WRONG_FLUID = 'title = "Extra"\ncolour = "gear"\nstream = "used-oil"\n'


def test_load_gives_linked_specs() -> None:
    specs = load(MINI)

    assert list(specs.vehicles) == ["demo"]


def test_loading_twice_gives_the_same() -> None:
    assert load(MINI) == load(MINI)


def test_load_raises_every_problem_at_once(tmp_path: Path) -> None:
    files = read_folder(MINI) | {"fluids/extra.toml": WRONG_FLUID.encode(), "hazards.toml": b"[hot-oil]\n"}
    for path, content in files.items():
        write_file(tmp_path, path, content.decode())

    with pytest.raises(SpecsError) as caught:
        load(tmp_path)

    assert [problem.file for problem in caught.value.problems] == ["specs/fluids/extra.toml"] + [
        "specs/hazards.toml"
    ] * 3


def test_specs_error_is_one_of_ours() -> None:
    assert issubclass(SpecsError, FillfirstError)


def test_check_of_a_good_folder_tells_nothing() -> None:
    assert check([MINI]) == []


def test_check_of_a_single_file_lays_it_over_the_specs(tmp_path: Path) -> None:
    path = write_file(tmp_path, "fluids/extra.toml", WRONG_FLUID)

    assert [str(problem) for problem in check([path], within=MINI)] == [
        'specs/fluids/extra.toml:\n  the key "family" is missing.\n  Add family = …'
    ]


def test_check_of_a_single_file_is_silent_about_the_others(tmp_path: Path) -> None:
    path = write_file(tmp_path, "sources/extra.toml", (MINI / "sources/common-practice.toml").read_text())
    broken = tmp_path / "specs"
    for name, content in read_folder(MINI).items():
        write_file(broken, name, content.decode())
    write_file(broken, "fluids/extra.toml", WRONG_FLUID)

    assert check([path], within=broken) == []


def test_check_of_a_pattern_tells_what_is_wrong_with_its_uses(tmp_path: Path) -> None:
    pattern = (MINI / "patterns/circuits/gear-unit.toml").read_text().replace("gear-oil", "gear-oyl")
    path = write_file(tmp_path, "patterns/circuits/gear-unit.toml", pattern)

    assert [problem.file for problem in check([path], within=MINI)] == [
        "specs/circuits/final-drive.toml (pattern gear-unit)"
    ]


def test_check_of_a_missing_file_says_so(tmp_path: Path) -> None:
    path = tmp_path / "fluids" / "extra.toml"

    assert [problem.found for problem in check([path], within=MINI)] == ["there is no such file"]


def test_a_file_that_is_not_text_is_told_with_its_line() -> None:
    files = read_folder(MINI) | {"fluids/extra.toml": b'title = "Extra"\ncolour = "\xff"\n'}

    _, problems = link_files(files)

    assert [str(problem) for problem in problems] == [
        "specs/fluids/extra.toml, line 2:\n  this is not UTF-8 text.\n  Save the file as UTF-8."
    ]


def test_a_file_that_cannot_be_read_is_not_blamed_on_those_that_name_it() -> None:
    files = read_folder(MINI) | {"facts/engine-oil.toml": b"[facts.engine_oil_capacity\n"}

    _, problems = link_files(files)

    assert [problem.file for problem in problems] == ["specs/facts/engine-oil.toml"]


def test_a_file_with_a_wrong_key_is_not_blamed_on_those_that_name_what_it_declares() -> None:
    fact = read_folder(MINI)["facts/engine-oil.toml"].replace(b"unit  =", b"units =")
    files = read_folder(MINI) | {"facts/engine-oil.toml": fact}

    _, problems = link_files(files)

    assert {problem.file for problem in problems} == {"specs/facts/engine-oil.toml"}
