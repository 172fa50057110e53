"""Trees that come from JSON are checked before they are believed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fillfirst.errors import ExpressionError
from fillfirst.formulas import names, parse, read_tree, tables


@pytest.mark.parametrize(
    "text",
    [
        "min(a, 3) < b or not known(c)",
        "x not in ('a', 'b')",
        "'a' in wheels",
        "table('some-table', -x) if c else -2",
    ],
)
def test_tree_survives_json(text: str) -> None:
    assert read_tree(json.loads(json.dumps(parse(text)))) == parse(text)


def test_whole_number_of_json_is_read_as_a_float() -> None:
    assert type(read_tree(["number", 2])[1]) is float


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("x", 'tree: found \'x\'; expected an array led by an operator, such as ["name", "x"].'),
        ([], 'tree: found []; expected an array led by an operator, such as ["name", "x"].'),
        ([1], 'tree: found [1]; expected an array led by an operator, such as ["name", "x"].'),
        (["add", 1, 2], 'tree[0]: found "add"; expected an operator of the language.'),
        (["number", "2"], "tree[1]: found '2'; expected one finite number."),
        (["number", True], "tree[1]: found True; expected one finite number."),
        (["number", float("nan")], "tree[1]: found nan; expected one finite number."),
        (["number"], "tree[1]: found []; expected one finite number."),
        (["name", "X"], "tree[1]: found 'X'; expected one snake_case name."),
        (["known", "a.b"], "tree[1]: found 'a.b'; expected one snake_case name."),
        (["yes-no", 1], "tree[1]: found 1; expected true or false."),
        (["text", 1], "tree[1]: found 1; expected one text."),
        (["+", ["number", 1]], 'tree: found "+" with 1; expected 2 operands.'),
        (["not"], 'tree: found "not" with 0; expected 1 operand.'),
        (["and", ["name", "a"]], 'tree: found "and" with 1; expected at least 2 operands.'),
        (["if", ["name", "a"]], 'tree: found "if" with 1; expected a condition and two branches.'),
        (
            ["+", ["number", 1], ["-", 1, 2]],
            'tree[2][1]: found 1; expected an array led by an operator, such as ["name", "x"].',
        ),
        (
            ["in", ["name", "a"], ["number", 1]],
            "tree: found [['name', 'a'], ['number', 1]]; "
            'expected a tree and ["list", …] or ["name", "x"].',
        ),
        (["list", ["number", 1]], 'tree[0]: found "list"; expected an operator of the language.'),
        (["call", "sqrt"], "tree: found sqrt with 0; expected 1 argument."),
        (
            ["table", "Some Table", ["number", 1]],
            "tree: found ['Some Table', ['number', 1]]; "
            'expected an id and a tree: ["table", "some-table", a].',
        ),
    ],
)
def test_tree_that_is_not_in_the_language_is_refused(value: Any, message: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        read_tree(value)

    assert str(caught.value) == message


@pytest.mark.parametrize("function", ["eval", "sqr", 3, None])
def test_unknown_function_in_a_tree_is_refused(function: Any) -> None:
    with pytest.raises(ExpressionError, match="expected"):
        read_tree(["call", function, ["number", 1]])


def test_tree_nested_without_end_is_refused() -> None:
    tree: Any = ["number", 1]
    for _ in range(500):
        tree = ["neg", tree]

    with pytest.raises(ExpressionError, match="nested deeper than any formula"):
        read_tree(tree)


def test_names_are_all_that_a_tree_may_read() -> None:
    tree = parse("a + b if known(c) and d in wheels else table('some-table', min(e, a))")

    assert names(tree) == {"a", "b", "c", "d", "e", "wheels"}


def test_tables_are_all_that_a_tree_may_look_up() -> None:
    assert tables(parse("table('one-table', x) + table('other-table', x)")) == {"one-table", "other-table"}
