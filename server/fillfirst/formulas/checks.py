"""Does an expression fit together: dimensions, texts, yes and no?

It runs the tree on kinds instead of values, so every branch is looked at and no sample number can divide
by zero. What kinds cannot see (N·m is J, a missing factor of two) is pinned by the worked examples.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from fillfirst.errors import KindError
from fillfirst.formulas.evaluate import evaluate
from fillfirst.formulas.kinds import PURE, TEXT, YES_NO, ZERO, Kind, meet, nearest, number_in
from fillfirst.formulas.shapes import Formula, Table
from fillfirst.formulas.tree import COMPARISONS, Tree, names
from fillfirst.formulas.writer import write
from fillfirst.quantities import NUMBER

Kinds = Mapping[str, Kind]
TablesOfKind = Mapping[str, Table]


def check_dimensions(formula: Formula, tables: TablesOfKind) -> None:
    """Check that a formula's expression fits together and gives what its result says.

    Raises KindError, whose `where` is the key of the formula's file: "expression", "result.unit", "inputs.x".
    """
    kinds = {name: _kind_of_input(each.kind, each.unit) for name, each in formula.inputs.items()}
    kinds |= {name: number_in(constant.unit) for name, constant in formula.constants.items()}
    found = check_kind(formula.tree, kinds, tables)
    for group in ("inputs", "constants"):
        unread = sorted(set(getattr(formula, group)) - names(formula.tree))
        if unread:
            found_clause = "the expression never reads it"
            raise KindError(f"{group}.{unread[0]}", found_clause, "every input and constant is for something")
    _check_result(found, formula.result.kind, formula.result.unit)


def check_kind(tree: Tree, kinds: Kinds, tables: TablesOfKind) -> Kind:
    """Say what kind a tree gives when its names are of these kinds.

    Raises KindError at the first part that does not fit; `where` quotes that part.
    """
    return _Checker(kinds, tables).check(tree)


def _kind_of_input(kind: str, unit: str | None) -> Kind:
    if kind == "quantity":
        return number_in(unit or "1")
    return TEXT if kind == "text" else YES_NO


def _check_result(found: Kind, kind: str, unit: str | None) -> None:
    if kind == "judgement":
        if found.sort != "yes-no":
            raise KindError("result.kind", f"the expression gives {found}", "a judgement is a yes or no")
        return
    if found.sort != "number":
        do = 'Change the expression, or make the result a "judgement".' if found.sort == "yes-no" else ""
        raise KindError("result.unit", f"the expression gives {found}", "a quantity is a number", do)
    wanted = number_in(unit or "1")
    if meet(found, wanted) is None:
        # The same dimension and still not alike: a temperature and a difference of temperatures.
        said = str(wanted if found.dimension == wanted.dimension else wanted.dimension)
        found_clause = f"the expression gives {found}"
        raise KindError(
            "result.unit", found_clause, f'"{unit}" is {said}', "Change the unit or the expression."
        )


class _Checker:
    """Runs one tree on kinds."""

    def __init__(self, kinds: Kinds, tables: TablesOfKind) -> None:
        self._kinds = kinds
        self._tables = tables
        self._handlers: dict[str, Callable[[Tree], Kind]] = {
            "number": lambda tree: ZERO if tree[1] == 0 else PURE,
            "text": lambda tree: replace(TEXT, options=frozenset([tree[1]])),
            "yes-no": lambda tree: YES_NO,
            "name": lambda tree: self._look_up(tree[1], tree),
            "known": self._known,
            "+": self._sum,
            "-": self._sum,
            "*": self._product,
            "/": self._product,
            "**": self._power,
            "neg": lambda tree: self._measured(tree[1], tree),
            "not": lambda tree: self._yes_no(tree[1]),
            "and": self._connective,
            "or": self._connective,
            "if": self._choice,
            "in": self._membership,
            "call": self._call,
            "table": self._table,
            **dict.fromkeys(COMPARISONS, self._comparison),
        }

    def check(self, tree: Tree) -> Kind:
        return self._handlers[tree[0]](tree)

    def _look_up(self, name: str, tree: Tree) -> Kind:
        if name not in self._kinds:
            raise _refuse(tree, f'there is no "{name}"', nearest(name, self._kinds))
        return self._kinds[name]

    def _known(self, tree: Tree) -> Kind:
        self._look_up(tree[1], tree)
        return YES_NO

    def _number(self, tree: Tree) -> Kind:
        kind = self.check(tree)
        if kind.sort != "number":
            raise _refuse(tree, f"it is {kind}", "a number is needed here")
        return kind

    def _measured(self, tree: Tree, whole: Tree) -> Kind:
        """A number that may be multiplied or turned round: not a reading of a temperature scale."""
        kind = self._number(tree)
        if kind.scale:
            found = f'"{write(tree)}" is a temperature on a scale'
            raise _refuse(whole, found, "only a difference between two temperatures can be used so")
        return kind

    def _pure(self, tree: Tree, whole: Tree) -> Kind:
        kind = self._measured(tree, whole)
        if kind.dimension != NUMBER:
            raise _refuse(whole, f'"{write(tree)}" is {kind}', "a pure number is needed here")
        return PURE

    def _yes_no(self, tree: Tree) -> Kind:
        kind = self.check(tree)
        if kind.sort != "yes-no":
            raise _refuse(tree, f"it is {kind}", "a yes or no is needed here")
        return YES_NO

    def _sum(self, tree: Tree) -> Kind:
        left, right = self._number(tree[1]), self._number(tree[2])
        if not left.scale and not right.scale:
            both = meet(left, right)
            if both is not None:
                return both
        elif left.dimension == right.dimension:
            if tree[0] == "-" and left.scale:
                return replace(left, scale=not right.scale)
            if tree[0] == "+" and left.scale != right.scale:
                return replace(left, scale=True)
        raise self._unlike(tree, left, right, "only like things can be added or subtracted")

    def _product(self, tree: Tree) -> Kind:
        if tree[0] == "/":
            left, right = self._number(tree[1]), self._number(tree[2])
            if left.scale and right.scale:
                return PURE  # both are kelvin at run time, as the gas law wants them
        left, right = self._measured(tree[1], tree), self._measured(tree[2], tree)
        if tree[0] == "*":
            return Kind("number", left.dimension * right.dimension)
        return Kind("number", left.dimension / right.dimension)

    def _power(self, tree: Tree) -> Kind:
        base = self._measured(tree[1], tree)
        self._pure(tree[2], tree)
        if base.dimension == NUMBER:
            return PURE
        outcome = evaluate(tree[2], {}, {})
        if "value" not in outcome or not isinstance(outcome["value"], float):
            found = f'"{write(tree[1])}" is {base} and its power changes'
            raise _refuse(tree, found, "what has a unit can only be raised to a written number")
        return Kind("number", base.dimension ** Fraction(outcome["value"]).limit_denominator(12))

    def _connective(self, tree: Tree) -> Kind:
        for part in tree[1:]:
            self._yes_no(part)
        return YES_NO

    def _choice(self, tree: Tree) -> Kind:
        self._yes_no(tree[1])
        left, right = self.check(tree[2]), self.check(tree[3])
        both = meet(left, right)
        if both is None:
            raise self._unlike(tree, left, right, "both branches must be alike", tree[2:])
        if both.sort == "text" and left.options is not None and right.options is not None:
            return replace(both, options=left.options | right.options)
        return both

    def _comparison(self, tree: Tree) -> Kind:
        left, right = self.check(tree[1]), self.check(tree[2])
        if tree[0] in ("==", "!="):
            if meet(left, right) is None or left.sort == "list":
                raise self._unlike(tree, left, right, "only like things can be equal")
            self._check_option(tree, left, right)
            return YES_NO
        for part, kind in ((tree[1], left), (tree[2], right)):
            if kind.sort != "number":
                raise _refuse(tree, f'"{write(part)}" is {kind}', "only numbers are more or less")
        if meet(left, right) is None:
            raise self._unlike(tree, left, right, "only like things can be compared")
        return YES_NO

    def _membership(self, tree: Tree) -> Kind:
        left = self.check(tree[1])
        if tree[2][0] == "name":
            held = self._look_up(tree[2][1], tree[2])
            if held.sort != "list":
                raise _refuse(tree, f'"{tree[2][1]}" is {held}', 'after "in" stands a list')
            if left.sort != "text":
                raise _refuse(tree, f'"{write(tree[1])}" is {left}', "such a list holds texts")
            self._check_option(tree, left, held)
            return YES_NO
        for element in tree[2][1:]:
            self._comparison(["==", tree[1], element])
        return YES_NO

    def _check_option(self, tree: Tree, left: Kind, right: Kind) -> None:
        """A comparison with a text that can never be is a slip of the pen."""
        if left.options is None or right.options is None or left.options & right.options:
            return
        fewer, more = sorted((left.options, right.options), key=len)
        word = sorted(fewer)[0]
        raise _refuse(tree, f'it can never be "{word}"', nearest(word, more))

    def _call(self, tree: Tree) -> Kind:
        function, arguments = tree[1], tree[2:]
        if function in ("min", "max"):
            return self._extreme(tree, arguments)
        if function == "abs":
            return self._measured(arguments[0], tree)
        if function == "sqrt":
            return Kind("number", self._measured(arguments[0], tree).dimension ** Fraction(1, 2))
        return self._pure(arguments[0], tree)

    def _extreme(self, tree: Tree, arguments: list[Tree]) -> Kind:
        whole = self._number(arguments[0])
        for argument in arguments[1:]:
            each = self._number(argument)
            both = meet(whole, each)
            if both is None:
                raise self._unlike(
                    tree, whole, each, "only like things can be compared", [arguments[0], argument]
                )
            whole = both
        return whole

    def _table(self, tree: Tree) -> Kind:
        if tree[1] not in self._tables:
            raise _refuse(tree, f'there is no table "{tree[1]}"', nearest(tree[1], self._tables))
        table = self._tables[tree[1]]
        key, wanted = self._number(tree[2]), number_in(table.key.unit)
        if meet(key, wanted) is None:
            raise _refuse(tree, f'"{write(tree[2])}" is {key}', f"the table's key is {wanted}")
        return number_in(table.value.unit)

    def _unlike(
        self, tree: Tree, left: Kind, right: Kind, expected: str, parts: list[Tree] | None = None
    ) -> KindError:
        first, second = parts or tree[1:]
        return _refuse(tree, f'"{write(first)}" is {left} and "{write(second)}" is {right}', expected)


def _refuse(tree: Tree, found: str, expected: str) -> KindError:
    shown = write(tree)
    quoted = shown if len(shown) <= 60 else shown[:59] + "…"
    return KindError(f'expression, "{quoted}"', found, expected)
