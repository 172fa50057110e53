"""Make safe: every list is legal step by step, does what it says, and none is shorter."""

from __future__ import annotations

import heapq
from dataclasses import replace
from random import Random
from typing import Any

import pytest
from seeding import drop

from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose, effects, starting_variables
from fillfirst.visits.gate import stops
from fillfirst.visits.layouts import Layout, Layouts
from fillfirst.visits.make_safe import make_safe
from fillfirst.visits.moves import Move, Moves, State
from fillfirst.visits.proof import Proof, prove
from fillfirst.visits.shapes import Composition
from fillfirst.visits.shortest_list import find_shortest
from fillfirst.visits.task import LEFT, LIMIT, STEP, Task, rest_of, resting, task_of

AIMS: list[Any] = ["to-stand", "to-drive"]


def interrupted(specs: Specs, layout: Layout, random: Random) -> tuple[Composition, dict[str, str]]:
    """A visit left after any of its steps."""
    composition = compose(specs, layout.jobs, layout.facts)
    state = starting_variables(specs, composition)
    for instance in composition["steps"][: random.randrange(len(composition["steps"]) + 1)]:
        state = state | effects(specs, composition, state, instance)
    return composition, state


def some_visit(layouts: Layouts, random: Random) -> Layout:
    costs = [[random.random() for _ in range(options)] for options in layouts.choices.options]
    return layouts.layout_of(layouts.choices.cheapest(layouts.domain, costs))


def play_list(specs: Specs, composition: Composition, state: dict[str, str], steps: list[str]) -> Any:
    """What stops any step of a list when its turn comes, and the state after the last."""
    instances = {each["id"]: each for each in [*composition["steps"], *composition["standby"]]}
    stopped = []
    for id in steps:
        stopped += stops(specs, composition, state, instances[id])
        state = state | effects(specs, composition, state, instances[id])
    return stopped, state


@pytest.mark.parametrize("limit", [LIMIT, 0], ids=["shortest", "plain"])
@pytest.mark.parametrize("share", range(6))
def test_every_list_is_let_through_by_the_gate_and_leaves_what_it_says(
    share: int, limit: int, real_specs: Specs
) -> None:
    random, layouts = Random(share), Layouts(real_specs)
    for _ in range(6):
        composition, state = interrupted(real_specs, some_visit(layouts, random), random)
        for aim in AIMS:
            found = make_safe(real_specs, composition, state, aim, limit)
            assert found is not None
            stopped, end = play_list(real_specs, composition, state, found["steps"])
            left = {
                id: value
                for id, value in end.items()
                if value not in real_specs.variables[composition["variables"][id]].ends
            }

            assert found["shortest"] == (limit > 0)
            assert stopped == []
            assert found["left"] == left
            assert "open" not in left.values()
            assert aim == "to-stand" or left == {}


def estate_after(step: str, specs: Specs, **facts: Any) -> tuple[Composition, dict[str, str]]:
    """The gearbox of the demo estate, left after this step."""
    known = {name: fact.value for name, fact in specs.vehicles["fellside-estate"].facts.items()}
    composition = compose(specs, ["automatic-gearbox"], known | facts)
    state = starting_variables(specs, composition)
    for instance in composition["steps"]:
        state = state | effects(specs, composition, state, instance)
        if instance["id"] == step:
            return composition, state
    raise AssertionError(f"{step} is no step of this visit")


@pytest.mark.parametrize("left_after", ["running/start-engine", "automatic-gearbox/watch-temperature"])
def test_the_engine_is_switched_off_before_anyone_goes_below(left_after: str, real_specs: Specs) -> None:
    composition, state = estate_after(left_after, real_specs)

    found = make_safe(real_specs, composition, state, "to-stand")

    assert state["engine"] == "running"
    assert found is not None
    assert found["steps"][0] == "running/engine-off"


@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.parametrize("left_after", ["let-pan-down", "first-pass@3", "second-pass@8"])
def test_each_pass_goes_round_all_screws_before_the_next(
    left_after: str, aim: Any, real_specs: Specs
) -> None:
    composition, state = estate_after(f"automatic-gearbox/{left_after}", real_specs)

    found = make_safe(real_specs, composition, state, aim)

    day = [instance["id"] for instance in composition["steps"] if "-pass@" in instance["id"]]
    assert found is not None
    assert found["shortest"]
    passes = [id for id in found["steps"] if "-pass@" in id]
    assert passes == [id for id in day if id in passes]


@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.parametrize("left_after", ["let-pan-down", "first-pass@3", "second-pass@2", "first-fill"])
def test_no_list_is_lost_by_taking_screws_for_one_another(
    left_after: str, aim: Any, real_specs: Specs
) -> None:
    screws = ["1", "3", "2"]
    composition, state = estate_after(
        f"automatic-gearbox/{left_after}", real_specs, automatic_gearbox_pan_screws=screws
    )
    moves = Moves(real_specs, composition)
    task = task_of(moves, moves.state_of(state), aim, None)

    found, other = find_shortest(moves, task), find_shortest(moves, replace(task, families=()))

    assert 3 in [len(family) for family in task.families]
    assert cost_within(found, task) == cost_within(other, task)


def cost_within(found: tuple[list[Move], State] | None, task: Task) -> int | None:
    if found is None:
        return None
    rest = rest_of(task.resting, range(len(found[1])), found[1])
    return None if rest is None else rest + sum(task.costs[move.id] for move in found[0])


def cheapest(specs: Specs, composition: Composition, start: dict[str, str], aim: Any) -> int | None:
    """The cost of the best list, by trying every step in every state that can be come to."""
    moves = Moves(specs, composition)
    rests = resting(moves, aim)
    levels = [
        id
        for id, base in composition["variables"].items()
        if specs.variables[base].kind in ("circuit", "fluid")
    ]
    instances = [
        each
        for each in [*composition["steps"], *composition["standby"]]
        if specs.steps_by_id[each["step"]].makes
    ]

    def is_fuller(before: dict[str, str], after: dict[str, str]) -> bool:
        values = {id: specs.variables[composition["variables"][id]].values for id in levels}
        return any(values[id].index(after[id]) < values[id].index(before[id]) for id in levels)

    best: int | None = None
    done: set[tuple[str, ...]] = set()
    queue = [(0, 0, start)]
    count = 0
    while queue:
        cost, _, state = heapq.heappop(queue)
        key = tuple(state.values())
        if key in done:
            continue
        done.add(key)
        own = moves.state_of(state)
        bad = [rests[at].get(value) if at in rests else 0 for at, value in enumerate(own)]
        if None not in bad:
            total = cost + sum(each or 0 for each in bad)
            best = total if best is None else min(best, total)
        for instance in instances:
            after = state | effects(specs, composition, state, instance)
            if after == state or stops(specs, composition, state, instance):
                continue
            if aim == "to-stand" and is_fuller(state, after):
                continue
            step = specs.steps_by_id[instance["step"]]
            count += 1
            heapq.heappush(queue, (cost + STEP + round(step.work_s + step.wait_s), count, after))
    return best


def cost_of(specs: Specs, composition: Composition, state: dict[str, str], aim: Any) -> int | None:
    found = make_safe(specs, composition, state, aim)
    if found is None:
        return None
    _, end = play_list(specs, composition, state, found["steps"])
    moves = Moves(specs, composition)
    rests = resting(moves, aim)
    bad = sum(rests[at][value] for at, value in enumerate(moves.state_of(end)) if at in rests)
    return len(found["steps"]) * STEP + found["seconds"] + bad


@pytest.mark.parametrize("share", range(12))
def test_no_list_is_better_among_all_there_are(share: int, small_specs: Specs) -> None:
    random, layouts = Random(share), Layouts(small_specs)
    visits = [layout for layout in (some_visit(layouts, random) for _ in range(40)) if len(layout.jobs) == 1]
    composition, state = interrupted(small_specs, random.choice(visits), random)

    for aim in AIMS:
        assert cost_of(small_specs, composition, state, aim) == cheapest(small_specs, composition, state, aim)


@pytest.mark.parametrize("share", range(3))
def test_no_list_is_better_for_a_pan_with_screws_in_any_state(share: int, small_specs: Specs) -> None:
    random = Random(share)
    screws = ["b", "a"]
    facts = {"powertrain": "combustion", "gearbox": "automatic", "has_undertray": False, "pan_screws": screws}
    composition = compose(small_specs, ["gearbox"], facts)
    state = starting_variables(small_specs, composition) | {"gear": "park", "support": "raised-level"}
    state |= {"gearbox": "empty", "pan-gasket": random.choice(["new", "used"])}
    for item in screws:
        state[f"gearbox-pan@{item}"] = random.choice(["closed", "hand-tight", "open"])
        state[f"pan-screw@{item}"] = random.choice(["new", "used"])

    for aim in AIMS:
        assert cost_of(small_specs, composition, state, aim) == cheapest(small_specs, composition, state, aim)


def test_something_left_open_outweighs_all_steps_of_a_visit() -> None:
    assert LEFT > 1000 * STEP


#: Steps without which the car could not be closed up, what stays open then, and after which step.
FORGOTTEN = {
    "transfer-case/fill-plug-as-it-is": ("transfer-case-fill-plug", "transfer-case/take-out-drain-plug"),
    "coolant-main/cap-as-it-is": ("coolant-main-cap", "coolant-main/drain-by-plug"),
    "brake-fluid/close-reservoir-as-it-is": ("brake-reservoir-cap", "brake-fluid/suck-reservoir"),
}


@pytest.fixture(scope="module")
def proof(real_specs: Specs) -> Proof:
    """All of them forgotten at once: each is in another circuit, and one proof tells them all."""
    specs = real_specs
    for step in FORGOTTEN:
        specs = drop(specs, step)
    return prove(specs)


@pytest.mark.parametrize("step", FORGOTTEN)
def test_the_proof_finds_what_could_not_be_closed_up(step: str, proof: Proof) -> None:
    stays_open, after = FORGOTTEN[step]
    told = {(found.kind, found.id): found for found in proof.counterexamples}
    assert ("safe", stays_open) in told
    assert f'after step "{after}" the car cannot be closed up as it is' in str(proof)
