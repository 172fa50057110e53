"""Formulas: expression text → tree → checked tree → value.

A formula is data that a person can read aloud; this package reads it, checks that its parts fit, and works
it out. Only checking dimensions touches units; evaluating knows plain floats in SI base units.
"""

from fillfirst.formulas.evaluate import evaluate
from fillfirst.formulas.figures import evaluate_figure, evaluate_formula
from fillfirst.formulas.models import (
    Binding,
    CheckedTree,
    Column,
    Constant,
    Example,
    Figure,
    Formula,
    HasFigures,
    Input,
    Result,
    Source,
    Table,
)
from fillfirst.formulas.outcome import Found, Impossible, Missing, Outcome, Outside, Value
from fillfirst.formulas.parser import parse
from fillfirst.formulas.tree import Tree, names, read_tree, tables

__all__ = [
    "Binding",
    "CheckedTree",
    "Column",
    "Constant",
    "Example",
    "Figure",
    "Formula",
    "Found",
    "HasFigures",
    "Impossible",
    "Input",
    "Missing",
    "Outcome",
    "Outside",
    "Result",
    "Source",
    "Table",
    "Tree",
    "Value",
    "evaluate",
    "evaluate_figure",
    "evaluate_formula",
    "names",
    "parse",
    "read_tree",
    "tables",
]
