"""TOML files in, checked and linked models out; everything wrong with them is told at once."""

from fillfirst.specs.linked import Specs
from fillfirst.specs.loading import check, lay, link_files, load, load_files
from fillfirst.specs.problems import Problem, SpecsError, render

__all__ = ["Problem", "Specs", "SpecsError", "check", "lay", "link_files", "load", "load_files", "render"]
