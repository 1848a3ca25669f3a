"""What is said about something to buy: what, for which parts, at what price, where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from tagbench.records import Tables, Want
from tagbench.rules.buying.deposits import deposit_out, deposit_words
from tagbench.rules.buying.returns import open_wrong, wrong_words
from tagbench.rules.buying.wants import cost, standing
from tagbench.rules.describe.fact import Fact, State
from tagbench.rules.describe.phrases import day, first_few, named_codes, plural, quantity

NAMED = 12
"""So many parts are named at most."""
FOR_THE_DRAWER = "the drawer"
"""Said of general supplies, which no part waits for."""


class WantFacts(NamedTuple):
    """One want."""

    id: int
    """Its number in the book."""
    what: str
    """`2 × felt seal`."""
    parts: Fact
    """The parts it is for, or the drawer."""
    holds_up: Fact
    """`7 parts`; no words when it holds up nothing."""
    held: Fact
    """Their names: `Backing plate TP-016-9, … and 3 more`."""
    number: Fact
    """`no. 4712`; no words without one."""
    deposit: Fact
    """`deposit 20.00 EUR, back for the old piece`; open while it is out."""
    supplier: Fact
    """Who sells it; no words when that is not decided."""
    price: Fact
    """What all of it costs: `EUR 25.00`, or `no price`; one figure when there is one."""
    standing: Fact
    """`ordered 2 Mar 2026, due 9 Mar 2026, 4 days overdue`."""
    shortly: Fact
    """`due 9 Mar 2026`, `4 days overdue (9 Mar 2026)`, for a column."""
    note: Fact
    """Anything else."""

    def facts(self) -> Iterator[Fact]:
        """Every fact that says something, most pressing first."""
        held = Fact("holds up", f"{self.holds_up.words}: {self.held.words}", "open")
        every = (
            self.parts,
            *([held] if self.holds_up.words else []),
            *(self.number, self.supplier, self.price, self.deposit, self.standing, self.note),
        )
        return (fact for fact in every if fact.words)


def describe_want(tables: Tables, want: Want, today: date, held: Sequence[str] = ()) -> WantFacts:
    """One want; `held` are the codes of the parts it holds up, as from `hold_ups`."""
    price = cost(want)
    for_parts = first_few(named_codes(want.parts, tables), NAMED) or FOR_THE_DRAWER
    return WantFacts(
        id=want.id,
        what=quantity(want.quantity, want.what),
        parts=Fact("for", for_parts),
        holds_up=Fact("holds up", plural(len(held), "part") if held else "", figures=(len(held),)),
        held=Fact("holds up", first_few(named_codes(held, tables), NAMED)),
        number=Fact("number", number_words(want)),
        deposit=Fact("deposit", deposit_words(tables, want), "open" if deposit_out(want) else ""),
        supplier=Fact("supplier", want.supplier),
        price=Fact(
            "price",
            price.words if price else "no price",
            figures=(float(price.amount),) if price else (),
            unit=price.currency if price else "",
        ),
        standing=Fact("stands", standing_words(want, today), want_state(want, today)),
        shortly=Fact("stands", standing_shortly(want, today), want_state(want, today)),
        note=Fact("note", want.note),
    )


def number_words(want: Want) -> str:
    """`no. 4712`; of an order the number it was ordered by, and another one beside it."""
    if not want.ordered_as:
        return f"no. {want.number}" if want.number else ""
    other = f", the list has no. {want.number}" if want.number not in ("", want.ordered_as) else ""
    return f"ordered as no. {want.ordered_as}{other}"


def want_state(want: Want, today: date) -> State:
    """open: to order; begun: ordered; wrong: overdue; done: here."""
    states: dict[str, State] = {
        "to order": "open",
        "ordered": "begun",
        "overdue": "wrong",
        "arrived": "done",
    }
    return "wrong" if open_wrong(want) is not None else states[standing(want, today)]


def standing_words(want: Want, today: date) -> str:
    """`ordered 2 Mar 2026, due 9 Mar 2026, 4 days overdue`."""
    if want.arrived is not None:
        return f"arrived {day(want.arrived)}"
    if want.ordered is None:
        return ", ".join(["to order", *map(wrong_words, want.wrong[-1:])])
    due = f"due {day(want.due)}" if want.due else ""
    said = [f"ordered {day(want.ordered)}", due, _late(want, today)]
    return ", ".join(filter(None, [*said, *map(wrong_words, want.wrong[-1:])]))


def standing_shortly(want: Want, today: date) -> str:
    """`to order`, `due 9 Mar 2026`, `4 days overdue (9 Mar 2026)`, `arrived 12 Mar 2026`."""
    if want.arrived is not None:
        return f"arrived {day(want.arrived)}"
    if want.ordered is None:
        return "to order"
    if open_wrong(want) is not None:
        return "the wrong one came"
    if want.due is None:
        return f"ordered {day(want.ordered)}"
    late = _late(want, today)
    return f"{late} ({day(want.due)})" if late else f"due {day(want.due)}"


def _late(want: Want, today: date) -> str:
    if standing(want, today) != "overdue" or want.due is None:
        return ""
    return f"{plural((today - want.due).days, 'day')} overdue"
