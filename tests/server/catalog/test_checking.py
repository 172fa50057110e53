"""What `fillfirst check` tells: problems, or what was proved."""

from __future__ import annotations

from pathlib import Path

from fillfirst.catalog import check

MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"


def write_vehicle(folder: Path, torque: str) -> Path:
    path = folder / "vehicles" / "second.toml"
    path.parent.mkdir(parents=True)
    path.write_text(
        (MINI / "vehicles" / "demo.toml").read_text().replace('value  = "120 N*m"', f'value  = "{torque}"')
    )
    return path


def test_good_specs_are_proved() -> None:
    checked = check([MINI])

    assert checked.is_fine
    assert "28 visits" in str(checked)


def test_problems_come_before_any_proof(tmp_path: Path) -> None:
    checked = check([write_vehicle(tmp_path, "1200 N*m")], within=MINI)

    assert not checked.is_fine
    assert str(checked) == (
        "specs/vehicles/second.toml, facts.wheel_torque.value:\n"
        '  "1200 N*m" is outside what is plausible; the range is "60 N*m" to "250 N*m".\n'
        "  Read the number again in its source; if it is right, widen the range of the fact.\n"
        "\n"
        "1 problem. Nothing was proved."
    )


def test_a_car_of_ones_own_is_checked_against_the_specs_it_is_laid_over(tmp_path: Path) -> None:
    assert check([write_vehicle(tmp_path, "130 N*m")], within=MINI).is_fine


def test_a_good_file_among_broken_ones_is_said_to_be_fine(tmp_path: Path) -> None:
    broken = tmp_path / "specs"
    for path in MINI.rglob("*.toml"):
        target = broken / path.relative_to(MINI)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(path.read_text())
    (broken / "hazards.toml").write_text("[hot-oil]\n")

    checked = check([write_vehicle(tmp_path, "130 N*m")], within=broken)

    assert str(checked) == "These files are fine. Other specs have problems, so nothing was proved."


def test_specs_with_which_a_visit_goes_wrong_are_not_fine(tmp_path: Path) -> None:
    text = (MINI / "jobs" / "engine-oil.toml").read_text()
    path = tmp_path / "jobs" / "engine-oil.toml"
    path.parent.mkdir()
    path.write_text(text.replace('makes = { engine = "off" }', 'work = "1 min"'))

    checked = check([path], within=MINI)

    assert checked.problems == []
    assert not checked.is_fine
    assert "not proved" in str(checked)
