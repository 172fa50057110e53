"""Expressions whose parts do not fit together are refused before any number is known."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from fillfirst.errors import KindError
from fillfirst.formulas import YES_NO, check_dimensions, check_kind, list_of, number_in, parse, text_of

KINDS = {
    "capacity": number_in("l"),
    "drained": number_in("qt"),
    "mass": number_in("kg"),
    "temperature": number_in("degC"),
    "window_from": number_in("degF"),
    "warming": number_in("delta_degC"),
    "share": number_in("percent"),
    "angle": number_in("degree"),
    "torque": number_in("N*m"),
    "pressure": number_in("kPa"),
    "gearbox": text_of(["manual", "automatic-overflow"]),
    "approval": text_of([]).__class__("text"),
    "wheels": list_of(["front-left", "rear-left"]),
    "is_hot": YES_NO,
}
TABLES = {
    "frost": SimpleNamespace(
        key=SimpleNamespace(unit="percent"), value=SimpleNamespace(unit="degC"), rows=[(0.0, 273.15)]
    )
}


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("capacity - drained", "[length]³ (such as l)"),
        ("capacity * (1 + share)", "[length]³ (such as l)"),
        ("max(capacity - drained, 0)", "[length]³ (such as l)"),
        ("0 if is_hot else capacity", "[length]³ (such as l)"),
        ("capacity / drained", "a pure number"),
        ("capacity ** (1 / 3)", "[length] (such as mm)"),
        ("sqrt(capacity * capacity)", "[length]³ (such as l)"),
        ("sqrt(capacity)", "[length]³ᐟ²"),
        ("share ** share", "a pure number"),
        ("cos(angle)", "a pure number"),
        ("1 / pressure", "[length]·[time]²/[mass]"),
        ("torque * cos(angle)", "[mass]·[length]²/[time]² (such as N*m)"),
        ("temperature - window_from", "a temperature difference (such as delta_degC)"),
        ("temperature + warming", "a temperature (such as degC)"),
        ("warming + temperature", "a temperature (such as degC)"),
        ("temperature - warming", "a temperature (such as degC)"),
        ("max(temperature, window_from)", "a temperature (such as degC)"),
        ("warming * share", "a temperature difference (such as delta_degC)"),
        ("temperature / window_from", "a pure number"),
        ("table('frost', share)", "a temperature (such as degC)"),
        ("window_from <= temperature", "a yes or no"),
        ("gearbox == 'manual'", "a yes or no"),
        ("gearbox in ('manual', 'automatic-overflow')", "a yes or no"),
        ("'front-left' in wheels", "a yes or no"),
        ("approval in wheels", "a yes or no"),
        ("approval == 'anything'", "a yes or no"),
        ("known(capacity) and not is_hot", "a yes or no"),
        ("is_hot == True", "a yes or no"),
        ("('manual' if is_hot else 'automatic-overflow') == gearbox", "a yes or no"),
        ("approval", "a text"),
        ("wheels", "a list"),
    ],
)
def test_expression_that_fits_together_has_a_kind(text: str, kind: str) -> None:
    assert str(check_kind(parse(text), KINDS, TABLES)) == kind


L, M = "[length]³ (such as l)", "[mass] (such as kg)"
SCALE = "only a difference between two temperatures can be used so"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "temperature + 0",
            '"temperature" is a temperature (such as degC) and "0" is a pure number; '
            "only like things can be added or subtracted",
        ),
        (
            "capacity + mass",
            f'"capacity" is {L} and "mass" is {M}; only like things can be added or subtracted',
        ),
        (
            "capacity + 1",
            f'"capacity" is {L} and "1" is a pure number; only like things can be added or subtracted',
        ),
        ("capacity < mass", f'"capacity" is {L} and "mass" is {M}; only like things can be compared'),
        ("capacity == mass", f'"capacity" is {L} and "mass" is {M}; only like things can be equal'),
        ("max(capacity, mass)", f'"capacity" is {L} and "mass" is {M}; only like things can be compared'),
        ("capacity if is_hot else mass", f'"capacity" is {L} and "mass" is {M}; both branches must be alike'),
        ("exp(capacity)", f'"capacity" is {L}; a pure number is needed here'),
        ("floor(mass)", f'"mass" is {M}; a pure number is needed here'),
        ("2 ** mass", f'"mass" is {M}; a pure number is needed here'),
        (
            "capacity ** share",
            f'"capacity" is {L} and its power changes; '
            "what has a unit can only be raised to a written number",
        ),
        ("temperature * 2", f'"temperature" is a temperature on a scale; {SCALE}'),
        ("-temperature", f'"temperature" is a temperature on a scale; {SCALE}'),
        ("abs(temperature)", f'"temperature" is a temperature on a scale; {SCALE}'),
        ("temperature / warming", f'"temperature" is a temperature on a scale; {SCALE}'),
        (
            "temperature + window_from",
            '"temperature" is a temperature (such as degC) and "window_from" is a temperature '
            "(such as degC); only like things can be added or subtracted",
        ),
        (
            "warming - temperature",
            '"warming" is a temperature difference (such as delta_degC) and "temperature" is a temperature '
            "(such as degC); only like things can be added or subtracted",
        ),
        (
            "temperature > warming",
            '"temperature" is a temperature (such as degC) and "warming" is a temperature difference '
            "(such as delta_degC); only like things can be compared",
        ),
        (
            "temperature > 0",
            '"temperature" is a temperature (such as degC) and "0" is a pure number; '
            "only like things can be compared",
        ),
        ("share and is_hot", "it is a pure number; a yes or no is needed here"),
        ("1 if mass else 2", f"it is {M}; a yes or no is needed here"),
        ("gearbox + 1", "it is a text; a number is needed here"),
        ("gearbox < 'b'", '"gearbox" is a text; only numbers are more or less'),
        ("gearbox == 'manuel'", 'it can never be "manuel"; "manual" is the nearest there is'),
        (
            "gearbox == 'xyz'",
            'it can never be "xyz"; there is "automatic-overflow", "manual"',
        ),
        (
            "gearbox in ('manual', 'automatic')",
            'it can never be "automatic"; "automatic-overflow" is the nearest there is',
        ),
        ("'front-lft' in wheels", 'it can never be "front-lft"; "front-left" is the nearest there is'),
        ("mass in wheels", f'"mass" is {M}; such a list holds texts'),
        ("'a' in gearbox", '"gearbox" is a text; after "in" stands a list'),
        ("wheels == wheels", '"wheels" is a list and "wheels" is a list; only like things can be equal'),
        ("is_hot == 1", '"is_hot" is a yes or no and "1" is a pure number; only like things can be equal'),
        ("capasity + mass", 'there is no "capasity"; "capacity" is the nearest there is'),
        ("known(capasity)", 'there is no "capasity"; "capacity" is the nearest there is'),
        ("table('frosty', share)", 'there is no table "frosty"; "frost" is the nearest there is'),
        ("table('frost', mass)", f'"mass" is {M}; the table\'s key is a pure number'),
    ],
)
def test_expression_that_does_not_fit_together_is_refused(text: str, message: str) -> None:
    with pytest.raises(KindError) as caught:
        check_kind(parse(text), KINDS, TABLES)

    assert f"{caught.value.found}; {caught.value.expected}" == message


def test_refusal_quotes_the_part_that_does_not_fit() -> None:
    with pytest.raises(KindError) as caught:
        check_kind(parse("1 + share * (capacity + mass) / mass"), KINDS, TABLES)

    assert caught.value.where == 'expression, "capacity + mass"'


def formula(expression: str, result_unit: str | None, kind: str = "quantity", **units: str) -> Any:
    inputs = {
        name: SimpleNamespace(kind="quantity", unit=unit, from_=None, to=None, optional=False)
        for name, unit in units.items()
    }
    return SimpleNamespace(
        tree=parse(expression),
        inputs=inputs,
        constants={},
        result=SimpleNamespace(kind=kind, unit=result_unit),
    )


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (
            formula("force * arm", "N", force="N", arm="mm"),
            "result.unit: the expression gives [mass]·[length]²/[time]² (such as N*m); "
            '"N" is [mass]·[length]/[time]². Change the unit or the expression.',
        ),
        (
            formula("hot - cold", "degC", hot="degC", cold="degC"),
            "result.unit: the expression gives a temperature difference (such as delta_degC); "
            '"degC" is a temperature (such as degC). Change the unit or the expression.',
        ),
        (
            formula("hot", "K", hot="degC"),
            'result.unit: the expression gives a temperature (such as degC); "K" is a temperature difference '
            "(such as delta_degC). Change the unit or the expression.",
        ),
        (
            formula("x > 1", "l", x="1"),
            "result.unit: the expression gives a yes or no; a quantity is a number. "
            'Change the expression, or make the result a "judgement".',
        ),
        (
            formula("x", None, kind="judgement", x="percent"),
            "result.kind: the expression gives a pure number; a judgement is a yes or no.",
        ),
        (
            formula("x", "1", x="1", y="1"),
            "inputs.y: the expression never reads it; every input and constant is for something.",
        ),
    ],
)
def test_formula_that_gives_something_else_is_refused(given: Any, message: str) -> None:
    with pytest.raises(KindError) as caught:
        check_dimensions(given, {})

    assert str(caught.value) == message


def test_torque_is_not_told_from_energy() -> None:
    check_dimensions(formula("force * arm", "J", force="N", arm="mm"), {})


def test_difference_of_temperatures_is_a_difference() -> None:
    check_dimensions(formula("hot - cold", "K", hot="degC", cold="degF"), {})
