"""Expression text to tree.

The language is a subset of Python's expressions, so that its author needs to learn nothing and the
standard library's `ast` does the reading. Whatever is not in the subset is refused by name, at its
column, with what may stand there instead; nothing is ever executed.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable

from fillfirst.errors import ExpressionError
from fillfirst.formulas.tree import (
    CALLABLE,
    DEPTH_LIMIT,
    FUNCTIONS,
    Tree,
    describe_count,
    describe_functions,
    has_right_count,
    is_id,
    is_name,
)

#: Longer than any formula a person can review.
LENGTH_LIMIT = 2000

_ARITHMETIC: dict[type[ast.operator], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.Pow: "**",
}
_COMPARISON: dict[type[ast.cmpop], str] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
}
#: What each refused construction is called, and what to write instead.
_REFUSED: dict[type[ast.AST], tuple[str, str]] = {
    ast.Attribute: ("an attribute", "one name; names have no parts"),
    ast.Subscript: ("an index", 'one name, or table("id", x) for a value from a table'),
    ast.Lambda: ("a lambda", "one of the language's functions"),
    ast.ListComp: ("a comprehension", "single values"),
    ast.SetComp: ("a comprehension", "single values"),
    ast.DictComp: ("a comprehension", "single values"),
    ast.GeneratorExp: ("a comprehension", "single values"),
    ast.JoinedStr: ("an f-string", 'plain text such as "manual"'),
    ast.Dict: ("a dictionary", "single values"),
    ast.NamedExpr: ('an assignment ":="', "an expression without assignments"),
    ast.Starred: ("a starred value", "values written one by one"),
    ast.Await: ("an await", "a plain expression"),
    ast.Yield: ("a yield", "a plain expression"),
    ast.YieldFrom: ("a yield", "a plain expression"),
    ast.List: ("a list on its own", 'a list only after "in"'),
    ast.Tuple: ("a list on its own", 'a list only after "in"'),
    ast.Set: ("a list on its own", 'a list only after "in"'),
    ast.Slice: ("a slice", "one name"),
}
_REFUSED_OPERATOR: dict[type[ast.AST], tuple[str, str]] = {
    ast.Mod: ("%", 'one of + - * / **; a percentage is a quantity such as "50 percent"'),
    ast.FloorDiv: ("//", "floor(a / b)"),
    ast.MatMult: ("@", "one of + - * / **"),
    ast.BitAnd: ("&", "and"),
    ast.BitOr: ("|", "or"),
    ast.BitXor: ("^", "** for a power"),
    ast.LShift: ("<<", "one of + - * / **"),
    ast.RShift: (">>", "one of + - * / **"),
    ast.Invert: ("~", "not"),
    ast.Is: ("is", "=="),
    ast.IsNot: ("is not", "!="),
}
_LOOKALIKES = {"true": "True", "yes": "True", "false": "False", "no": "False"}


def parse(text: str) -> Tree:
    """Read an expression such as "mass * (wheelbase - rear) / wheelbase".

    Raises ExpressionError at the first thing that is not in the language.
    """
    if len(text) > LENGTH_LIMIT:
        raise ExpressionError("the expression", f"{len(text)} characters", f"at most {LENGTH_LIMIT}")
    if not text.strip():
        raise ExpressionError("the expression", "nothing", "an expression")
    # A newline inside a long TOML string is only layout.
    flat = " ".join(text.split("\n")).strip()
    try:
        parsed = ast.parse(flat, mode="eval")
    except (SyntaxError, ValueError, MemoryError, RecursionError) as cause:
        raise _explain_syntax(flat, cause) from cause
    return _Reader(flat).read(parsed.body, 1)


class _Reader:
    """Turns one parsed expression into a tree, and points into its text when it cannot."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._handlers: dict[type[ast.expr], Callable[..., Tree]] = {
            ast.Constant: self._constant,
            ast.Name: self._name,
            ast.UnaryOp: self._unary,
            ast.BinOp: self._binary,
            ast.BoolOp: self._connective,
            ast.Compare: self._comparison,
            ast.IfExp: self._choice,
            ast.Call: self._call,
        }

    def read(self, node: ast.expr, depth: int) -> Tree:
        if depth > DEPTH_LIMIT:
            raise self._refuse(node, "nesting deeper than any formula", f"at most {DEPTH_LIMIT} levels")
        handler = self._handlers.get(type(node))
        if handler is None:
            found, expected = _REFUSED.get(
                type(node), ("something else", "arithmetic, comparisons or a function")
            )
            raise self._refuse(node, found, expected)
        return handler(node, depth)

    def _constant(self, node: ast.Constant, depth: int) -> Tree:
        value = node.value
        if isinstance(value, bool):
            return ["yes-no", value]
        if isinstance(value, str):
            return ["text", value]
        if isinstance(value, (int, float)):
            try:
                number = float(value)
            except OverflowError:
                number = math.inf
            if math.isfinite(number):
                return ["number", number]
            raise self._refuse(node, "a number too large to hold", "a finite number")
        raise self._refuse(
            node, f"a {type(value).__name__}", 'a number, a text such as "manual", True or False'
        )

    def _name(self, node: ast.Name, depth: int) -> Tree:
        if node.id in _LOOKALIKES:
            raise self._refuse(node, f'"{node.id}"', f'"{_LOOKALIKES[node.id]}"')
        if node.id in CALLABLE:
            raise self._refuse(node, f'the function "{node.id}" without its arguments', f"{node.id}(…)")
        # The text as written, not as Python normalises it: a look-alike letter must not become a plain one.
        if not is_name(node.id) or self._source(node) != node.id:
            raise self._refuse(
                node, f'the name "{self._source(node)}"', "a name in snake_case, such as oil_level"
            )
        return ["name", node.id]

    def _unary(self, node: ast.UnaryOp, depth: int) -> Tree:
        if isinstance(node.op, ast.Not):
            return ["not", self.read(node.operand, depth + 1)]
        if isinstance(node.op, ast.UAdd):
            return self.read(node.operand, depth + 1)
        if isinstance(node.op, ast.USub):
            operand = self.read(node.operand, depth + 1)
            return ["number", -operand[1]] if operand[0] == "number" else ["neg", operand]
        raise self._refuse_operator(node, node.op)

    def _binary(self, node: ast.BinOp, depth: int) -> Tree:
        operator = _ARITHMETIC.get(type(node.op))
        if operator is None:
            raise self._refuse_operator(node, node.op)
        return [operator, self.read(node.left, depth + 1), self.read(node.right, depth + 1)]

    def _connective(self, node: ast.BoolOp, depth: int) -> Tree:
        operator = "and" if isinstance(node.op, ast.And) else "or"
        return [operator, *(self.read(value, depth + 1) for value in node.values)]

    def _comparison(self, node: ast.Compare, depth: int) -> Tree:
        lefts = [node.left, *node.comparators[:-1]]
        links = [
            self._link(node, left, operator, right, depth + 1)
            for left, operator, right in zip(lefts, node.ops, node.comparators, strict=True)
        ]
        return links[0] if len(links) == 1 else ["and", *links]

    def _link(
        self, node: ast.Compare, left: ast.expr, operator: ast.cmpop, right: ast.expr, depth: int
    ) -> Tree:
        if isinstance(operator, ast.In):
            return ["in", self.read(left, depth + 1), self._list(right, depth + 1)]
        if isinstance(operator, ast.NotIn):
            return ["not", ["in", self.read(left, depth + 1), self._list(right, depth + 1)]]
        sign = _COMPARISON.get(type(operator))
        if sign is None:
            raise self._refuse_operator(node, operator)
        return [sign, self.read(left, depth + 1), self.read(right, depth + 1)]

    def _list(self, node: ast.expr, depth: int) -> Tree:
        if isinstance(node, (ast.List, ast.Tuple, ast.Set)):
            return ["list", *(self.read(element, depth + 1) for element in node.elts)]
        if isinstance(node, ast.Name):
            return self._name(node, depth)
        raise self._refuse(node, 'no list after "in"', '("a", "b") or the name of a list')

    def _choice(self, node: ast.IfExp, depth: int) -> Tree:
        parts = (node.test, node.body, node.orelse)
        return ["if", *(self.read(part, depth + 1) for part in parts)]

    def _call(self, node: ast.Call, depth: int) -> Tree:
        if not isinstance(node.func, ast.Name):
            raise self._refuse(node.func, "a call of something that is not a name", describe_functions(""))
        function = node.func.id
        if function not in CALLABLE:
            raise self._refuse(node.func, f'the function "{function}"', describe_functions(function))
        if node.keywords:
            raise self._refuse(node, "a named argument", f"arguments by position: {function}(…)")
        if function == "known":
            return self._known(node, depth)
        if function == "table":
            return self._table(node, depth)
        arguments = [self.read(argument, depth + 1) for argument in node.args]
        if not has_right_count(function, len(arguments)):
            raise self._refuse(node, f"{function} with {len(arguments)}", describe_count(function))
        return ["call", function, *arguments]

    def _known(self, node: ast.Call, depth: int) -> Tree:
        if len(node.args) != 1 or not isinstance(node.args[0], ast.Name):
            raise self._refuse(node, "something other than one name", "known(oil_level)")
        return ["known", self._name(node.args[0], depth)[1]]

    def _table(self, node: ast.Call, depth: int) -> Tree:
        first = node.args[0] if len(node.args) == 2 else None
        if not (isinstance(first, ast.Constant) and isinstance(first.value, str) and is_id(first.value)):
            raise self._refuse(node, "other arguments", 'table("the-id-of-a-table", x)')
        return ["table", first.value, self.read(node.args[1], depth + 1)]

    def _source(self, node: ast.AST) -> str:
        return ast.get_source_segment(self._text, node) or self._text

    def _refuse(self, node: ast.AST, found: str, expected: str) -> ExpressionError:
        source = self._source(node)
        shown = source if len(source) <= 40 else source[:39] + "…"
        column = getattr(node, "col_offset", 0) + 1
        return ExpressionError(f"column {column}, {shown}", found, expected)

    def _refuse_operator(self, node: ast.AST, operator: ast.AST) -> ExpressionError:
        sign, expected = _REFUSED_OPERATOR[type(operator)]
        return self._refuse(node, f'the operator "{sign}"', expected)


def _explain_syntax(text: str, cause: BaseException) -> ExpressionError:
    """Put the reader's complaint into our words; the original stays as the cause."""
    if isinstance(cause, (MemoryError, RecursionError)) or "too many nested" in str(cause):
        return ExpressionError(
            "the expression", "nesting deeper than any formula", f"at most {DEPTH_LIMIT} levels"
        )
    if not isinstance(cause, SyntaxError):
        return ExpressionError("the expression", "a character that no text may hold", "printable characters")
    column = max(cause.offset or 1, 1)
    rest = text[column - 1 : column + 19].strip()
    if rest.startswith("=") and not rest.startswith("=="):
        return ExpressionError(f"column {column}", 'a single "="', '"==" to compare')
    found = f'"{rest}", which cannot stand here' if rest else "the end, too early"
    return ExpressionError(f"column {column}", found, "arithmetic, comparisons, and/or/not, a if c else b")


__all__ = ["FUNCTIONS", "LENGTH_LIMIT", "parse"]
