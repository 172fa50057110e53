"""A tree is written as the expression that parses to it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fillfirst.formulas import Tree, parse, write


@pytest.mark.parametrize(
    "text",
    [
        "a + b * c",
        "(a + b) * c",
        "a - (b - c)",
        "a - b - c",
        "a / (b * c)",
        "2**3**2",
        "(2**3)**2",
        "-2**2",
        "(-2)**2",
        "2**-x",
        "-(a + b)",
        "not (a and b)",
        "a and (b or c)",
        "a or b and c",
        "(a < b) == c",
        "a if b else c if d else e",
        "(a if b else c) + 1",
        "(a if b else c) if d else e",
        'gearbox in ["manual", "reduction-gear"]',
        '"front-left" in wheels',
        'table("some-table", min(x, 2.5))',
        "known(x)",
        '"a \\"quoted\\" text"',
        "True",
        "1e-09",
        "0.1",
    ],
)
def test_written_expression_is_what_was_read(text: str) -> None:
    assert write(parse(text)) == text


def _trees() -> st.SearchStrategy[Tree]:
    leaf = st.one_of(
        st.floats(-1e6, 1e6).map(lambda number: ["number", number]),
        st.sampled_from("abc").map(lambda name: ["name", name]),
        st.booleans().map(lambda yes: ["yes-no", yes]),
        st.text("ab'\"\\", max_size=4).map(lambda text: ["text", text]),
    )
    binary = st.sampled_from(["+", "-", "*", "/", "**", "<", "<=", "==", "!="])

    def grow(part: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
        name = st.sampled_from("abc")
        return st.one_of(
            st.tuples(binary, part, part).map(list),
            st.tuples(st.just("if"), part, part, part).map(list),
            st.lists(part, min_size=2, max_size=3).map(lambda parts: ["call", "max", *parts]),
            st.lists(part, max_size=3).map(lambda parts: ["in", ["name", "a"], ["list", *parts]]),
            part.map(lambda one: ["not", one]),
            part.filter(lambda one: one[0] != "number").map(lambda one: ["neg", one]),
            st.tuples(part, name).map(lambda two: ["in", two[0], ["name", two[1]]]),
            st.tuples(st.sampled_from(["and", "or"]), part, part).map(list),
        )

    return st.recursive(leaf, grow, max_leaves=12)


@settings(derandomize=True, deadline=None)
@given(_trees())
def test_every_tree_is_read_back_from_what_is_written(tree: Tree) -> None:
    assert parse(write(tree)) == tree
