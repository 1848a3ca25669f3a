"""A progress bar on long work, on stderr, and only where somebody can see it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

WORTH_A_BAR = 40
"""Shorter runs are over before a bar could be read."""


@contextmanager
def tag_progress(count: int) -> Iterator[Callable[[int, int], None] | None]:
    """A callback for `done, all` that moves a bar; None when no bar is worth showing."""
    if count < WORTH_A_BAR or not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=count, label="Drawing tags", file=sys.stderr) as bar:
        yield lambda done, _: bar.update(done - bar.pos)
