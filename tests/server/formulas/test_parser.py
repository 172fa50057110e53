"""What the expression language takes, and how it refuses the rest."""

from __future__ import annotations

import pytest

from fillfirst.errors import ExpressionError
from fillfirst.formulas import parse
from fillfirst.formulas.parser import LENGTH_LIMIT
from fillfirst.formulas.tree import DEPTH_LIMIT


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("1", ["number", 1.0]),
        ("-1", ["number", -1.0]),
        ("1_000", ["number", 1000.0]),
        ("'a' 'b'", ["text", "ab"]),
        ("a < b < c", ["and", ["<", ["name", "a"], ["name", "b"]], ["<", ["name", "b"], ["name", "c"]]]),
        ("a not in b", ["not", ["in", ["name", "a"], ["name", "b"]]]),
        ("a in {'x'}", ["in", ["name", "a"], ["list", ["text", "x"]]]),
        ("a if b else c", ["if", ["name", "b"], ["name", "a"], ["name", "c"]]),
        ('table("some-table", x)', ["table", "some-table", ["name", "x"]]),
        ("known(x)", ["known", "x"]),
        ("a\n  + b\n", ["+", ["name", "a"], ["name", "b"]]),
        ("a and b and c", ["and", ["name", "a"], ["name", "b"], ["name", "c"]]),
    ],
)
def test_parse_builds_tree(text: str, tree: object) -> None:
    assert parse(text) == tree


REFUSED = [
    ("a.b", "column 1, a.b: found an attribute; expected one name; names have no parts."),
    (
        "1 + a[0]",
        'column 5, a[0]: found an index; expected one name, or table("id", x) for a value from a table.',
    ),
    ("lambda: 1", "column 1, lambda: 1: found a lambda; expected one of the language's functions."),
    ("[i for i in a]", "column 1, [i for i in a]: found a comprehension; expected single values."),
    ("{i for i in a}", "column 1, {i for i in a}: found a comprehension; expected single values."),
    ("{i: i for i in a}", "column 1, {i: i for i in a}: found a comprehension; expected single values."),
    ("max(i for i in a)", "column 4, (i for i in a): found a comprehension; expected single values."),
    ("f'{a}'", "column 1, f'{a}': found an f-string; expected plain text such as \"manual\"."),
    ("{'a': 1}", "column 1, {'a': 1}: found a dictionary; expected single values."),
    ("(a := 1)", 'column 2, a := 1: found an assignment ":="; expected an expression without assignments.'),
    ("[a, b]", 'column 1, [a, b]: found a list on its own; expected a list only after "in".'),
    ("max(*a, b)", "column 5, *a: found a starred value; expected values written one by one."),
    ("None", 'column 1, None: found a NoneType; expected a number, a text such as "manual", True or False.'),
    ("1j", 'column 1, 1j: found a complex; expected a number, a text such as "manual", True or False.'),
    ("b'x'", "column 1, b'x': found a bytes; expected a number, a text such as \"manual\", True or False."),
    ("1e999", "column 1, 1e999: found a number too large to hold; expected a finite number."),
    ("x // 2", 'column 1, x // 2: found the operator "//"; expected floor(a / b).'),
    ("x ^ 2", 'column 1, x ^ 2: found the operator "^"; expected ** for a power.'),
    ("a & b", 'column 1, a & b: found the operator "&"; expected and.'),
    ("~a", 'column 1, ~a: found the operator "~"; expected not.'),
    ("a is b", 'column 1, a is b: found the operator "is"; expected ==.'),
    ("true", 'column 1, true: found "true"; expected "True".'),
    ("Mass", 'column 1, Mass: found the name "Mass"; expected a name in snake_case, such as oil_level.'),
    ("_x", 'column 1, _x: found the name "_x"; expected a name in snake_case, such as oil_level.'),
    ("ﬁll", 'column 1, ﬁll: found the name "ﬁll"; expected a name in snake_case, such as oil_level.'),
    ("min", 'column 1, min: found the function "min" without its arguments; expected min(…).'),
    ("min(a)", "column 1, min(a): found min with 1; expected at least 2 arguments."),
    ("sqrt(a, b)", "column 1, sqrt(a, b): found sqrt with 2; expected 1 argument."),
    ("sqrt(x=a)", "column 1, sqrt(x=a): found a named argument; expected arguments by position: sqrt(…)."),
    (
        "known('x')",
        "column 1, known('x'): found something other than one name; expected known(oil_level).",
    ),
    ("table(x, 1)", 'column 1, table(x, 1): found other arguments; expected table("the-id-of-a-table", x).'),
    (
        "a in 3",
        'column 6, 3: found no list after "in"; expected ("a", "b") or the name of a list.',
    ),
    (
        "a = 3",
        'column 3: found a single "="; expected "==" to compare.',
    ),
    ("1" + "0" * 400, f"column 1, 1{'0' * 38}…: found a number too large to hold; expected a finite number."),
    ("'\ud800'", "the expression: found a character that no text may hold; expected printable characters."),
    ("", "the expression: found nothing; expected an expression."),
]


@pytest.mark.parametrize(("text", "message"), REFUSED)
def test_parse_refuses_what_is_not_in_the_language(text: str, message: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse(text)

    assert str(caught.value) == message


def test_parse_offers_the_nearest_function() -> None:
    with pytest.raises(ExpressionError) as caught:
        parse("sqr(a)")

    assert caught.value.found == 'the function "sqr"'
    assert caught.value.expected.startswith('"sqrt" (one of min, max, abs,')


@pytest.mark.parametrize(
    "text", ["a +", "(a", "a b", "1 2", "if", "a\x00b", "'", "import os", "a; b", "a,", "§"]
)
def test_parse_puts_syntax_errors_into_our_words(text: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse(text)

    assert "syntax" not in str(caught.value).lower()


@pytest.mark.parametrize(
    "text", ["__import__('os')", "().__class__", "open('x')", "eval('1')", "print(1)", "a.b(1)", "f()(1)"]
)
def test_parse_never_reaches_the_machine(text: str) -> None:
    with pytest.raises(ExpressionError):
        parse(text)


def test_parse_reads_signs_without_end_as_one_name() -> None:
    assert parse("+" * 50 + "x") == ["name", "x"]


@pytest.mark.parametrize("text", ["-" * 200 + "x", "(" * 250 + "x" + ")" * 250, "1" + "+x" * DEPTH_LIMIT])
def test_parse_refuses_what_nobody_could_review(text: str) -> None:
    with pytest.raises(ExpressionError, match="nesting deeper than any formula"):
        parse(text)


def test_parse_refuses_deep_nesting() -> None:
    with pytest.raises(ExpressionError, match="nesting deeper than any formula"):
        parse("1 + (" * (DEPTH_LIMIT + 1) + "x" + ")" * (DEPTH_LIMIT + 1))


def test_parse_refuses_long_text() -> None:
    with pytest.raises(ExpressionError, match=f"found {LENGTH_LIMIT + 1} characters"):
        parse("x" * (LENGTH_LIMIT + 1))
