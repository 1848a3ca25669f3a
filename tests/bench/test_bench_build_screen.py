"""The Build screen opens in a time that does not depend on how many parts are fitted.

The peer is the same screen over the same machine with hardly anything on it, measured in turns in
the same run.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.records import replace
from tagbench.screens.build.screen import BuildScreen
from tagbench.screens.widgets.views import Views
from tests.bench.rows import TABLE, Row, Wanted, in_turns_async, reached
from tests.bench.test_bench_build import big_machine
from tests.rules.machines import MARK
from tests.screens.driver import LARGE, at_the_bench

pytestmark = pytest.mark.bench

NEARLY_DONE = 1.5
"""Most that a half-built or nearly finished machine may take against one hardly begun."""
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
    """Milliseconds from the key until the lists stand there."""
    async with at_the_bench(book, LARGE) as driver:
        gc.collect()
        begin = time.process_time()
        await driver.app.go("build")
        screen = driver.at(BuildScreen)
        while not screen.query_one(Views).total:
            await driver.pilot.pause(0.001)
        await driver.pilot.pause(0)
        return (time.process_time() - begin) * 1e3


async def test_the_time_to_open_does_not_depend_on_what_is_fitted(
    books: dict[float, Book],
) -> None:
    """Nearly done opens no more than half as slow again as hardly begun."""
    begun, *others = SHARES
    for share in others:

        async def ours(share: float = share) -> float:
            return await opening(books[share])

        async def hardly_begun() -> float:
            return await opening(books[begun])

        mine, peer = await in_turns_async(ours, hardly_begun, turns=2)
        what, wanted = f"Build opened, {share:.0%} on", Wanted(ratio=NEARLY_DONE)
        reached(TABLE.add(Row(what, "hardly begun", 10_000, mine, peer, wanted=wanted)))
