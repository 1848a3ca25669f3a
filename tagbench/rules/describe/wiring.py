"""What is said about the pins of a connector."""

from __future__ import annotations

from tagbench.records import Wiring
from tagbench.rules.describe.fact import Fact
from tagbench.rules.wiring import pin_rows, pin_words


def pin_facts(wiring: Wiring | None) -> tuple[Fact, ...]:
    """A fact for each pin; one whose wire is not as the diagram says is wrong."""
    rows = pin_rows(wiring) if wiring is not None else []
    return tuple(Fact("pin", pin_words(row), "wrong" if row.differs else "") for row in rows)
