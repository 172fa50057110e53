"""Worked examples: what holds, what does not, and how that is said."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from fillfirst.errors import KindError, QuantityError
from fillfirst.formulas import parse, run_example


def formula(expression: str, unit: str | None, **inputs: Any) -> Any:
    return SimpleNamespace(
        tree=parse(expression),
        inputs={name: SimpleNamespace(**each) for name, each in inputs.items()},
        constants={},
        result=SimpleNamespace(kind="quantity" if unit else "judgement", unit=unit),
    )


def quantity(unit: str, from_: float | None = None, to: float | None = None) -> dict[str, Any]:
    return {"kind": "quantity", "unit": unit, "from_": from_, "to": to, "optional": False}


def example(expect: Any, within: Any = None, **given: Any) -> Any:
    return SimpleNamespace(given=given, expect=expect, within=within)


LEVER = formula("force * arm", "N*m", force=quantity("N", 0, 1000), arm=quantity("mm", 0, 2))
WARM = formula("temperature", "degC", temperature=quantity("degC"))
JUDGED = formula("x > 1", None, x=quantity("1"))
CHOSEN = formula("x if is_new else 0", "l", x=quantity("l"), is_new={**quantity("1"), "kind": "yes-no"})

NAMED = formula("kind == 'ethylene'", None, kind={**quantity("1"), "kind": "text"})


@pytest.mark.parametrize(
    ("given_formula", "given_example"),
    [
        (LEVER, example("20 N*m", force="100 N", arm="200 mm")),
        (LEVER, example("20 N*m", "0.1 N*m", force="100.4 N", arm="200 mm")),
        (LEVER, example("14.75 lbf*ft", "0.01 lbf*ft", force="100 N", arm="200 mm")),
        (WARM, example("30 degC", "0.5 degC", temperature="30.4 degC")),
        (WARM, example("30 degC", "0.5 delta_degC", temperature="30.4 degC")),
        (WARM, example("86 degF", temperature="30 degC")),
        (JUDGED, example(True, x=2)),
        (JUDGED, example(False, x="1")),
        (CHOSEN, example("2 l", x="2 l", is_new=True)),
        (NAMED, example(True, kind="ethylene")),
    ],
)
def test_example_that_agrees_holds(given_formula: Any, given_example: Any) -> None:
    assert run_example(given_formula, given_example, {}) is None


@pytest.mark.parametrize(
    ("given_formula", "given_example", "message"),
    [
        (
            LEVER,
            example("21 N*m", "0.5 N*m", force="100 N", arm="200 mm"),
            'the formula gives "20 N*m"; the example expects "21 N*m" within "0.5 N*m"',
        ),
        (
            WARM,
            example("30 degC", "0.5 degC", temperature="31 degC"),
            'the formula gives "31 degC"; the example expects "30 degC" within "0.5 degC"',
        ),
        (JUDGED, example(False, x=2), "the formula gives yes; the example expects no"),
        (
            LEVER,
            example("20 N*m", force="100 N"),
            "the formula has no value here: arm not given; it must have one",
        ),
        (
            LEVER,
            example("20 N*m", force="100 N", arm="3 m"),
            'the formula has no value here: arm is "3000 mm", outside "0 mm" to "2000 mm"; it must have one',
        ),
        (
            formula("1 / x", "1", x=quantity("1")),
            example("1", x="0"),
            "the formula has no value here: division by zero; it must have one",
        ),
    ],
)
def test_example_that_disagrees_is_told(given_formula: Any, given_example: Any, message: str) -> None:
    assert str(run_example(given_formula, given_example, {})) == message


@pytest.mark.parametrize(
    ("given_formula", "given_example", "message"),
    [
        (
            LEVER,
            example("1 N*m", forze="1 N"),
            'given.forze: there is no input "forze"; "force" is the nearest there is.',
        ),
        (
            LEVER,
            example("1 N*m", force="1 kg"),
            'given.force: "kg" is [mass] (such as kg); it must be like "N".',
        ),
        (
            LEVER,
            example("1 l", force="1 N", arm="1 mm"),
            'expect: "l" is [length]³ (such as l); it must be like "N*m".',
        ),
        (
            WARM,
            example("30 delta_degC", temperature="1 degC"),
            'expect: "delta_degC" is a temperature difference (such as delta_degC); it must be like "degC".',
        ),
        (
            LEVER,
            example("1 N*m", "1 kg", force="1 N", arm="1 mm"),
            'within: "kg" is [mass] (such as kg); it must be like "N*m".',
        ),
        (JUDGED, example("yes", x=1), "expect: it is 'yes'; it must be true or false."),
        (
            CHOSEN,
            example("2 l", x="2 l", is_new="true"),
            "given.is_new: it is 'true'; it must be true or false.",
        ),
        (
            LEVER,
            example("1 N*m", force=True, arm="1 mm"),
            'given.force: it is true; it must be a quantity in a unit such as "N".',
        ),
    ],
)
def test_example_of_another_kind_is_refused(given_formula: Any, given_example: Any, message: str) -> None:
    with pytest.raises(KindError) as caught:
        run_example(given_formula, given_example, {})

    assert str(caught.value) == message


def test_example_with_an_unknown_unit_is_refused() -> None:
    with pytest.raises(QuantityError, match=r'expected a known unit, such as "N\*m"'):
        run_example(LEVER, example("1 Nm", force="1 N", arm="1 mm"), {})
