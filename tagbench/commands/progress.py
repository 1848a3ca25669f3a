"""A progress bar on long work, on stderr, and only where somebody can see it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import click

from labels.progress import Progress

WORTH_A_BAR = 40
"""Shorter runs are over before a bar could be read."""


@contextmanager
def long_work(label: str, worth: int = WORTH_A_BAR) -> Iterator[Progress]:
    """A callback for `done, all` that shows a bar once the work is known to be long enough."""
    with ExitStack() as stack:
        bars: list[Any] = []

        def told(done: int, total: int) -> None:
            if not bars and total >= worth and sys.stderr.isatty():
                bar = click.progressbar(length=total, label=label, file=sys.stderr)
                bars.append(stack.enter_context(bar))
            for bar in bars:
                bar.update(done - bar.pos)

        yield told


@contextmanager
def tag_progress(count: int) -> Iterator[Progress | None]:
    """A callback for `done, all` that moves a bar; None when no bar is worth showing."""
    if count < WORTH_A_BAR or not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=count, label="Drawing tags", file=sys.stderr) as bar:
        yield lambda done, _: bar.update(done - bar.pos)


@contextmanager
def told_steps() -> Iterator[Callable[[str], None]]:
    """A callback for the name of the step under way, shown on stderr where somebody can see it."""
    shown = sys.stderr.isatty()
    try:
        yield lambda step: click.echo(f"\r\x1b[K{step} …", err=True, nl=False) if shown else None
    finally:
        if shown:
            click.echo("\r\x1b[K", err=True, nl=False)
