"""What every test run shares."""

from __future__ import annotations

import gc
import os
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from filelock import FileLock
from hypothesis import settings

from tests.examples import Run, examples

if TYPE_CHECKING:
    from tagbench.book import Book

MEMORY = Path("/dev/shm")
ROOM = 2 * 2**30


def pytest_configure(config: pytest.Config) -> None:
    """Each run is like the one before; its books are written to memory where there is room.

    A book waits for the disk at each save: half of the time of a run was spent there. The bench
    measures saves, so it is on the disk.
    """
    Run.long = "not slow" not in config.getoption("markexpr")
    untimed = settings(deadline=None, max_examples=examples(100))
    settings.register_profile("same", untimed, derandomize=True)
    settings.register_profile("new", untimed)  # other examples each time
    settings.load_profile(config.getoption("--hypothesis-profile") or "same")
    # Else each program that a test starts compiles all of tagbench that it imports.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ.pop("PYTHONUNBUFFERED", None)  # which most people do not set
    if config.getoption("markexpr") == "bench":
        return
    if config.getoption("basetemp") or "PYTEST_DEBUG_TEMPROOT" in os.environ:
        return
    if os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["PYTEST_DEBUG_TEMPROOT"] = str(MEMORY)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Ratios are not even read where none is asked for: their peers take a while to import."""
    unasked = "not bench" in config.getoption("markexpr")
    return True if unasked and collection_path.name.startswith("test_bench") else None


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Of a test marked `sampled(n)` each nth case is in every run, the others are `slow`.

    A property is in every run with a few examples, and in the long run with all of them.
    """
    seen: Counter[str] = Counter()
    for item in items:
        if Run.long and getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
            item.add_marker(pytest.mark.slow)
        sampled = item.get_closest_marker("sampled")
        if sampled is None:
            continue
        test = item.nodeid.partition("[")[0]
        if seen[test] % sampled.args[0]:
            item.add_marker(pytest.mark.slow)
        seen[test] += 1


def pytest_collection_finish() -> None:
    """What was read for the run is never garbage: the collector need not walk it again and again.

    Ten thousand collected tests are a million objects; walking them took a third of the time.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


@pytest.fixture(scope="session")
def demo_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """The demo book as it stands on an evening in March; not to be changed.

    It takes a while to write: that is done once for all processes of a run, each has a copy.
    """
    from demo.writer import write_demo
    from tagbench.book import Book
    from tests.demo.moment import NOW

    whole_run = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        whole_run = whole_run.parent
    with FileLock(whole_run / "demo.lock"):
        if not (whole_run / "demo").exists():
            write_demo(whole_run / "demo.new", now=lambda: NOW).close()
            (whole_run / "demo.new").rename(whole_run / "demo")
    mine = tmp_path_factory.mktemp("demo") / "book"
    shutil.copytree(whole_run / "demo", mine)
    with Book(mine, now=lambda: NOW) as book:
        yield book
