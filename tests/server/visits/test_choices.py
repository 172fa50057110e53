"""Sets of visits as diagrams against the same sets written out."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillfirst.visits.choices import ALL, NONE, Choices, Visits

OPTIONS = [2, 3, 2, 2]
EVERY = frozenset(product(*map(range, OPTIONS)))
Written = frozenset[tuple[int, ...]]


def build(choices: Choices, written: Written) -> Visits:
    """A diagram of visits written out, one after another."""
    diagram = NONE
    for taken in sorted(written):
        one = ALL
        for choice, option in enumerate(taken):
            one = choices.both(one, choices.taking(choice, option))
        diagram = choices.either(diagram, one)
    return diagram


def written_out(choices: Choices, diagram: Visits) -> Written:
    return frozenset(taken for taken in EVERY if choices.has(diagram, taken))


some = st.frozensets(st.sampled_from(sorted(EVERY)))


@given(left=some, right=some)
def test_both_either_and_without_are_those_of_sets(left: Written, right: Written) -> None:
    choices = Choices(OPTIONS)
    one, two = build(choices, left), build(choices, right)

    assert written_out(choices, choices.both(one, two)) == left & right
    assert written_out(choices, choices.either(one, two)) == left | right
    assert written_out(choices, choices.without(one, two)) == left - right


@given(left=some, right=some)
def test_equal_sets_are_one_diagram_however_they_came_about(left: Written, right: Written) -> None:
    choices = Choices(OPTIONS)
    one, two = build(choices, left), build(choices, right)

    assert choices.either(choices.both(one, two), choices.without(one, two)) == one


@given(written=some)
def test_count_counts(written: Written) -> None:
    choices = Choices(OPTIONS)

    assert choices.count(build(choices, written)) == len(written)


@given(written=some.filter(bool), numbers=st.lists(st.integers(-5, 5), min_size=9, max_size=9))
def test_cheapest_is_of_the_set_and_costs_least(written: Written, numbers: list[int]) -> None:
    choices = Choices(OPTIONS)
    costs = [numbers[0:2], numbers[2:5], numbers[5:7], numbers[7:9]]

    taken = choices.cheapest(build(choices, written), costs)

    assert tuple(taken) in written
    assert cost(costs, taken) == min(cost(costs, other) for other in written)


def cost(costs: list[list[int]], taken: tuple[int, ...] | list[int]) -> int:
    return sum(costs[choice][option] for choice, option in enumerate(taken))


def test_all_visits_are_the_product_of_all_options() -> None:
    assert Choices(OPTIONS).count(ALL) == 24


def test_no_visits_are_none() -> None:
    assert Choices(OPTIONS).count(NONE) == 0


@pytest.mark.parametrize("diagram", [ALL, NONE])
def test_everything_and_nothing_need_no_nodes(diagram: Visits) -> None:
    choices = Choices(OPTIONS)
    choices.both(diagram, ALL)

    assert choices.size == 2
