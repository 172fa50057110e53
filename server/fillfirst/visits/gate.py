"""What stands between a person and the next step: needs, rules, and at the end what is not as it should be.

`webui/core/gate.js` is the same in the other language; tests/agreement drives both.
"""

from __future__ import annotations

from collections.abc import Mapping

from fillfirst.formulas import evaluate, evaluate_figure
from fillfirst.specs.linked import Rule, Specs, Step, Value
from fillfirst.visits.compose import effects, members, parts_of, step_of, targets
from fillfirst.visits.shapes import Composition, Instance, Judgement, Stop, Unfinished

# Not in the specs: it speaks of a change, where every other rule speaks of a state.
ONE_TIME_RULE = Rule(
    id="one-time-part",
    title="A one-time part is fitted only once",
    reason="A seal, washer or bolt that has done its work once does not hold a second time.",
    while_={},
    must={},
)


def stops(
    specs: Specs, composition: Composition, variables: Mapping[str, str], instance: Instance
) -> list[Stop]:
    """Why this step may not be done in this state; empty when it may.

    Rules are checked in the state the step leaves behind, and those that speak of where a person is also
    in the state the step finds. A rule that is broken already does not stop the step that puts it right.
    """
    step = step_of(specs, instance)
    before = dict(variables)
    after = before | effects(specs, composition, before, instance)
    found: list[Stop] = []
    for base, expected in step.needs.items():
        for id in targets(specs, composition, instance, base):
            if before[id] not in expected:
                title = specs.variables[base].title
                found.append(
                    {
                        "kind": "need",
                        "id": id,
                        "variable": id,
                        "found": before[id],
                        "expected": list(expected),
                        "title": title,
                        "reason": step.why,
                        "never": False,
                        "cure": None,
                    }
                )
    for rule in rules_in_force(specs, composition):
        broken = _find_broken(specs, composition, rule, after, step.where)
        if speaks_of_place(rule):
            broken += [
                id for id in _find_broken(specs, composition, rule, before, step.where) if id not in broken
            ]
        for id in broken:
            value = (step.where or "") if id == "place" else after[id]
            found.append(_rule_stop(rule, id, value, list(_allowed(composition, rule, id))))
    for part in _find_refitted(specs, composition, before, after):
        found.append(_rule_stop(ONE_TIME_RULE, part, "used", ["new"]))
    for stop in found:
        stop["cure"] = _find_cure(specs, composition, instance, stop["variable"], stop["expected"])
    return found


def _rule_stop(rule: Rule, variable: str, found: str, expected: list[str]) -> Stop:
    return {
        "kind": "rule",
        "id": rule.id,
        "variable": variable,
        "found": found,
        "expected": expected,
        "title": rule.title,
        "reason": rule.reason,
        "never": rule.never,
        "cure": None,
    }


def rules_in_force(specs: Specs, composition: Composition) -> list[Rule]:
    """The rules that count on this car. One that cannot be told for want of a fact counts."""
    outcomes = (
        (rule, evaluate(rule.when, composition["facts"], specs.tables) if rule.when is not None else None)
        for rule in specs.rules
    )
    return [rule for rule, outcome in outcomes if outcome is None or outcome.get("value") is not False]


def broken_rules(specs: Specs, composition: Composition, variables: Mapping[str, str]) -> list[Stop]:
    """The rules that a state breaks in itself, wherever anybody stands."""
    return [
        _rule_stop(rule, id, variables[id], list(_allowed(composition, rule, id)))
        for rule in rules_in_force(specs, composition)
        for id in _find_broken(specs, composition, rule, variables, None)
    ]


def speaks_of_place(rule: Rule) -> bool:
    return "place" in rule.while_ or "place" in rule.must


def _allowed(composition: Composition, rule: Rule, id: str) -> tuple[str, ...]:
    """The values a rule allows a variable, which it names by itself or as one of a family."""
    return rule.must[id] if id in rule.must else rule.must[composition["variables"][id]]


def _find_broken(
    specs: Specs, composition: Composition, rule: Rule, variables: Mapping[str, str], where: str | None
) -> list[str]:
    """The variables that a rule wants otherwise.

    `while` needs one item of a family, `must` all of them; what this car has not is passed over in `must`
    and never true in `while`.
    """
    state = dict(variables) if where is None else {**variables, "place": where}

    def ids(base: str) -> list[str]:
        return (
            [id for id in ("place",) if id in state] if base == "place" else members(specs, composition, base)
        )

    for base, values in rule.while_.items():
        if not any(state[id] in values for id in ids(base)):
            return []
    return [id for base, values in rule.must.items() for id in ids(base) if state[id] not in values]


def _find_refitted(
    specs: Specs, composition: Composition, before: Mapping[str, str], after: Mapping[str, str]
) -> list[str]:
    """Used one-time parts of closures that this change tightens."""
    tightened = [
        id for id, value in after.items() if value != before[id] and value in ("first-pass", "closed")
    ]
    parts = [part for id in tightened for part in parts_of(specs, composition, id) if after[part] == "used"]
    return list(dict.fromkeys(parts))


def _find_cure(
    specs: Specs, composition: Composition, instance: Instance, variable: str, expected: list[str]
) -> str | None:
    """The step that brings a variable to one of these values: the last before this one, else the next."""
    base = composition["variables"].get(variable)
    if base is None:
        return None
    before: str | None = None
    is_before = True
    for other in composition["steps"]:
        if other["id"] == instance["id"]:
            if before is not None:
                return before
            is_before = False
        elif step_of(specs, other).makes.get(base) in expected and variable in targets(
            specs, composition, other, base
        ):
            if not is_before:
                return other["id"]
            before = other["id"]
    return before


def unfinished(specs: Specs, composition: Composition, variables: Mapping[str, str]) -> list[Unfinished]:
    """What must still be put right before the visit is closed, fluids that were not renewed included."""
    renewed = {f"{circuit}.fluid" for id in composition["jobs"] for circuit in specs.jobs[id].renews}
    found: list[Unfinished] = []
    for id, base in composition["variables"].items():
        expected = ["new"] if id in renewed else list(specs.variables[base].ends)
        if variables[id] not in expected:
            title = specs.variables[base].title
            found.append({"variable": id, "found": variables[id], "expected": expected, "title": title})
    return found


def judgements(specs: Specs, values: Mapping[str, Value], step: Step) -> list[Judgement]:
    """How the readings of a step are judged."""
    found: list[Judgement] = []
    for figure in step.judges:
        outcome = evaluate_figure(specs, figure, values)
        result = specs.formulas[specs.figures[figure].formula].result
        holds = outcome.get("value")
        says = (result.yes if holds else result.no) if isinstance(holds, bool) else None
        found.append(
            {
                "figure": figure,
                "outcome": outcome,
                "holds": holds if isinstance(holds, bool) else None,
                "says": says,
            }
        )
    return found
