"""What every test run shares."""

from __future__ import annotations

import gc
from collections import Counter

import pytest


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
