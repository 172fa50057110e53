"""Sheets of cars: what is written is read again unchanged, by whoever wrote it, and judged alike."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from visit_vectors import CATALOG, as_events

from fillfirst.cars.fold import fold_car
from fillfirst.cars.judgement import SOURCE_KINDS, judge_fact
from fillfirst.cars.sheet import judge_sheet, read_sheet
from fillfirst.specs import load
from fillfirst.visits.events import read_event

TOP = Path(__file__).parents[2]
SPECS = load(TOP / "specs")
SHIPPED = SPECS.model_dump(mode="json", by_alias=True)
CAR_FACTS = {name: fact for name, fact in SPECS.facts.items() if fact.of == "car"}

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)


def values_of(name: str) -> st.SearchStrategy[Any]:
    """What may be typed for a fact: mostly what fits, now and then what does not."""
    fact = CAR_FACTS[name]
    if fact.kind == "quantity" and fact.unit is not None:
        units = [key for key, unit in SPECS.units.items() if unit.measure == SPECS.units[fact.unit].measure]
        amounts = st.builds(
            lambda number, unit: f"{number:g}" if unit == "1" else f"{number:g} {unit}",
            st.floats(0.01, 9999).map(lambda number: float(f"{number:.5g}")),
            st.sampled_from(units),
        )
        return amounts | st.sampled_from(["6,5 l", "much", "4 parsec", 7, 2.5])
    if fact.kind == "yes-no":
        return st.booleans()
    if fact.kind == "list":
        return st.lists(st.sampled_from(sorted(fact.options or {"1": "", "2": ""})), max_size=5)
    return st.sampled_from(sorted(fact.options)) if fact.options else TEXTS


@st.composite
def sheets(draw: st.DrawFn) -> dict[str, Any]:
    facts = {
        name: {
            "value": draw(values_of(name)),
            "source": {"kind": draw(st.sampled_from(SOURCE_KINDS)), "reference": draw(TEXTS)},
            **draw(st.fixed_dictionaries({}, optional={"confirmed": st.booleans(), "doubt": TEXTS})),
        }
        for name in draw(st.lists(st.sampled_from(sorted(CAR_FACTS)), unique=True, max_size=8))
    }
    head = st.fixed_dictionaries(
        {"title": TEXTS, "plate": TEXTS},
        optional={
            "id": st.uuids().map(str),
            "note": TEXTS,
            "vin": st.sampled_from(["1G4AH59H45G118341", "1G4AH59H45G118342", "short", "1G4AH59H45GI18341"]),
            "market": st.sampled_from(["north-america", "elsewhere"]),
            "odometer": st.sampled_from(["84210 km", "-3 km", "52000 mile", "far"]),
        },
    )
    return {**draw(head), "facts": facts}


RUN = settings(max_examples=60, deadline=None)


@RUN
@given(sheet=sheets())
def test_a_sheet_is_read_as_it_was_written(core_page: Any, sheet: dict[str, Any]) -> None:
    text = core_page.call("sheet.js", "writeSheet", sheet)

    assert core_page.call("sheet.js", "readSheet", text) == {"sheet": sheet}
    assert tomllib.loads(text) == sheet


@RUN
@given(sheet=sheets())
def test_a_sheet_that_another_program_wrote_is_read(core_page: Any, sheet: dict[str, Any]) -> None:
    text = tomli_w.dumps(sheet)

    assert core_page.call("sheet.js", "readSheet", text) == {"sheet": sheet}


def judge_on_server(sheet: dict[str, Any]) -> dict[str, Any]:
    read, problems = read_sheet("car.toml", tomli_w.dumps(sheet).encode())
    assert read is not None, problems
    judged = judge_sheet(SPECS, read)
    return {
        "verdict": judged.verdict,
        "facts": judged.facts,
        "vin": judged.vin,
        "odometer": judged.odometer,
    }


# The whole catalog goes into the browser each time, so sheets go with it twenty by twenty.
@settings(max_examples=3, deadline=None)
@given(several=st.lists(sheets(), min_size=20, max_size=20))
def test_server_and_phone_judge_a_sheet_alike(core_page: Any, several: list[dict[str, Any]]) -> None:
    on_phone = core_page.call_with(SHIPPED, "sheet.js", "judgeSheet", several)

    assert on_phone == [judge_on_server(sheet) for sheet in several]


def import_sheet(core_page: Any, sheet: dict[str, Any], is_own: bool) -> Any:
    """The car after a sheet was brought in where it was not known."""
    whose = {"isOwn": is_own, "by": "Ida"}
    entries = core_page.call("sheet.js", "entriesOf", SHIPPED, sheet, None, whose)
    return fold_car([read_event(event) for event in as_events(entries)])


@pytest.mark.parametrize("car", SPECS.vehicles)
def test_a_demo_car_goes_out_and_comes_in_unchanged(car: str, core_page: Any) -> None:
    text = (TOP / "specs" / "vehicles" / f"{car}.toml").read_text()
    sheet = core_page.call("sheet.js", "readSheet", text)["sheet"]

    out = core_page.call("sheet.js", "sheetOf", SHIPPED, "car-1", import_sheet(core_page, sheet, True))
    again = core_page.call("sheet.js", "sheetOf", SHIPPED, "car-1", import_sheet(core_page, out, True))

    assert again == out
    assert {name: fact["source"] for name, fact in out["facts"].items()} == {
        name: fact["source"] for name, fact in sheet["facts"].items()
    }
    read, _ = read_sheet("out.toml", core_page.call("sheet.js", "writeSheet", out).encode())
    assert read is not None
    values = {name: fact.value for name, fact in SPECS.vehicles[car].facts.items()}
    judged = judge_sheet(SPECS, read)
    assert judged.verdict != "refused"
    assert import_sheet(core_page, out, True)["facts"].keys() == values.keys()
    assert {
        name: fact["value"] for name, fact in import_sheet(core_page, out, True)["facts"].items()
    } == values


def test_another_ones_sheet_comes_with_sources_and_nothing_confirmed(core_page: Any) -> None:
    text = (TOP / "specs" / "vehicles" / "pippin-hatch.toml").read_text()
    sheet = core_page.call("sheet.js", "readSheet", text)["sheet"]

    car = import_sheet(core_page, sheet, False)

    assert {fact["confirmed"] for fact in car["facts"].values()} == {None}
    assert all(fact["source"]["reference"] for fact in car["facts"].values())
    out = core_page.call("sheet.js", "sheetOf", SHIPPED, "car-1", car)
    assert {fact["confirmed"] for fact in out["facts"].values()} == {False}


def test_a_sheet_brought_in_again_writes_nothing(core_page: Any) -> None:
    text = (TOP / "specs" / "vehicles" / "pippin-hatch.toml").read_text()
    sheet = core_page.call("sheet.js", "readSheet", text)["sheet"]
    car = import_sheet(core_page, sheet, True)

    again = core_page.call("sheet.js", "entriesOf", SHIPPED, sheet, car, {"isOwn": True, "by": "Ida"})

    assert again == []


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('title = "x"\nplate = y\n', 2, '"y" is no value'),
        ('title = "x\nplate = "y"\n', 1, "does not end on its line"),
        ("title 1\n", 1, "A key without ="),
        ('title = "x" plate = "y"\n', 1, "begin a new line"),
        ('title = "x"\ntitle = "y"\n', 2, '"title" is given twice'),
        ('plate = "y"\n[facts]\n', 1, 'The key "title" is missing'),
        ('title = "x"\nplate = "y"\n', 1, "The table [facts] is missing"),
        ('title = "x"\nplate = 3\n[facts]\n', 2, '"plate" must be a text'),
        ('title = "x"\nplate = "y"\nplat = "z"\n[facts]\n', 3, '"plat" is no key of a sheet'),
        ('title = "x"\nplate = "y"\n[facts]\nfuel = "diesel"\n', 4, '"fuel" must be a table'),
        ('title = "x"\nplate = "y"\n[facts]\nfuel = { value = "diesel" }\n', 4, '"fuel" has no source'),
        ('title = "x"\nplate = "y"\n[facts.fuel]\nvalue = 1\nsource = 3\n', 3, '"fuel" has no source'),
        ('title = "x"\nplate = "y"\n[facts]\n[facts]\n', 4, "a second time"),
        ('title = "x"\n[[facts]]\n', 2, "A list of tables"),
        ('title = """x\n', 1, "The text does not end"),
        ("title = [1, 2\n", 1, "The list does not end"),
        ("title = [1 2]\n", 1, "stands a comma"),
        ("title = { a = 1\n", 1, "does not end on its line"),
        ('title = "\\q"\n', 1, "A backslash that means nothing"),
        ("title = 2026-05-04\n", 1, "is no value"),
        ("a = { b = 1 }\n[a]\n", 2, "has a value already"),
    ],
)
def test_what_is_wrong_with_a_sheet_is_told_with_its_line(
    core_page: Any, text: str, line: int, words: str
) -> None:
    errors = core_page.call("sheet.js", "readSheet", text)["errors"]

    assert (errors[0]["line"], words in errors[0]["message"]) == (line, True), errors


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ('a = """\n  one \\\n   two"""', "  one two"),
        ("a = '''it's \"so\"'''", 'it\'s "so"'),
        ('a = "\\u00e9\\U0001f600\\t"', "é😀\t"),
        ("a = [ 1, 2.5,\n # three\n 3e2, ]", [1, 2.5, 300]),
        ("a = { b.c = 1, 'd e' = true }", {"b": {"c": 1}, "d e": True}),
        ("a = -1_000", -1000),
        ("[a]\r\nb = 'x' # so\r\n", {"b": "x"}),
    ],
)
def test_toml_is_read_as_others_read_it(core_page: Any, text: str, value: Any) -> None:
    read = core_page.call("toml.js", "parseToml", text)["table"]["a"]

    assert read == value == tomllib.loads(text)["a"]


VINS = [
    # 49 CFR 565.15, Table V, and examples published with the digit X.
    ("1G4AH59H45G118341", "north-america", "fine", [], 2005),
    ("1M8GDM9AXKP042788", "north-america", "fine", [], 1989),
    ("11111111111111111", "", "fine", [], 2001),
    ("1g4ah59h45g118342", "north-america", "refused", ["vin-check-digit"], 2005),
    ("1G4AH59H45G118342", "", "odd", ["vin-check-digit"], 2005),
    ("1G4AH59H4", "north-america", "refused", ["vin-length"], None),
    ("1G4AH59H4OQ118", "", "refused", ["vin-length", "vin-letters"], None),
    ("1G4AH59H30G118341", "north-america", "refused", ["vin-year"], None),
    ("", "", "refused", ["vin-length"], None),
]


@pytest.mark.parametrize(("vin", "market", "verdict", "codes", "year"), VINS)
def test_a_vin_is_judged_by_its_market(
    core_page: Any, vin: str, market: str, verdict: str, codes: list[str], year: int | None
) -> None:
    from fillfirst.cars.vin import judge_vin

    judged = judge_vin(vin, market)

    assert judged == core_page.call("vin.js", "judgeVin", vin, market)
    assert (judged["verdict"], [each["code"] for each in judged["remarks"]], judged["year"]) == (
        verdict,
        codes,
        year,
    )


def test_a_torque_beyond_its_thread_is_asked_about() -> None:
    thread = {"wheel_thread_diameter": 0.012, "wheel_thread_pitch": 0.0015}
    source = {"kind": "makers-manual", "reference": "p. 8"}

    holds = judge_fact(SPECS, thread, "wheel_torque", 110.0, source)
    tears = judge_fact(SPECS, thread, "wheel_torque", 175.0, source)

    assert holds["verdict"] == "fine"
    assert (tears["verdict"], [each["code"] for each in tears["remarks"]]) == ("odd", ["judged"])


def test_the_small_catalog_knows_no_shipped_fact(core_page: Any) -> None:
    sheet = {
        "title": "x",
        "plate": "y",
        "facts": {"engine_oil_grade": {"value": "z", "source": {"kind": "label", "reference": "cap"}}},
    }

    judged = core_page.call("sheet.js", "judgeSheet", CATALOG, sheet)

    assert judged["facts"]["engine_oil_grade"]["remarks"] == [{"code": "unknown-fact"}]
