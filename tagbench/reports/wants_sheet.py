"""The wants: the list to take to the shop, and what has been ordered and is not here yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagbench.reports.paper.blocks import Block, Heading, Line, Sheet, Table
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import ShopRow, as_rows, shop_list, to_measure, total_words
from tagbench.rules.buying.wants import open_wants_of, standing
from tagbench.rules.describe.phrases import day, named_codes
from tagbench.rules.describe.want import WantFacts, describe_want


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """What is to be bought as lines of CSV, then what is on order, told by its note."""
    yield from as_rows(to_buy(request))
    for facts in on_order(request):
        want = request.tables.wants[str(facts.id)]
        yield (
            *(want.quantity, want.what, want.number, ";".join(want.parts), want.supplier),
            *(want.price, want.currency, facts.holds_up.figures[0] or "", facts.standing.words),
        )


def to_buy(request: ReportRequest) -> list[ShopRow]:
    """What is to be bought, by supplier."""
    return shop_list(request.tables, request.machine.mark, request.printed.date())


def measured_first(request: ReportRequest) -> list[str]:
    """What is to be measured before it can be bought."""
    return to_measure(request.tables, request.machine.mark)


def on_order(request: ReportRequest) -> Iterator[WantFacts]:
    """What is on order."""
    today = request.printed.date()
    held = hold_ups(request.tables, request.machine.mark)
    for want in open_wants_of(request.tables, request.machine.mark):
        if standing(want, today) != "to order":
            yield describe_want(request.tables, want, today, held.get(want.id, ()))


def sheet(request: ReportRequest) -> Sheet:
    """The wants on paper."""
    return Sheet(f"Wants — {request.machine_words}", day(request.printed), _blocks(request))


def _blocks(request: ReportRequest) -> Iterator[Block]:
    def what(name: str, codes: Sequence[str], note: str = "") -> str:
        return "\n".join(filter(None, [name, ", ".join(named_codes(codes, request.tables)), note]))

    buy = to_buy(request)
    yield Heading("To buy")
    if not buy:
        yield Line("Nothing to buy.")
    else:
        head = ("how many", "what", "number", "supplier", "price", "holds up")
        table = tuple(
            (f"{row.quantity} ×", what(row.what, row.parts, row.note),
             f"no. {row.number}" if row.number else "", row.supplier,
             row.price.words if row.price else "", str(row.holds_up or ""))
            for row in buy
        )  # fmt: skip
        yield Table(head, table, (1.2, 4, 2, 2, 1.4, 1.1), tick=True, right=frozenset((0, 4, 5)))
        if total := total_words(buy):
            yield Line(total)
    first = measured_first(request)
    if first:
        yield Heading("Measure first")
    yield from (Line(words, tick=True) for words in first)
    ordered = list(on_order(request))
    if ordered:
        yield Heading("On order")
        late = ("what", "number", "stands", "supplier", "holds up")
        lines = tuple(
            (f"{want.what}\n{want.parts.words}", want.number.words, want.standing.words,
             want.supplier.words, want.holds_up.words)
            for want in ordered
        )  # fmt: skip
        yield Table(late, lines, (4, 1.6, 3, 2, 1.1), tick=True, right=frozenset((4,)))
