"""Proved specs → one JSON document named by its hash. Unproved specs never become one."""

from fillfirst.catalog.checking import Checked, check
from fillfirst.catalog.document import Catalog, CatalogError, UnprovedError, build

__all__ = ["Catalog", "CatalogError", "Checked", "UnprovedError", "build", "check"]
