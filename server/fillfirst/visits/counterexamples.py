"""What the proof found, told so that whoever wrote the specs sees it happen.

Of all visits in which something goes wrong the one with the fewest jobs is taken and played literally,
step by step, through the same `compose` and `stops` as on the phone. Only steps that change what goes
wrong are told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fillfirst.specs.linked import Rule, Specs, Value, Variable
from fillfirst.visits.compose import back_target, compose, effects, starting_variables, step_of
from fillfirst.visits.gate import ONE_TIME_RULE, broken_rules, speaks_of_place, stops, unfinished
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
    """One moment of a literal play and the state it leaves; the start and the end have no instance."""

    instance: Instance | None
    is_way_back: bool
    before: dict[str, str]
    after: dict[str, str]
    findings: list[Finding]


@dataclass(frozen=True)
class Counterexample:
    """A visit that goes wrong; `text` tells it to whoever wrote the specs."""

    kind: str
    id: str
    instance: str | None
    via: str | None
    jobs: list[str]
    facts: dict[str, Value]
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
        findings = _find(specs, fault, moment)
        if findings and instance == fault.instance:
            facts = layouts.deciding(fault.visits, layout)
            text = _Story(specs, fault, moments[: position + 1], findings).tell(layout, facts)
            return Counterexample(fault.kind, fault.id, fault.instance, fault.via, layout.jobs, facts, text)
    raise AssertionError(f"The proof found {fault} for {layout}, but playing that visit does not show it.")


def _find(specs: Specs, fault: Fault, moment: Moment) -> list[Finding]:
    """What of a moment shows a fault."""
    if fault.kind != "safe":
        return [each for each in moment.findings if (each.kind, each.id) == (fault.kind, fault.id)]
    variable = specs.variables[fault.id.partition("@")[0]]
    rests = list(variable.rests or variable.ends)
    return [Finding("safe", fault.id, fault.id, moment.after[fault.id], rests)]


def play_out(specs: Specs, composition: Composition, via: str | None = None) -> list[Moment]:
    """Play one visit literally from start to end and note what is wrong at each moment.

    With `via`, the step of that instance is not done but leads back, once, and only what is wrong after
    that is noted. A rule once broken is not noted again at each step that follows.
    """
    play = _LiteralPlay(specs, composition)
    order = composition["steps"]
    turn = next((at for at, each in enumerate(order) if each["id"] == via), len(order))
    play.start(is_noted=via is None)
    for instance in order[:turn]:
        play.do(instance, is_noted=via is None)
    if turn < len(order):
        target = play.go_back(order[turn])
        if target is None:
            return play.moments
        for instance in order[order.index(target) :]:
            play.do(instance)
    play.end()
    return play.moments


class _LiteralPlay:
    def __init__(self, specs: Specs, composition: Composition) -> None:
        self.moments: list[Moment] = []
        self._specs = specs
        self._composition = composition
        self._variables = starting_variables(specs, composition)
        self._broken: set[str] = set()

    def start(self, is_noted: bool) -> None:
        found = broken_rules(self._specs, self._composition, self._variables) if is_noted else []
        self._note(None, {}, [_as_finding(stop) for stop in found])

    def do(self, instance: Instance, is_noted: bool = True) -> None:
        found = stops(self._specs, self._composition, self._variables, instance) if is_noted else []
        writes = effects(self._specs, self._composition, self._variables, instance)
        self._note(instance, writes, [_as_finding(stop) for stop in found])

    def go_back(self, instance: Instance) -> Instance | None:
        """Lead back from a step; None when what it leads to is not there."""
        target = back_target(self._specs, self._composition, instance)
        back = step_of(self._specs, instance).back
        if target is None or back is None:
            missing = back.to if back is not None else instance["step"]
            self._note(instance, {}, [Finding("back", missing, missing, "", [])], is_way_back=True)
            return None
        writes = effects(self._specs, self._composition, self._variables, instance, back.makes)
        found = broken_rules(self._specs, self._composition, {**self._variables, **writes})
        self._note(instance, writes, [_as_finding(stop) for stop in found], is_way_back=True)
        return target

    def end(self) -> None:
        found = unfinished(self._specs, self._composition, self._variables)
        findings = [
            Finding("end", each["variable"], each["variable"], each["found"], each["expected"])
            for each in found
        ]
        self._note(None, {}, findings)

    def _note(
        self,
        instance: Instance | None,
        writes: Mapping[str, str],
        findings: list[Finding],
        is_way_back: bool = False,
    ) -> None:
        before, self._variables = self._variables, {**self._variables, **writes}
        new = [each for each in findings if each.kind != "rule" or each.id not in self._broken]
        self._broken |= {each.id for each in new if each.kind == "rule"}
        self.moments.append(Moment(instance, is_way_back, before, self._variables, new))


def _as_finding(stop: Stop) -> Finding:
    return Finding(stop["kind"], stop["id"], stop["variable"], stop["found"], stop["expected"], stop["cure"])


class _Story:
    """One fault as it comes about: what goes wrong, in which visit, by which steps, and what to do."""

    def __init__(
        self, specs: Specs, fault: Fault, moments: Sequence[Moment], findings: Sequence[Finding]
    ) -> None:
        self._specs = specs
        self._fault = fault
        self._moments = moments
        # Of a family the first is enough to see it by.
        first_of = {each.variable.partition("@")[0]: each for each in reversed(findings)}
        self._findings = [each for each in findings if each in first_of.values()]
        self._alike_count = len(findings) - len(self._findings)
        self._rule = next((rule for rule in [*specs.rules, ONE_TIME_RULE] if rule.id == fault.id), None)
        self._involved = self._find_involved()

    def tell(self, layout: Layout, facts: Mapping[str, Value]) -> str:
        told = ", ".join(f"{name} = {_show(value)}" for name, value in facts.items())
        lines = [
            *self._headline(),
            f"  Jobs: {', '.join(layout.jobs)}; {f'a car with {told}' if told else 'any car'}.",
            *self._way(),
            *(f"  {line}" for line in self._advice()),
        ]
        return "\n".join(lines)

    def _headline(self) -> list[str]:
        fault, finding = self._fault, self._findings[0]
        expected = " or ".join(finding.expected)
        where = f'step "{fault.instance}"' if fault.instance is not None else "the start of a visit"
        if fault.kind == "rule" and self._rule is not None:
            return [
                f'{where} breaks the rule "{self._rule.title}" ({self._rule.id}).',
                f"  {self._rule.reason}",
            ]
        if fault.kind == "need":
            return [f'{where} needs "{finding.variable}" {expected}; it is {finding.found}.']
        if fault.kind == "back":
            return [f'{where} leads back to "{fault.id}", which this visit does not have.']
        if fault.kind == "safe":
            stays = f'"{finding.variable}" does not become {expected}'
            return [f"after {where} the car cannot be closed up as it is: {stays}."]
        return [f'"{finding.variable}" is {finding.found} at the end; it must be {expected}.']

    def _way(self) -> list[str]:
        last = len(self._moments) - 1
        lines: list[tuple[str, str, str]] = []
        for at, moment in enumerate(self._moments):
            changes = {
                id: value for id, value in moment.after.items() if at == 0 or moment.before[id] != value
            }
            words = [f"{id} = {value}" for id, value in changes.items() if id in self._involved]
            if (
                at == last
                and self._rule is not None
                and speaks_of_place(self._rule)
                and moment.instance is not None
            ):
                words.append(f"where = {step_of(self._specs, moment.instance).where}")
            told = ", ".join(words)
            if told or at == last or moment.is_way_back:
                lines.append((">" if at == last else " ", self._name(at), told))
        width = max(len(name) for _, name, _ in lines)
        return [f"  {mark} {name:<{width}}  {told}".rstrip() for mark, name, told in lines]

    def _name(self, at: int) -> str:
        moment = self._moments[at]
        if moment.instance is None:
            return "at the start" if at == 0 else "at the end"
        return f"back from {moment.instance['id']}" if moment.is_way_back else moment.instance["id"]

    def _advice(self) -> list[str]:
        if self._fault.kind == "back":
            return ["Lead back to a step that is there whenever this one is."]
        if self._fault.kind == "safe":
            closing = (
                f"Add a step with standby = true that closes {self._fault.id} as it is, without new fluid"
            )
            return [f"{closing}; or say under rests how it may be left."]
        lines: list[str] = []
        for each in self._findings:
            expected = " or ".join(each.expected)
            if self._fault.kind == "rule":
                lines.append(f"{each.variable} is {each.found}; it must be {expected}.")
            lines.append(self._remedy(each, expected))
        if self._alike_count:
            lines.append(f"The same goes for {self._alike_count} more like it.")
        return lines

    def _remedy(self, finding: Finding, expected: str) -> str:
        if finding.variable == "place":
            return f"Let it be done from elsewhere: where = {expected}."
        done = [moment.instance["id"] for moment in self._moments if moment.instance is not None]
        spoilers = [
            self._named(at)
            for at, moment in enumerate(self._moments)
            if at and moment.after[finding.variable] != moment.before[finding.variable]
        ]
        if finding.cure is not None and finding.cure not in done:
            return f'"{finding.cure}" makes it {expected}, but only later: let it come first.'
        if finding.cure is not None and spoilers:
            spoilt = f"{spoilers[-1]} leaves it {finding.found} after that"
            return f'"{finding.cure}" makes it {expected}, but {spoilt}.'
        if spoilers:
            spoilt = f"{spoilers[-1]} leaves it {finding.found} and no step after that makes it {expected}"
            return f"{spoilt[0].upper()}{spoilt[1:]}. Add one, or correct the one that should."
        return f"No step makes it {expected}. Add one, or correct the one that should."

    def _named(self, at: int) -> str:
        instance = self._moments[at].instance
        id = f'"{instance["id"]}"' if instance is not None else "the start"
        return f"the way back from {id}" if self._moments[at].is_way_back else id

    def _find_involved(self) -> set[str]:
        """The variables without which the fault cannot be understood."""
        involved = {each.variable for each in self._findings}
        last = self._moments[-1]
        state = last.after
        if self._rule is ONE_TIME_RULE:
            parts = {id.partition("@")[0] for id in involved}
            return involved | {
                id for id in state if parts & set(self._variable(id).one_time) and self._is_item(id)
            }
        if self._fault.kind == "rule" and self._rule is not None:
            asked = {id: self._asked(self._rule, id) for id in state}
            return involved | {id for id in state if {last.before[id], state[id]} & set(asked[id])}
        return involved

    def _is_item(self, id: str) -> bool:
        """Whether a variable is of the item that goes wrong, or of none."""
        instance = self._moments[-1].instance
        return "@" not in id or instance is None or id.partition("@")[2] == instance["item"]

    def _asked(self, rule: Rule, id: str) -> tuple[str, ...]:
        return rule.while_.get(id) or rule.while_.get(id.partition("@")[0]) or ()

    def _variable(self, id: str) -> Variable:
        return self._specs.variables[id.partition("@")[0]]


def _show(value: Value) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)
