"""The order in which files of tests are begun: those that take longest first, so that none ends alone."""

from __future__ import annotations

import pytest

#: What most of the time goes into: real browsers and servers, then pages that hold one language to the other.
FIRST = ("tests/browser/", "tests/agreement/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    def rank(item: pytest.Item) -> int:
        return next((at for at, folder in enumerate(FIRST) if item.nodeid.startswith(folder)), len(FIRST))

    items.sort(key=rank)
