"""Every visit there can be: a choice for each job, and one for each fact that decides which steps there are.

Facts that only fill in numbers do not change a visit and are no choice. A fact that does not apply to a
car is at its `otherwise`; a job is chosen only where it applies. `domain` is the set of all visits that
keep to this, and every diagram made here is within it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import product
from typing import TypeAlias

from fillfirst.errors import ProofError
from fillfirst.formulas import evaluate
from fillfirst.formulas.tree import walk
from fillfirst.specs.linked import Fact, Specs, Tree, Value
from fillfirst.visits.choices import ALL, NONE, Choices, Visits

# What a choice is about: a fact, whether a fact is known, or a job.
Topic: TypeAlias = tuple[str, str]

# A list whose items are not written in the specs is played with this many.
FREE_ITEMS = ["1", "2"]

# From so many jobs on, a fact is asked before all of them and not beside one.
COMMON = 4


@dataclass(frozen=True)
class Layout:
    """One visit, told apart: the jobs chosen, and every fact it needs to be composed."""

    jobs: list[str]
    facts: dict[str, Value]


class Layouts:
    """The choices of all visits of these specs, and which visits an expression picks out.

    Raises ProofError when an expression that decides about steps asks a fact that is no choice.
    """

    def __init__(self, specs: Specs) -> None:
        self._specs = specs
        self._diagrams: dict[str, Visits] = {}
        self.lists = {name: proof_items(fact) for name, fact in specs.facts.items() if fact.kind == "list"}
        self._topics = _order(specs)
        self._position = {topic: index for index, topic in enumerate(self._topics)}
        self._options = [_options_of(specs, topic) for topic in self._topics]
        self.choices = Choices([len(options) for options in self._options])
        self.domain = self._domain()

    @property
    def visit_count(self) -> int:
        return self.choices.count(self.domain)

    @property
    def job_count(self) -> int:
        return sum(1 for kind, _ in self._topics if kind == "job")

    @property
    def fact_count(self) -> int:
        return len(self._topics) - self.job_count

    def chosen(self, job: str) -> Visits:
        """The visits in which a job is chosen."""
        return self._taking(("job", job), True)

    def where(self, tree: Tree | None) -> Visits:
        """The visits in which an expression holds."""
        return self.choices.both(self.domain, self.condition(tree))

    def condition(self, tree: Tree | None) -> Visits:
        """An expression by itself, beyond the visits there can be: small, for who has the visits already."""
        if tree is None:
            return ALL
        key = json.dumps(tree)
        if key not in self._diagrams:
            self._diagrams[key] = self._where(tree)
        return self._diagrams[key]

    def any_of(self, sets: Iterable[Visits]) -> Visits:
        return reduce(self.choices.either, sets, NONE)

    def simplest(self, visits: Visits) -> Layout:
        """The visit of a set with the fewest jobs."""
        taken = self.choices.cheapest(visits, self._costs())
        return self.layout_of(taken)

    def deciding(self, visits: Visits, layout: Layout) -> dict[str, Value]:
        """So few facts of a visit that every visit with the same jobs and these facts is in the set too."""
        taken = self._taken(layout)
        cube = [
            self.choices.both(self.domain, self.choices.taking(at, option)) if kind == "job" else ALL
            for at, ((kind, _), option) in enumerate(zip(self._topics, taken, strict=True))
        ]
        same_jobs = reduce(self.choices.both, cube)
        deciding = [at for at, (kind, _) in enumerate(self._topics) if kind != "job"]
        # A fact that depends on others goes first, so that what stays is what the owner knows.
        for at in sorted(deciding, key=lambda at: self._specs.facts[self._topics[at][1]].when is None):
            fewer = [other for other in deciding if other != at]
            alike = reduce(
                self.choices.both, (self.choices.taking(other, taken[other]) for other in fewer), same_jobs
            )
            if self.choices.without(alike, visits) == NONE:
                deciding = fewer
        return {self._tell(self._topics[at]): self._options[at][taken[at]] for at in deciding}

    def every(self) -> Iterator[Layout]:
        """Every visit, one after another: only for specs so small that they can all be told."""
        for taken in product(*(range(len(options)) for options in self._options)):
            if self.choices.has(self.domain, taken):
                yield self.layout_of(list(taken))

    def holds(self, visits: Visits, layout: Layout) -> bool:
        """Whether a visit is in a set."""
        return self.choices.has(visits, self._taken(layout))

    def layout_of(self, taken: list[int]) -> Layout:
        values = [
            (topic, self._options[at][option])
            for at, (topic, option) in enumerate(zip(self._topics, taken, strict=True))
        ]
        jobs = [name for (kind, name), value in values if kind == "job" and value is True]
        facts: dict[str, Value] = {**self.lists}
        facts |= {name: value for (kind, name), value in values if kind == "fact"}
        facts |= {
            name: _stand_in(self._specs.facts[name])
            for (kind, name), value in values
            if kind == "known" and value is True
        }
        order = list(self._specs.jobs)
        return Layout(sorted(jobs, key=order.index), facts)

    @staticmethod
    def _tell(topic: Topic) -> str:
        kind, name = topic
        return f"known({name})" if kind == "known" else name

    def _taken(self, layout: Layout) -> list[int]:
        def option(at: int, topic: Topic) -> int:
            kind, name = topic
            value = (
                layout.facts[name]
                if kind == "fact"
                else name in (layout.jobs if kind == "job" else layout.facts)
            )
            return self._options[at].index(value)

        return [option(at, topic) for at, topic in enumerate(self._topics)]

    def _costs(self) -> list[list[int]]:
        return [
            [int(kind == "job" and option is True) for option in options]
            for (kind, _), options in zip(self._topics, self._options, strict=True)
        ]

    def _taking(self, topic: Topic, value: Value) -> Visits:
        at = self._position[topic]
        return self.choices.taking(at, self._options[at].index(value))

    def _where(self, tree: Tree) -> Visits:
        choices = self.choices
        if tree[0] == "and":
            return reduce(choices.both, map(self._where, tree[1:]))
        if tree[0] == "or":
            return reduce(choices.either, map(self._where, tree[1:]))
        if tree[0] == "not":
            return choices.without(ALL, self._where(tree[1]))
        return self._tabulate(tree)

    def _tabulate(self, tree: Tree) -> Visits:
        """Evaluate an expression for every combination of the choices it asks."""
        topics = sorted(_topics_in(self._specs, tree), key=self._position.__getitem__)
        result = NONE
        for values in product(*(self._options[self._position[topic]] for topic in topics)):
            taken = list(zip(topics, values, strict=True))
            given: dict[str, Value] = {
                **self.lists,
                **{name: value for (kind, name), value in taken if kind == "fact"},
            }
            given |= {name: 0.0 for (kind, name), value in taken if kind == "known" and value is True}
            outcome = evaluate(tree, given, self._specs.tables)
            if "value" not in outcome or not isinstance(outcome["value"], bool):
                found = (
                    f"the value {json.dumps(outcome['value'])}" if "value" in outcome else json.dumps(outcome)
                )
                raise ProofError(f"the expression {json.dumps(tree)}", found, "yes or no for every car")
            if outcome["value"]:
                visits = reduce(
                    self.choices.both, (self._taking(topic, value) for topic, value in taken), ALL
                )
                result = self.choices.either(result, visits)
        return result

    def _domain(self) -> Visits:
        choices = self.choices
        domain, some_job = ALL, NONE
        for kind, name in self._topics:
            if kind == "job":
                when = self._specs.jobs[name].when
                applies = self._where(when) if when is not None else ALL
                chosen = self._taking((kind, name), True)
                some_job = choices.either(some_job, chosen)
                domain = choices.both(domain, choices.either(applies, choices.without(ALL, chosen)))
                continue
            fact = self._specs.facts[name]
            applies = self._where(fact.when) if fact.when is not None else ALL
            if kind == "known":
                unknown = self._taking((kind, name), False)
                # A fact with a default is known wherever it applies.
                may_apply = choices.without(ALL, unknown) if fact.default is not None else ALL
                domain = choices.both(domain, _choose(choices, applies, may_apply, unknown))
            elif fact.when is not None and fact.otherwise is not None:
                inapplicable = self._taking((kind, name), fact.otherwise)
                is_option = fact.kind == "yes-no" or fact.otherwise in (fact.options or {})
                may_apply = ALL if is_option else choices.without(ALL, inapplicable)
                domain = choices.both(domain, _choose(choices, applies, may_apply, inapplicable))
        domain = choices.both(domain, some_job)
        if domain == NONE:
            raise ProofError("specs/jobs", "no job that any car allows", "at least one")
        return domain


def proof_items(fact: Fact) -> list[str]:
    """The items a list is played with: those it usually has, all it may have, or two that stand for any."""
    if isinstance(fact.default, list):
        return fact.default
    return list(fact.options) if fact.options else FREE_ITEMS


def _choose(choices: Choices, condition: Visits, then: Visits, otherwise: Visits) -> Visits:
    return choices.either(choices.both(condition, then), choices.without(otherwise, condition))


def _options_of(specs: Specs, topic: Topic) -> list[Value]:
    kind, name = topic
    fact = specs.facts.get(name)
    if kind != "fact" or fact is None or fact.kind == "yes-no":
        return [False, True]
    options: list[Value] = list(fact.options or {})
    if fact.when is not None and fact.otherwise is not None and fact.otherwise not in options:
        options.append(fact.otherwise)
    return options


def _stand_in(fact: Fact) -> Value:
    """Something to play a fact with of which only counts that it is known."""
    return fact.from_ or 0.0 if fact.kind == "quantity" else "known"


def _topics_in(specs: Specs, tree: Tree) -> set[Topic]:
    """The choices an expression asks."""
    topics: set[Topic] = set()
    for node in walk(tree):
        if node[0] not in ("name", "known"):
            continue
        name = node[1]
        fact = specs.facts.get(name)
        if fact is not None and fact.kind in ("choice", "yes-no"):
            topics.add(("fact", name))
        elif fact is not None and fact.kind == "list":
            continue
        elif node[0] == "known" and fact is not None:
            topics.add(("known", name))
        else:
            raise ProofError(
                f'the expression {json.dumps(tree)}, name "{name}"',
                f"a {fact.kind}" if fact is not None else "no fact",
                "a choice, a yes-no or a list, since it decides which steps there are",
                f"Ask known({name}), or make a choice of what you want to tell apart.",
            )
    return topics


def _order(specs: Specs) -> list[Topic]:
    """All choices, ordered so that diagrams stay small.

    Facts that concern many jobs come first; every other one stands directly before the first job it concerns.
    """
    users: dict[Topic, set[str]] = {}
    by_job: dict[str, list[Topic]] = {id: [] for id in specs.jobs}

    def use(tree: Tree | None, job: str) -> None:
        if tree is None:
            return
        for topic in sorted(_topics_in(specs, tree)):
            if job in users.setdefault(topic, set()):
                continue
            users[topic].add(job)
            use(specs.facts[topic[1]].when, job)
            by_job.setdefault(job, []).append(topic)

    for id, job in specs.jobs.items():
        use(job.when, id)
        for tree in job.uses.values():
            use(tree, id)
    for step in specs.steps:
        use(step.when, step.job)
        if step.each is not None:
            use(specs.facts[step.each].when, step.job)
        for base in {*step.needs, *step.makes} - {"place"}:
            use(specs.variables[base].when, step.job)
    for base, variable in specs.variables.items():
        use(variable.when, f"variable {base}")
    for rule in specs.rules:
        use(rule.when, f"rule {rule.id}")

    jobs = [id for id in specs.jobs if not specs.jobs[id].shared]
    counts = {topic: len(used & set(jobs)) for topic, used in users.items()}
    common = sorted((topic for topic in users if counts[topic] >= COMMON), key=lambda topic: -counts[topic])
    order = list(common)
    for id in jobs:
        order += [topic for topic in by_job[id] if topic not in order]
        order.append(("job", id))
    return order + [topic for topic in users if topic not in order]


__all__ = ["ALL", "NONE", "Layout", "Layouts", "Visits", "proof_items"]
