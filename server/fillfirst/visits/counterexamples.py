"""What the proof found, told so that whoever wrote the specs sees it happen.

Of all visits in which something goes wrong the one with the fewest jobs is taken and played literally,
step by step, through the same `compose` and `stops` as on the phone. Only steps that touch what goes wrong
are told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fillfirst.specs.linked import Specs, Value
from fillfirst.visits.compose import back_target, compose, effects, starting_variables, step_of
from fillfirst.visits.gate import ONE_TIME_RULE, broken_rules, stops, unfinished
from fillfirst.visits.layouts import Layout, Layouts
from fillfirst.visits.play import Fault
from fillfirst.visits.shapes import Composition, Instance, Stop


@dataclass(frozen=True)
class Finding:
    """One thing wrong at one moment of a literal play; `kind` and `id` are those of a Fault."""

    kind: str
    id: str
    variable: str
    found: str
    expected: list[str]
    cure: str | None = None


@dataclass(frozen=True)
class Moment:
    """One moment of a literal play: the start and the end have no instance."""

    instance: Instance | None
    is_way_back: bool
    writes: dict[str, str]
    findings: list[Finding]


@dataclass(frozen=True)
class Counterexample:
    """A visit that goes wrong, as text to be read by whoever wrote the specs."""

    kind: str
    id: str
    instance: str | None
    via: str | None
    jobs: list[str]
    facts: dict[str, Value]
    steps: list[str]
    text: str

    def __str__(self) -> str:
        return self.text


def find_counterexample(specs: Specs, layouts: Layouts, fault: Fault) -> Counterexample:
    """Tell the simplest visit in which a fault shows.

    Raises AssertionError when the literal play does not show it: then this program is wrong, not the specs.
    """
    layout = layouts.simplest(fault.visits)
    moments = play_out(specs, compose(specs, layout.jobs, layout.facts), fault.via)
    for position, moment in enumerate(moments):
        instance = moment.instance["id"] if moment.instance is not None else None
        shown = [each for each in moment.findings if (each.kind, each.id) == (fault.kind, fault.id)]
        if shown and instance == fault.instance:
            facts = layouts.deciding(fault.visits, layout)
            return _tell(specs, fault, layout, facts, moments[: position + 1], shown)
    raise AssertionError(f"The proof found {fault} for {layout}, but playing that visit does not show it.")


def play_out(specs: Specs, composition: Composition, via: str | None = None) -> list[Moment]:
    """Play one visit literally from start to end and note what is wrong at each moment.

    With `via`, the step of that instance is not done but leads back, once. Then only what is wrong after
    that is noted. What is wrong with a rule or at the end is noted where it first shows.
    """
    variables = starting_variables(specs, composition)
    order = composition["steps"]
    turn = next((at for at, each in enumerate(order) if each["id"] == via), len(order))
    start = [_from_stop(stop) for stop in broken_rules(specs, composition, variables)]
    moments = [Moment(None, False, dict(variables), [] if via else start)]

    def do(instance: Instance, is_noted: bool) -> None:
        found = (
            [_from_stop(stop) for stop in stops(specs, composition, variables, instance)] if is_noted else []
        )
        writes = effects(specs, composition, variables, instance)
        variables.update(writes)
        moments.append(Moment(instance, False, writes, found))

    for instance in order[:turn]:
        do(instance, via is None)
    if turn < len(order):
        instance = order[turn]
        target = back_target(specs, composition, instance)
        back = step_of(specs, instance).back
        if target is None or back is None:
            missing = back.to if back is not None else instance["step"]
            return [*moments, Moment(instance, True, {}, [Finding("back", missing, "", "", [])])]
        writes = effects(specs, composition, variables, instance, back.makes)
        variables.update(writes)
        found = [_from_stop(stop) for stop in broken_rules(specs, composition, variables)]
        moments.append(Moment(instance, True, writes, found))
        for each in order[order.index(target) :]:
            do(each, True)
    wrong = [
        Finding("end", each["variable"], each["variable"], each["found"], each["expected"])
        for each in unfinished(specs, composition, variables)
    ]
    return [_without_repeats(moments, at) for at in range(len(moments))] + [Moment(None, False, {}, wrong)]


def _from_stop(stop: Stop) -> Finding:
    return Finding(stop["kind"], stop["id"], stop["variable"], stop["found"], stop["expected"], stop["cure"])


def _without_repeats(moments: Sequence[Moment], at: int) -> Moment:
    """A rule once broken is not told again at each step that follows."""
    moment = moments[at]
    told = {each.id for before in moments[:at] for each in before.findings if each.kind == "rule"}
    findings = [each for each in moment.findings if each.kind != "rule" or each.id not in told]
    return Moment(moment.instance, moment.is_way_back, moment.writes, findings)


def _tell(
    specs: Specs,
    fault: Fault,
    layout: Layout,
    facts: Mapping[str, Value],
    moments: Sequence[Moment],
    findings: Sequence[Finding],
) -> Counterexample:
    involved = _involved(specs, moments[0].writes, fault, findings)
    lines: list[tuple[str, str]] = []
    for moment in moments[:-1]:
        touched = {id: value for id, value in moment.writes.items() if id in involved}
        if touched:
            lines.append((_name(moment), _told_as(touched)))
        elif moment.is_way_back:
            lines.append((_name(moment), ""))
    last = moments[-1]
    lines.append(
        (
            _name(last) if last.instance else "at the end",
            _told_as({id: v for id, v in last.writes.items() if id in involved}),
        )
    )
    width = max(len(name) for name, _ in lines)
    way = [f"    {name:<{width}}  {told}".rstrip() for name, told in lines]
    told_facts = ", ".join(f"{name} = {_show(value)}" for name, value in facts.items())
    text = "\n".join(
        [
            *_headline(specs, fault),
            f"  Jobs: {', '.join(layout.jobs)}. " + (f"Car: {told_facts}." if told_facts else "Any car."),
            *way,
            *(f"  {line}" for line in _verdict(fault, findings)),
        ]
    )
    names = [moment.instance["id"] for moment in moments if moment.instance is not None]
    return Counterexample(
        kind=fault.kind,
        id=fault.id,
        instance=fault.instance,
        via=fault.via,
        jobs=layout.jobs,
        facts=dict(facts),
        steps=[name for name in names if any(line[0].endswith(name) for line in lines)],
        text=text,
    )


def _headline(specs: Specs, fault: Fault) -> list[str]:
    where = f'step "{fault.instance}"' if fault.instance is not None else "the start"
    if fault.kind == "rule":
        rule = next((rule for rule in specs.rules if rule.id == fault.id), ONE_TIME_RULE)
        return [f'{where} breaks the rule "{rule.title}" ({rule.id}).', f"  {rule.reason}"]
    if fault.kind == "need":
        return [f'{where} needs "{fault.id}" otherwise than it is then.']
    if fault.kind == "back":
        return [f'{where} leads back to "{fault.id}", which this visit does not have.']
    return [f'the end leaves "{fault.id}" as it may not be left.']


def _verdict(fault: Fault, findings: Sequence[Finding]) -> list[str]:
    if fault.kind == "back":
        return ["Lead back to a step that is there whenever this one is."]
    lines: list[str] = []
    for each in findings:
        expected = " or ".join(each.expected)
        lines.append(f"{each.variable} is {each.found}; it must be {expected}.")
        if each.variable == "place":
            lines.append(f"Let the step be done from elsewhere: where = {expected}.")
        elif each.cure is not None:
            lines.append(
                f'Let "{each.cure}", which makes it so, come before and last until then, or change that step.'
            )
        else:
            lines.append(
                f'Add a step that makes "{each.variable}" {expected}, or correct the one that should.'
            )
    return lines


def _involved(
    specs: Specs, variables: Mapping[str, str], fault: Fault, findings: Sequence[Finding]
) -> set[str]:
    """The variables without which the fault cannot be understood."""
    involved = {each.variable for each in findings}
    rule = next((rule for rule in specs.rules if rule.id == fault.id), None)
    if fault.kind == "rule" and rule is not None:
        involved |= {id for id in variables if id.partition("@")[0] in rule.while_ or id in rule.while_}
    if fault.kind == "rule" and fault.id == ONE_TIME_RULE.id:
        involved |= {
            id
            for id in variables
            if any(
                part.partition("@")[0] in specs.variables[id.partition("@")[0]].one_time
                for part in set(involved)
            )
        }
    return involved


def _name(moment: Moment) -> str:
    if moment.instance is None:
        return "at the start"
    return f"back from {moment.instance['id']}" if moment.is_way_back else moment.instance["id"]


def _told_as(writes: Mapping[str, str]) -> str:
    return ", ".join(f"{id} = {value}" for id, value in writes.items())


def _show(value: Value) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)
