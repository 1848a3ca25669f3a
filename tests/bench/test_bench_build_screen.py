"""The Build screen opens in a time that does not depend on how many parts are fitted.

The peer is the same screen over the same machine with hardly anything on it, measured in turns in
the same run.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.records import replace
from tagbench.screens.build.screen import BuildScreen
from tagbench.screens.widgets.views import Views
from tests.bench.test_bench_build import big_machine
from tests.rules.machines import MARK
from tests.screens.driver import LARGE, at_the_bench

pytestmark = pytest.mark.bench

ROUNDS = 5
SHARES = (0.05, 0.5, 0.95)
"""Shares of the parts that are on the machine."""


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[float, Book]]:
    """The same machine of 10 000 parts, hardly begun, half built, nearly done."""
    made = {share: _book(tmp_path_factory.mktemp(f"on{share}"), share) for share in SHARES}
    yield made
    for book in made.values():
        book.close()


def _book(folder: Path, share: float) -> Book:
    book = Book(folder / "book")
    add(book, "Tarnbrook Packman", MARK)
    with book.change("a machine of 10 000 parts") as transaction:
        for part in big_machine(share).parts.values():
            behind = tuple(map(_checked, part.behind))
            transaction.put(replace(part, code=_checked(part.code), behind=behind))
    return book


def _checked(code: str) -> str:
    """The code with its check character, which the rules do not care about but the book does."""
    mark, serial, _ = code.split("-")
    return make_code(mark, int(serial))


async def opening(book: Book) -> float:
    """Seconds from the key until the lists stand there."""
    async with at_the_bench(book, LARGE) as driver:
        gc.collect()
        begin = time.perf_counter()
        await driver.app.go("build")
        screen = driver.at(BuildScreen)
        while not screen.query_one(Views).total:
            await driver.pilot.pause(0.001)
        await driver.pilot.pause(0)
        return time.perf_counter() - begin


async def test_the_time_to_open_does_not_depend_on_what_is_fitted(
    books: dict[float, Book],
) -> None:
    """Nearly done opens no more than half as slow again as hardly begun."""
    times: dict[float, list[float]] = {share: [] for share in SHARES}
    for _ in range(ROUNDS):
        for share, book in books.items():
            times[share].append(await opening(book))
    spent = {share: median(times[share]) for share in SHARES}
    ratios = {share: spent[share] / spent[SHARES[0]] for share in SHARES}
    print("\n" + ", ".join(f"{share:.0%} on: {ratio:.2f}" for share, ratio in ratios.items()))
    assert max(ratios.values()) < 1.5
