"""The proof: no visit that any car and any choice of jobs allow breaks a rule or leaves anything undone.

Every visit is played (`play`), all of them at once (`choices`). What is found is replayed literally, by
the same `compose` and `stops` that run on the phone, before it is told (`counterexamples`).
"""

from __future__ import annotations

from dataclasses import dataclass

from fillfirst.specs.linked import Specs
from fillfirst.visits.counterexamples import Counterexample, find_counterexample
from fillfirst.visits.play import Fault, Play

# More than anybody repairs in one sitting, and each is replayed, which takes time.
COUNTEREXAMPLE_LIMIT = 25


@dataclass(frozen=True)
class Proof:
    """What was proved, and what was found instead; `counterexamples` are the first of `fault_count`."""

    visit_count: int
    job_count: int
    fact_count: int
    step_count: int
    fault_count: int
    counterexamples: tuple[Counterexample, ...]

    @property
    def is_proved(self) -> bool:
        return self.fault_count == 0

    @property
    def summary(self) -> str:
        """One line for whoever runs the checker."""
        space = f"{self.visit_count:,} visits ({self.job_count} jobs, {self.fact_count} layout facts)"
        if self.is_proved:
            return (
                f"{space} proved: {self.step_count} steps, every rule at every moment, all closed at the end."
            )
        ways = "1 way" if self.fault_count == 1 else f"{self.fault_count} ways"
        return f"{space} not proved: {ways} in which they go wrong."

    def __str__(self) -> str:
        parts = [*map(str, self.counterexamples), self.summary]
        more = self.fault_count - len(self.counterexamples)
        if more:
            parts.insert(-1, f"… and {more} more, which may have the same cause.")
        return "\n\n".join(parts)


def prove(specs: Specs, limit: int = COUNTEREXAMPLE_LIMIT) -> Proof:
    """Play every visit and say what is wrong with any of them, at most `limit` told in full.

    Raises ProofError when the specs ask something that cannot be played.
    """
    play = Play(specs)
    play.run()
    # What happens on a way back is often what happens on the straight way too, and is told after it.
    faults = sorted(play.faults, key=lambda fault: (fault.via is not None, fault.position))
    distinct: dict[tuple[str | None, ...], Fault] = {}
    for fault in faults:
        distinct.setdefault(tuple(map(_base, (fault.via, fault.instance, fault.kind, fault.id))), fault)
    shown = list(distinct.values())[:limit]
    return Proof(
        visit_count=play.layouts.visit_count,
        job_count=play.layouts.job_count,
        fact_count=play.layouts.fact_count,
        step_count=len(specs.steps),
        fault_count=len(distinct),
        counterexamples=tuple(find_counterexample(specs, play.layouts, fault) for fault in shown),
    )


def _base(id: str | None) -> str | None:
    """A step or variable without its item: what goes wrong at one wheel goes wrong at the others."""
    return id.partition("@")[0] if id is not None else None
