"""Numbers as the phone shows and reads them; conversions agree with the server's to the last bit kept."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from fillfirst.quantities import conversion, from_si, to_si

SPECS = Path(__file__).parents[2] / "specs"
UNITS: dict[str, dict[str, Any]] = {
    key: {**row, "factor": conversion(key).factor, "offset": conversion(key).offset}
    for key, row in tomllib.loads((SPECS / "units.toml").read_text()).items()
}
CATALOG = {"units": UNITS}
SHOWN = [0, 1, -40, 0.05, 25, 36.5, 86, 104.9, 1234.5678]


@pytest.mark.parametrize("key", UNITS)
def test_phone_converts_to_si_as_the_server_does(core_page: Any, key: str) -> None:
    phone = core_page.call_all("units.js", "toSI", [(UNITS[key], shown) for shown in SHOWN])

    assert phone == [to_si(shown, key) for shown in SHOWN]


@pytest.mark.parametrize("key", UNITS)
def test_phone_converts_from_si_as_the_server_does(core_page: Any, key: str) -> None:
    phone = core_page.call_all("units.js", "fromSI", [(UNITS[key], value) for value in SHOWN])

    assert phone == [from_si(value, key) for value in SHOWN]


@pytest.mark.parametrize("key", UNITS)
def test_what_is_typed_is_what_is_shown_again(core_page: Any, key: str) -> None:
    values = core_page.call_all("units.js", "toSI", [(UNITS[key], shown) for shown in SHOWN])

    shown = core_page.call_all("units.js", "fromSI", [(UNITS[key], value) for value in values])
    assert shown == pytest.approx(SHOWN, rel=1e-9, abs=1e-9)


def test_one_temperature_typed_in_two_units_is_one_number(core_page: Any) -> None:
    celsius, fahrenheit = core_page.call_all("units.js", "toSI", [(UNITS["degC"], 30), (UNITS["degF"], 86)])

    assert celsius == fahrenheit == 303.15


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("6.5", 6.5),
        ("6,5", 6.5),
        ("12", 12),
        ("12345", 12345),
        (" 7,5 ", 7.5),
        ("-7,5", -7.5),
        ("−7.5", -7.5),
        ("+3", 3),
        (",5", 0.5),
        ("5,", 5),
        ("0.250", 0.25),
        ("0,125", 0.125),
        ("1 234.5", 1234.5),
        ("1 234,5", 1234.5),
        ("1'234.5", 1234.5),
        ("12\u00a0345", 12345),
        ("1.234,5", 1234.5),
        ("1,234.5", 1234.5),
        ("1,234,567", 1234567),
        ("1.234.567", 1234567),
        ("1234.567", 1234.567),
    ],
)
def test_typed_number_is_understood(core_page: Any, typed: str, number: float) -> None:
    assert core_page.call("units.js", "readNumber", typed) == {"number": number}


@pytest.mark.parametrize(
    ("typed", "either"),
    [("1.234", [1.234, 1234]), ("1,234", [1.234, 1234]), ("-12,500", [-12.5, -12500])],
)
def test_number_with_two_meanings_is_asked_about(core_page: Any, typed: str, either: list[float]) -> None:
    assert core_page.call("units.js", "readNumber", typed) == {"either": either}


@pytest.mark.parametrize("typed", ["", "  ", "-", "+"])
def test_number_not_yet_typed_is_empty(core_page: Any, typed: str) -> None:
    assert core_page.call("units.js", "readNumber", typed) == {"empty": True}


@pytest.mark.parametrize(
    "typed", ["abc", "1e3", "12 34", "1,23,4", "0.5.5", "1.234,567.8", "5 l", "--5", "1 234 5"]
)
def test_slip_of_the_finger_is_no_number(core_page: Any, typed: str) -> None:
    assert core_page.call("units.js", "readNumber", typed) == {"wrong": True}


@pytest.mark.parametrize(
    ("key", "si", "round_to", "locale", "text"),
    [
        ("N*m", 25, None, "en", "25\u00a0N·m"),
        ("N*m", 36.54, None, "en", "36.5\u00a0N·m"),
        ("N*m", 36.54, None, "de", "36,5\u00a0N·m"),
        ("lbf*ft", 25, None, "en", "18.4\u00a0lbf·ft"),
        ("l", 0.0065, None, "en", "6.5\u00a0l"),
        ("l", 0.00473176473, None, "en", "4.73\u00a0l"),
        ("qt", 0.00473176473, None, "en", "5\u00a0US qt"),
        ("inHg", 84659.725, None, "en", "25\u00a0inHg"),
        ("degC", 303.15, None, "en", "30\u00a0°C"),
        ("degF", 303.15, None, "en", "86\u00a0°F"),
        ("degC", 272.15, None, "en", "−1\u00a0°C"),
        ("degree", 0.017453292519943295, None, "en", "1°"),
        ("1", 4, None, "en", "4"),
        ("percent", 0.5, None, "en", "50\u00a0%"),
        ("km", 84210000, None, "en", "84,210\u00a0km"),
        ("km", 84210000, None, "de", "84.210\u00a0km"),
        ("kg", 1600, None, "en", "1600\u00a0kg"),
        ("l", 0.006549, 0.00005, "en", "6.55\u00a0l"),
        ("l", 0.00612, 0.0001, "en", "6.1\u00a0l"),
        ("l", 0.006, 0.00005, "en", "6\u00a0l"),
        ("N*m", 71.11, 0.5, "en", "71\u00a0N·m"),
        ("N*m", 71.3, 0.5, "en", "71.5\u00a0N·m"),
        ("mm", 0.04713, 0.005, "en", "45\u00a0mm"),
        ("l", -0.0000001, None, "en", "0\u00a0l"),
        ("unheard-of", 2, None, "en", "2\u00a0unheard-of"),
    ],
)
def test_quantity_is_shown_by_the_custom_of_the_language(
    core_page: Any, key: str, si: float, round_to: float | None, locale: str, text: str
) -> None:
    shown = core_page.call("units.js", "quantityText", CATALOG, key, si, round_to, locale)

    assert shown["text"] == text


def test_quantity_is_spoken_in_words(core_page: Any) -> None:
    shown = core_page.call("units.js", "quantityText", CATALOG, "N*m", 25, None, "en")

    assert shown["spoken"] == "25 newton metres"


@pytest.mark.parametrize(
    ("moment", "day", "time"),
    [
        ("2026-05-04T23:10:00+14:00", "May 4, 2026", "11:10 PM"),
        ("2026-05-05T00:30:00-11:00", "May 5, 2026", "12:30 AM"),
    ],
)
def test_a_moment_of_an_entry_is_read_as_it_was_written_in_any_zone(
    core_page: Any, moment: str, day: str, time: str
) -> None:
    shown = [
        core_page.call("../parts/texts/reading-words.js", name, moment) for name in ("dayText", "timeText")
    ]

    assert [" ".join(text.split()) for text in shown] == [day, time]
