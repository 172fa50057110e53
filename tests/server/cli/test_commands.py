"""What a person types, and what is said in return."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from samples import NOW_MS

from fillfirst.access.doorkeeper import Doorkeeper, offer_code
from fillfirst.cli import main
from fillfirst.store.sqlite import open_store

TOP = Path(__file__).parents[3]
MINI = str(TOP / "tests" / "fixtures" / "specs" / "mini")


def test_check_says_how_much_was_proved(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--specs", MINI]) == 0
    said = capsys.readouterr().out
    assert "proved" in said
    assert "It took " in said


def test_check_tells_every_problem(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "vehicles").mkdir()
    file = tmp_path / "vehicles" / "mine.toml"
    file.write_text("title = \n")

    assert main(["check", str(file), "--specs", MINI]) == 1
    assert "vehicles/mine.toml" in capsys.readouterr().out


def test_pair_offers_a_link_and_a_code(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pair", "--data", str(tmp_path), "--port", "9000"]) == 0
    lines = capsys.readouterr().out.splitlines()
    code = lines[1].rpartition("=")[2]
    assert lines == [
        "To let one browser in, within ten minutes, open",
        f"  http://127.0.0.1:9000/#let-in={code}",
        f"or type the code {code[:4]}-{code[4:]} where the page asks for it.",
    ]


def test_devices_says_when_there_are_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["devices", "--data", str(tmp_path)]) == 0
    assert capsys.readouterr().out == (
        "No device has been let in. Ask for a one-time code with: fillfirst pair\n"
    )


async def let_two_in(folder: Path) -> None:
    store = await open_store(folder, now_ms=NOW_MS)
    doorkeeper = Doorkeeper(store)
    for name in ("garage phone", "old phone"):
        code = await offer_code(store, now_ms=NOW_MS)
        await doorkeeper.let_in(code, name, replaces=None, now_ms=NOW_MS)
    await store.devices.revoke(2, now_ms=NOW_MS)
    await store.close()


def test_devices_lists_them_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asyncio.run(let_two_in(tmp_path))
    assert main(["devices", "--data", str(tmp_path)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "1  garage phone  last seen 2026-05-04T08:42:01.000Z",
        "2  old phone  last seen 2026-05-04T08:42:01.000Z, sent away 2026-05-04T08:42:01.000Z",
    ]


def test_a_lost_phone_is_sent_away(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asyncio.run(let_two_in(tmp_path))

    assert main(["devices", "--data", str(tmp_path), "--remove", "1"]) == 0
    assert "1  garage phone" in (said := capsys.readouterr().out)
    assert said.count("sent away") == 2


def test_a_device_is_given_another_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asyncio.run(let_two_in(tmp_path))

    assert main(["devices", "--data", str(tmp_path), "--rename", "1", "Ada's phone"]) == 0
    assert capsys.readouterr().out.startswith("1  Ada's phone  last seen")


def test_a_name_without_a_number_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["devices", "--data", str(tmp_path), "--rename", "Ada", "1"]) == 1
    assert capsys.readouterr().err == (
        '--rename: found "Ada"; expected the number of a device, then its new name.\n'
    )


def test_a_code_may_let_in_a_helper(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["pair", "--data", str(tmp_path), "--helper"])
    code = capsys.readouterr().out.splitlines()[1].rpartition("=")[2]
    asyncio.run(use_code(tmp_path, code))

    assert main(["devices", "--data", str(tmp_path)]) == 0
    assert capsys.readouterr().out.startswith("1  phone, a helper  last seen")


async def use_code(folder: Path, code: str) -> None:
    store = await open_store(folder, now_ms=NOW_MS)
    await Doorkeeper(store).let_in(code, "phone", replaces=None, now_ms=NOW_MS)
    await store.close()


@pytest.mark.parametrize("flag", ["--remove", "--rename"])
def test_a_device_that_is_not_let_in_is_told(
    tmp_path: Path, flag: str, capsys: pytest.CaptureFixture[str]
) -> None:
    asyncio.run(let_two_in(tmp_path))
    words = [flag, "2"] if flag == "--remove" else [flag, "2", "Ada"]

    assert main(["devices", "--data", str(tmp_path), *words]) == 1
    assert capsys.readouterr().err == "No device 2 is let in.\n"


def test_a_folder_that_cannot_be_used_is_told_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")

    assert main(["devices", "--data", str(tmp_path / "file")]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 1
