"""One demo book, written once and only read by the tests of this folder."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone

import pytest

from demo.writer import write_demo
from tagbench.book import Book

NOW = datetime(2031, 3, 9, 18, 30, tzinfo=timezone(timedelta(hours=1)))
"""An evening in March: the strip was in the autumn before."""


@pytest.fixture(scope="session")
def demo_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """The demo book as it stands on `NOW`; not to be changed."""
    with write_demo(tmp_path_factory.mktemp("demo") / "book", now=lambda: NOW) as book:
        yield book
