"""What this package asks of a linked formula, table or figure.

The models themselves belong to the linked specs, which stand on this package; these shapes let formulas be
worked out and checked without importing upwards. Every number in them is in SI base units.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from fillfirst.formulas.tree import Tree


class Ranged(Protocol):
    """One input; outside from_..to the formula has no value. A bound of None is no bound."""

    @property
    def kind(self) -> str: ...
    @property
    def unit(self) -> str | None: ...
    @property
    def from_(self) -> float | None: ...
    @property
    def to(self) -> float | None: ...
    @property
    def optional(self) -> bool: ...


class Fixed(Protocol):
    """One constant of a formula."""

    @property
    def unit(self) -> str: ...
    @property
    def value(self) -> float: ...


class Told(Protocol):
    """What a formula gives: `kind` is quantity or judgement."""

    @property
    def kind(self) -> str: ...
    @property
    def unit(self) -> str | None: ...


class Formula(Protocol):
    """One expression with the names it reads."""

    @property
    def tree(self) -> Tree: ...
    @property
    def inputs(self) -> Mapping[str, Ranged]: ...
    @property
    def constants(self) -> Mapping[str, Fixed]: ...
    @property
    def result(self) -> Told: ...


class FunctionFormula(Protocol):
    """A formula that is a function, with the names it takes; `function` is one of functions.FUNCTIONS."""

    @property
    def function(self) -> str: ...
    @property
    def inputs(self) -> Mapping[str, Ranged]: ...
    @property
    def constants(self) -> Mapping[str, Fixed]: ...


class Part(Protocol):
    """One of the things that a function gives."""

    @property
    def kind(self) -> str: ...
    @property
    def unit(self) -> str | None: ...


class DeclaredFunction(FunctionFormula, Protocol):
    """A function with what its parts measure."""

    @property
    def parts(self) -> Mapping[str, Part]: ...


class HasUnit(Protocol):
    """One column of a table."""

    @property
    def unit(self) -> str: ...


class HasRows(Protocol):
    """A table, as far as looking up is concerned: keys only rise or only fall."""

    @property
    def rows(self) -> Sequence[tuple[float, float]]: ...


class Table(HasRows, Protocol):
    """A table with what its columns measure."""

    @property
    def key(self) -> HasUnit: ...
    @property
    def value(self) -> HasUnit: ...


class Figure(Protocol):
    """One use of a formula. Each binding has a `name` to look up, or else a `value`."""

    @property
    def formula(self) -> str: ...
    @property
    def with_(self) -> Mapping[str, object]: ...


class HasFigures(Protocol):
    """The part of the linked specs that a figure needs."""

    @property
    def figures(self) -> Mapping[str, Figure]: ...
    @property
    def formulas(self) -> Mapping[str, Formula]: ...
    @property
    def tables(self) -> Mapping[str, HasRows]: ...


class Example(Protocol):
    """One worked example as it was written: quantities are texts with the units of their source."""

    @property
    def given(self) -> Mapping[str, str | float | bool]: ...
    @property
    def expect(self) -> str | float | bool: ...
    @property
    def within(self) -> str | float | None: ...


class FunctionExample(Protocol):
    """One worked example of a function; lists are texts such as "0, 5, 10 min"."""

    @property
    def given(self) -> Mapping[str, str | float | bool]: ...
    @property
    def expect(self) -> Mapping[str, str | float | bool]: ...
    @property
    def within(self) -> Mapping[str, str | float]: ...


Tables = Mapping[str, HasRows]
