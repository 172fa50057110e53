"""What is said of a number that somebody typed: refused, asked about, or fine.

A number that cannot be is refused with the range. One that can be, and is strange, is asked about and the
answer is kept with it: the book may be right after all. Nothing without a source is taken.
`webui/core/judgement.js` is the same in the other language; tests/agreement drives both.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Any, Literal, TypedDict, get_args

from fillfirst.formulas import evaluate, evaluate_figure
from fillfirst.formulas.evaluate import is_within
from fillfirst.specs.linked import Fact, SourceKind, Specs, Value
from fillfirst.visits.compose import resolve

SOURCE_KINDS: tuple[str, ...] = get_args(SourceKind)

Remark = dict[str, Any]


class FactJudgement(TypedDict):
    """`remarks` each have a `code`, and numbers in SI where it speaks of some."""

    verdict: Literal["fine", "odd", "refused"]
    remarks: list[Remark]


def judge_fact(
    specs: Specs, facts: Mapping[str, Value | None], name: str, value: object, source: object
) -> FactJudgement:
    """Judge a value for a fact of a car of which these other facts are known; numbers in SI."""
    fact = specs.facts.get(name)
    if fact is None:
        return {"verdict": "refused", "remarks": [{"code": "unknown-fact"}]}
    refusals = [*_judge_value(specs, name, fact, value), *_judge_source(source)]
    if refusals:
        return {"verdict": "refused", "remarks": refusals}
    doubts = [*_find_unusual(fact, value), *_ask_figures(specs, facts, name, value)]
    if _is_inapplicable(specs, facts, fact):
        doubts.append({"code": "does-not-apply"})
    return {"verdict": "odd" if doubts else "fine", "remarks": doubts}


def _judge_value(specs: Specs, name: str, fact: Fact, value: object) -> list[Remark]:
    if not _has_kind(fact, value):
        return [{"code": "wrong-kind", "kind": fact.kind}]
    if isinstance(value, float | int) and not isinstance(value, bool):
        if not is_within(value, fact.from_, fact.to):
            return [{"code": "out-of-range", "from": fact.from_, "to": fact.to}]
        return []
    texts = value if isinstance(value, list) else [value] if isinstance(value, str) else []
    if any(_is_blank(text) for text in texts):
        return [{"code": "empty"}]
    unknown = [text for text in texts if fact.options is not None and text not in fact.options]
    if unknown:
        return [{"code": "not-an-option", "found": unknown}]
    # Steps go through some lists item by item; positions of a lever may well come twice.
    is_each = name in {step.each for step in specs.steps} | {each.each for each in specs.variables.values()}
    twice = [text for at, text in enumerate(texts) if is_each and text in texts[:at]]
    return [{"code": "named-twice", "found": twice}] if twice else []


def _has_kind(fact: Fact, value: object) -> bool:
    if fact.kind == "quantity":
        return isinstance(value, float | int) and not isinstance(value, bool)
    if fact.kind == "yes-no":
        return isinstance(value, bool)
    if fact.kind == "list":
        return isinstance(value, list) and all(isinstance(item, str) for item in value)
    return isinstance(value, str)


def _judge_source(source: object) -> list[Remark]:
    if not isinstance(source, Mapping):
        return [{"code": "no-source"}]
    remarks: list[Remark] = []
    if source.get("kind") not in SOURCE_KINDS:
        remarks.append({"code": "unknown-source-kind", "found": source.get("kind")})
    reference = source.get("reference")
    if not isinstance(reference, str) or _is_blank(reference):
        remarks.append({"code": "no-reference"})
    return remarks


def _is_blank(text: str) -> bool:
    """Nothing to read in it. `str.strip` and the other language differ on what is a space."""
    return all(
        unicodedata.category(letter)[0] == "Z" or unicodedata.category(letter) == "Cc" for letter in text
    )


def _find_unusual(fact: Fact, value: object) -> list[Remark]:
    if not isinstance(value, float | int) or isinstance(value, bool):
        return []
    if is_within(value, fact.odd_from, fact.odd_to):
        return []
    return [{"code": "unusual", "from": fact.odd_from, "to": fact.odd_to}]


def _ask_figures(specs: Specs, facts: Mapping[str, Value | None], name: str, value: Any) -> list[Remark]:
    """What formulas say that hold this number against others of the car; one without a value says nothing."""
    known = {each: given for each, given in facts.items() if given is not None} | {name: value}
    doubts: list[Remark] = []
    for figure in specs.facts[name].judges:
        outcome = evaluate_figure(specs, figure, known)
        if "value" in outcome and outcome["value"] is False:
            says = specs.formulas[specs.figures[figure].formula].result.no
            doubts.append({"code": "judged", "figure": figure, "says": says})
    return doubts


def _is_inapplicable(specs: Specs, facts: Mapping[str, Value | None], fact: Fact) -> bool:
    if fact.when is None:
        return False
    values, _ = resolve(specs, facts)
    outcome = evaluate(fact.when, values, specs.tables)
    return "value" in outcome and outcome["value"] is False
