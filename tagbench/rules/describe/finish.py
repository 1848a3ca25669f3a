"""What is said about a finish: what was or is to be done, with what, what stays bare."""

from __future__ import annotations

from tagbench.records import Finish
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.phrases import day


def finish_words(finish: Finish) -> str:
    """`painted with RAL 5014, 9 Mar 2026; keep bare: axle bore`."""
    with_what = f" with {finish.with_what}" if finish.with_what else ""
    when = f", {day(finish.at)}" if finish.at else ""
    bare = f"; keep bare: {finish.masked}" if finish.masked else ""
    return f"{finish.what}{with_what}{when}{bare}"


def finish_fact(finish: Finish) -> Fact:
    """Done, or still to do."""
    return Fact("finish", finish_words(finish), "done" if finish.at else "open")
