"""The wants: the list to take to the shop, and what has been ordered and is not here yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagbench.records import Want
from tagbench.reports.page import render
from tagbench.reports.paper.blocks import Block, Heading, Line, Sheet, Table
from tagbench.reports.request import ReportRequest, Row
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import ShopRow, as_rows, as_text, shop_list, to_measure
from tagbench.rules.buying.wants import open_wants_of, standing
from tagbench.rules.describe.phrases import day, named_codes, plural, quantity
from tagbench.rules.describe.want import standing_words


def text(request: ReportRequest) -> Iterator[str]:
    """The wants in plain lines."""
    yield f"Wants — {request.machine.name} ({request.machine.mark}), {day(request.printed)}"
    yield ""
    yield from as_text(to_buy(request), request.tables, measured_first(request)).splitlines()
    for want, words, held in on_order(request):
        what = quantity(want.quantity, want.what)
        yield f"On order: {what} — {words}, holds up {plural(held, 'part')}"


def rows(request: ReportRequest) -> Iterator[Row]:
    """What is to be bought as lines of CSV, then what is on order, told by its note."""
    yield from as_rows(to_buy(request))
    for want, words, held in on_order(request):
        yield (
            *(want.quantity, want.what, want.number, ";".join(want.parts), want.supplier),
            *(want.price, want.currency, held or "", words),
        )


def page(request: ReportRequest) -> str:
    """The wants as a page to print."""
    return render(
        "wants.html",
        request,
        buy=to_buy(request),
        ordered=list(on_order(request)),
        measured_first=measured_first(request),
        names=lambda codes: ", ".join(named_codes(codes, request.tables)),
    )


def to_buy(request: ReportRequest) -> list[ShopRow]:
    """What is to be bought, by supplier."""
    return shop_list(request.tables, request.machine.mark, request.printed.date())


def measured_first(request: ReportRequest) -> list[str]:
    """What is to be measured before it can be bought."""
    return to_measure(request.tables, request.machine.mark)


def on_order(request: ReportRequest) -> Iterator[tuple[Want, str, int]]:
    """What is on order: the want, where it stands, how many parts it holds up."""
    today = request.printed.date()
    held = hold_ups(request.tables, request.machine.mark)
    for want in open_wants_of(request.tables, request.machine.mark):
        if standing(want, today) != "to order":
            yield want, standing_words(want, today), len(held.get(want.id, ()))


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
            (str(row.quantity), what(row.what, row.parts, row.note), row.number, row.supplier,
             row.price.words if row.price else "", str(row.holds_up or ""))
            for row in buy
        )  # fmt: skip
        yield Table(head, table, (1.2, 4, 2, 2, 1.4, 1.1), tick=True, right=frozenset((0, 4, 5)))
    ordered = list(on_order(request))
    if ordered:
        yield Heading("On order")
        late = ("how many", "what", "stands", "supplier", "holds up")
        lines = tuple(
            (str(want.quantity), what(want.what, want.parts), words, want.supplier, str(held or ""))
            for want, words, held in ordered
        )
        yield Table(late, lines, (1.2, 4, 3, 2, 1.1), tick=True, right=frozenset((0, 4)))
