"""`fillfirst check` of a car's sheet: judged number by number, as the app does."""

from __future__ import annotations

from pathlib import Path

import pytest

from fillfirst.cli import main

MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"
SOURCE = 'source = { kind = "label", reference = "door" }'


def check(folder: Path, *lines: str, head: str = "") -> int:
    path = folder / "my-car.toml"
    path.write_text(
        'id = "car-1"\ntitle = "Tern"\nplate = "DEMO 9"\n' + head + "[facts]\n" + "\n".join(lines)
    )
    return main(["check", str(path), "--specs", str(MINI)])


def test_a_sheet_with_a_few_numbers_is_fine(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = check(tmp_path, f'wheel_torque = {{ value = "120 N*m", {SOURCE} }}')

    assert status == 0
    assert "1 facts, 0 refused, 0 asked about." in capsys.readouterr().out


def test_a_number_out_of_range_is_refused_with_the_range(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status = check(tmp_path, f'wheel_torque = {{ value = "1200 N*m", {SOURCE} }}')

    assert status == 1
    assert "the range is from 60 N*m to 250 N*m" in capsys.readouterr().out


def test_a_number_without_a_place_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = check(
        tmp_path, 'wheel_torque = { value = "120 N*m", source = { kind = "label", reference = "" } }'
    )

    assert status == 1
    assert "a source says where" in capsys.readouterr().out


def test_a_wrong_check_digit_is_refused_where_it_is_a_duty(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status = check(tmp_path, head='vin = "1G4AH59H45G118342"\nmarket = "north-america"\n')

    assert status == 1
    assert 'by the others it would be "6"' in capsys.readouterr().out


def test_a_wrong_check_digit_is_asked_about_elsewhere(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status = check(tmp_path, head='vin = "1G4AH59H45G118342"\n')

    assert status == 0
    assert "Asked about" in capsys.readouterr().out


def test_a_key_that_no_sheet_has_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = check(tmp_path, head='colour = "red"\n')

    assert status == 1
    assert '"colour" is not a key that is known here' in capsys.readouterr().out
