"""What every test run shares."""

from __future__ import annotations

import gc
import os
import shutil
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import settings

MEMORY = Path("/dev/shm")
ROOM = 2 * 2**30


def pytest_configure(config: pytest.Config) -> None:
    """Each run is like the one before; its books are written to memory where there is room.

    A book waits for the disk at each save: half of the time of a run was spent there. The bench
    measures saves, so it is on the disk.
    """
    alike = "not slow" in config.getoption("markexpr")  # the long runs look for new examples
    settings.register_profile(
        "untimed", derandomize=alike, deadline=None, max_examples=40 if alike else 100
    )
    settings.load_profile("untimed")
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
    """Of a test marked `sampled(n)` each nth case is in every run, the others are `slow`."""
    seen: Counter[str] = Counter()
    for item in items:
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
