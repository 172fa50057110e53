"""A keeper's own specs laid over the others: they add, and their faults are told by their own names."""

from __future__ import annotations

from pathlib import Path

import pytest

from fillfirst.specs import SpecsError
from fillfirst.specs.own import lay_own, load_own
from fillfirst.visits.proof import prove

MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"

JOB = """
title = "Look at the winch"
summary = "Look, and say what was seen."
order = 90
risk = "None."
stream = "used-oil"
home = "fine"
renews = ["winch"]

[[steps]]
id = "renew"
phase = "work"
kind = "act"
title = "Renew the grease"
says = "Wipe the old out and put new in."
does = "Grease is new"
work = "2 min"
where = "beside"
makes = { winch = "full", "winch.fluid" = "new" }
"""
CIRCUIT = 'title = "Winch grease"\nfluid = "gear-oil"\nplace = [50, 6]\n'
HAZARD = '[rope]\ntitle = "Rope"\nsays = "It pulls a hand in."\nlevel = "danger"\n'


def write(folder: Path, path: str, text: str) -> Path:
    file = folder / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text)
    return file


def write_job(folder: Path, text: str = JOB) -> Path:
    write(folder, "circuits/winch.toml", CIRCUIT)
    return write(folder, "jobs/winch.toml", text)


def tell(folder: Path) -> str:
    with pytest.raises(SpecsError) as told:
        load_own(lay_own(MINI, folder))
    return str(told.value)


def test_an_own_job_is_proved_with_the_others(tmp_path: Path) -> None:
    write_job(tmp_path)
    write(tmp_path, "hazards.toml", HAZARD)

    specs = load_own(lay_own(MINI, tmp_path))

    assert "winch" in specs.jobs
    assert "rope" in specs.hazards
    assert len(specs.hazards) > 1
    assert prove(specs).is_proved


def test_a_fault_in_an_own_file_is_told_of_that_file(tmp_path: Path) -> None:
    path = write_job(tmp_path, JOB.replace('where = "beside"', 'wear = "beside"'))

    assert tell(tmp_path).startswith(f"{path}, ")
    assert '"wear" is not a key' in tell(tmp_path)


def test_an_own_file_that_is_there_already_is_a_conflict(tmp_path: Path) -> None:
    path = write(tmp_path, "jobs/engine-oil.toml", JOB)

    assert tell(tmp_path) == (
        f"{path}:\n"
        "  the specs that came with fillfirst have a file of that name;"
        " own specs add to them and change nothing.\n"
        "  Give it another name."
    )


def test_an_own_entry_that_is_there_already_is_a_conflict(tmp_path: Path) -> None:
    held = (MINI / "hazards.toml").read_text()
    path = write(tmp_path, "hazards.toml", held)

    assert f"{path}, " in tell(tmp_path)
    assert "an entry of that name" in tell(tmp_path)


def test_an_own_file_that_is_no_toml_is_told(tmp_path: Path) -> None:
    path = write(tmp_path, "jobs/broken.toml", "title = \n")

    assert tell(tmp_path).startswith(f"{path}, line 1")


def test_the_files_behind_a_failed_proof_are_found(tmp_path: Path) -> None:
    path = write_job(tmp_path, JOB.replace('winch = "full"', 'winch = "empty"'))
    write(tmp_path, "hazards.toml", HAZARD)
    laid = lay_own(MINI, tmp_path)

    proof = prove(load_own(laid))

    assert not proof.is_proved
    assert path in laid.find_files(str(proof))
    assert tmp_path / "hazards.toml" not in laid.find_files(str(proof))
