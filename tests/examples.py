"""How many examples a property is tried on: a few in each run, all of them in the long one."""

from __future__ import annotations

SHARE, LEAST = 4, 5


class Run:
    """What kind of run this is."""

    long = False
    """Whether the slow tests are asked for; set before any test is read."""


def examples(number: int) -> int:
    """So many in the long run (`-m slow`), in each run a quarter of them: always the same ones."""
    return number if Run.long else max(LEAST, number // SHARE)
