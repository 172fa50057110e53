"""Formulas: expression text → tree → checked tree → value.

A formula is data that a person can read aloud; this package reads it, checks that its parts fit, and works
it out. Only checking touches units; evaluating knows plain floats in SI base units.
"""

from fillfirst.formulas.checks import check_dimensions, check_kind
from fillfirst.formulas.evaluate import evaluate
from fillfirst.formulas.examples import Disagreement, run_example
from fillfirst.formulas.figures import evaluate_figure, evaluate_formula
from fillfirst.formulas.function_examples import run_function_example
from fillfirst.formulas.functions import FUNCTIONS, Function, evaluate_function
from fillfirst.formulas.kinds import LIST, TEXT, YES_NO, Kind, list_of, number_in, text_of
from fillfirst.formulas.outcome import Found, Impossible, Missing, Outcome, OutOfRange, Outside, Value
from fillfirst.formulas.parser import parse
from fillfirst.formulas.tree import Tree, names, read_tree, tables
from fillfirst.formulas.writer import write

__all__ = [
    "FUNCTIONS",
    "LIST",
    "TEXT",
    "YES_NO",
    "Disagreement",
    "Found",
    "Function",
    "Impossible",
    "Kind",
    "Missing",
    "OutOfRange",
    "Outcome",
    "Outside",
    "Tree",
    "Value",
    "check_dimensions",
    "check_kind",
    "evaluate",
    "evaluate_figure",
    "evaluate_formula",
    "evaluate_function",
    "list_of",
    "names",
    "number_in",
    "parse",
    "read_tree",
    "run_example",
    "run_function_example",
    "tables",
    "text_of",
    "write",
]
