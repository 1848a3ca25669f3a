"""What Buy knows of wants: the lists they stand in, what is said of one, what they cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from rich.text import Text

from tagbench.records import Tables, Want
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.money import money_words
from tagbench.rules.buying.single_use import Needed, needed
from tagbench.rules.buying.wants import Total, cost, standing, totals
from tagbench.rules.describe.phrases import first_few, named_codes, plural, quantity
from tagbench.rules.describe.want import describe_want, standing_shortly
from tagbench.rules.open_questions import (
    OpenQuestion,
    how_many_open,
    open_questions,
    open_questions_of,
)
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Labelled
from tagbench.screens.widgets.views import View

OPEN, TO_ORDER, ORDERED, OVERDUE, ARRIVED = "Open", "To order", "Ordered", "Overdue", "Arrived"
LISTS = (OPEN, TO_ORDER, ORDERED, OVERDUE, ARRIVED)
NAMED = 12
"""So many parts are named at most."""
HELD = 13
"""Columns for `holds up 1234`."""
ONE_LINE = 40
"""Columns for the names of parts where one line must do."""
LISTED = 5
"""So many wants are listed in a card."""


@dataclass(frozen=True)
class WantLists:
    """The wants of one machine by where they stand, worked out once for a state of the book."""

    wants: dict[str, list[Want]] = field(default_factory=lambda: {name: [] for name in LISTS})
    """List → wants, what holds up most first; arrived ones the latest first."""
    held: Mapping[int, Sequence[str]] = field(default_factory=dict)
    """Number of a want → codes of the parts it holds up."""
    totals: list[Total] = field(default_factory=list)
    """What the open wants cost, by supplier."""
    single_use: list[Needed] = field(default_factory=list)
    """Single-use items that are to be bought and are not wanted yet."""
    questions: list[OpenQuestion] = field(default_factory=list)
    """Fasteners that nobody can buy yet, since their thread or size is not known."""

    @property
    def views(self) -> list[View]:
        """The lists with their counts."""
        return [View(name, len(self.wants[name])) for name in LISTS]


def want_lists(tables: Tables, mark: str, today: date) -> WantLists:
    """Works the lists out for one machine."""
    held = hold_ups(tables, mark)
    mine = [want for want in tables.wants.values() if want.machine == mark]
    mine.sort(key=lambda want: (-len(held.get(want.id, ())), want.id))
    stands = {want.id: standing(want, today) for want in mine}
    here = [want for want in mine if stands[want.id] == "arrived"]
    coming = [want for want in mine if stands[want.id] != "arrived"]
    wants = {
        OPEN: coming,
        TO_ORDER: [want for want in coming if stands[want.id] == "to order"],
        ORDERED: [want for want in coming if stands[want.id] != "to order"],
        OVERDUE: [want for want in coming if stands[want.id] == "overdue"],
        ARRIVED: sorted(here, key=lambda want: (want.arrived or today, want.id), reverse=True),
    }
    lacking = [row for row in needed(tables, mark) if row.to_buy]
    return WantLists(wants, held, totals(coming), lacking, open_questions(tables, mark))


# One want


def draw_want(want: Want, held: int, today: date, width: int) -> list[str | Text]:
    """Two lines: what it holds up, what it is, what it costs; where it stands, who sells it."""
    price = cost(want)
    first = columns(
        width,
        (f"holds up {held}" if held else "", HELD),
        (quantity(want.quantity, want.what), 0),
        (price.words if price else "no price", -12),
        gap=2,
    )
    below = ", ".join(filter(None, [standing_shortly(want, today), want.supplier]))
    return [Text(first, style="bold"), columns(width, ("", HELD), (below, 0), gap=2)]


def want_facts(
    want: Want, held: Sequence[str], tables: Tables, today: date, *, roomy: bool
) -> Iterator[Labelled]:
    """Everything about one want; where it is not `roomy`, the parts it holds up more shortly."""
    told = describe_want(tables, want, today, held)
    short = not roomy and len(want.parts) > 1
    yield Labelled("for", [first_names(want.parts, tables) if short else told.parts.words])
    if held:
        names = told.held.words if roomy else first_names(held, tables)
        yield Labelled("holds up", [f"{told.holds_up.words}: {names}"], "strong")
    yield Labelled("stands", [", ".join(filter(None, [told.number.words, told.standing.words]))])
    parts = [tables.parts[code] for code in want.parts if code in tables.parts]
    yield Labelled("measure", [one.words for one in open_questions_of(parts)], "strong")
    yield Labelled("note", [want.note] if roomy else [])


# Several of them


def names_of(codes: Sequence[str], tables: Tables) -> str:
    """The names of parts with their codes, the first few."""
    return first_few(named_codes(codes, tables), NAMED)


def first_names(codes: Sequence[str], tables: Tables) -> str:
    """The names of the first parts, as many as go in one line of a small screen."""
    parts = tables.parts
    names = [parts[code].name if code in parts else code for code in codes]
    shown = 1
    while shown < len(names) and len(", ".join(names[: shown + 1])) <= ONE_LINE:
        shown += 1
    return first_few(names, shown)


def many(wants: Sequence[Want]) -> str:
    """`2 × felt seal`, or how many things."""
    one = quantity(wants[0].quantity, wants[0].what)
    return one if len(wants) == 1 else plural(len(wants), "thing")


def want_lines(wants: Sequence[Want]) -> str:
    """The wants of a card, a line each, when there are several; where the one stands."""
    if len(wants) == 1:
        return ", ".join(filter(None, [wants[0].number, wants[0].supplier])) or "no number noted"
    lines = [quantity(want.quantity, want.what) for want in wants[:LISTED]]
    more = len(wants) - LISTED
    return "\n".join([*lines, f"and {more} more"] if more > 0 else lines)


def money_lines(totals: Sequence[Total], width: int) -> list[str]:
    """What is to be paid to each supplier, and how many wants have no price; no name is broken."""
    unpriced = sum(total.unpriced for total in totals)
    said = [_total_words(total) for total in totals if total.currency]
    lines: list[str] = []
    for words in [*said, f"{unpriced} without a price"] if unpriced and said else said:
        wider = f"{lines[-1]}   {words}" if lines else words
        if lines and len(wider) <= width:
            lines[-1] = wider
        else:
            lines.append(words)
    return lines


def _total_words(total: Total) -> str:
    return f"{total.supplier or 'no supplier yet'} {money_words(total.amount, total.currency)}"


def questions_line(found: Sequence[OpenQuestion]) -> str:
    """How many fasteners are to be measured before they can be bought."""
    return f"{how_many_open(found)} (T measures one)" if found else ""


def single_use_line(lacking: Sequence[Needed]) -> str:
    """How many single-use items are to be bought as well."""
    if not lacking:
        return ""
    pieces = plural(sum(row.to_buy for row in lacking), "piece")
    return (
        f"Single-use to buy as well: {pieces} of {plural(len(lacking), 'kind')} (K collects them)"
    )
