"""Wants from the first thought to the parcel on the bench."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Machine, PartNumber, Want, replace
from tagbench.rules.buying import wants
from tagbench.rules.describe.want import standing_shortly, standing_words
from tests.rules.making import code, part, tables

TODAY = date(2026, 3, 7)
MACHINES = {"TP": Machine(mark="TP", name="Packman"), "AB": Machine(mark="AB", name="Other")}


def want(number: int = 1, **more: object) -> Want:
    """A want of the machine TP."""
    return Want(**({"id": number, "machine": "TP", "what": "felt seal"} | more))  # type: ignore[arg-type]


def test_where_a_want_stands() -> None:
    """To order, ordered, overdue by so many days, arrived."""
    ordered = wants.order_want(want(), TODAY, TODAY, TODAY + timedelta(days=3))
    late = TODAY + timedelta(days=7)
    assert [wants.standing(w, t) for w, t in ((want(), TODAY), (ordered, TODAY))] == [
        "to order",
        "ordered",
    ]
    assert wants.standing(ordered, late) == "overdue"
    assert standing_words(ordered, late).endswith("due 10 Mar 2026, 4 days overdue")
    assert wants.standing(wants.arrive(ordered, late, late), late) == "arrived"
    assert wants.standing(replace(ordered, due=None), late) == "ordered"


def test_days_that_cannot_be_are_refused() -> None:
    """Ordered or arrived in the future, due or arrived before it was ordered, arrived twice."""
    tomorrow, yesterday = TODAY + timedelta(days=1), TODAY - timedelta(days=1)
    ordered = wants.order_want(want(), TODAY, TODAY)
    with pytest.raises(Refused, match="day it was ordered"):
        wants.order_want(want(), tomorrow, TODAY)
    with pytest.raises(Refused, match="before it was ordered"):
        wants.order_want(want(), TODAY, TODAY, yesterday)
    with pytest.raises(Refused, match="day it arrived"):
        wants.arrive(ordered, tomorrow, TODAY)
    with pytest.raises(Refused, match="cannot have arrived"):
        wants.arrive(ordered, yesterday, TODAY)
    here = wants.arrive(ordered, TODAY, TODAY)
    with pytest.raises(Refused, match="arrived on 7 Mar 2026 already"):
        wants.arrive(here, TODAY, TODAY)
    with pytest.raises(Refused, match="make a new want"):
        wants.order_want(here, TODAY, TODAY)


def test_a_want_is_checked_against_the_book() -> None:
    """A part must be in the book and of the same machine; no part at all is general supplies."""
    book = tables(part(1), machines=MACHINES)
    assert wants.check_want(book, want(what="  rags ")).what == "rags"
    with pytest.raises(NotFound, match="No part goes by"):
        wants.check_want(book, want(parts=(code(9),)))
    with pytest.raises(BadInput, match="another machine"):
        wants.check_want(book, want(machine="AB", parts=(code(1),)))
    with pytest.raises(NotFound, match="no machine ZZ"):
        wants.check_want(book, want(machine="ZZ"))
    with pytest.raises(BadInput, match="what is wanted"):
        wants.check_want(book, want(what="  "))


def test_a_want_for_a_part_names_the_number_to_order() -> None:
    """The chain is followed; an obsolete number without a substitute is said in the note."""
    chain = (
        PartNumber(number="A1", status="superseded", superseded_by="A2"),
        PartNumber(number="A2", status="obsolete"),
    )
    seal = part(1, "felt seal", assembly="Hub", quantity=2, part_numbers=chain[:1])
    made = wants.want_for(tables(seal), seal, 4)
    assert (made.what, made.number, made.quantity, made.parts) == (
        "felt seal (Hub)",
        "A2",
        2,
        (code(1),),
    )
    gone = wants.want_for(tables(), replace(seal, part_numbers=chain), 4)
    assert gone.number == ""
    assert gone.note == "A1 → A2 is obsolete and no substitute is known"
    loop = (chain[0], PartNumber(number="A2", superseded_by="A1"))
    assert "loop" in wants.want_for(tables(), replace(seal, part_numbers=loop), 4).note


def test_arrival_brings_the_replacements() -> None:
    """Parts that wait for another want as well go on waiting; reused parts stay as they are."""
    worn = [part(n, verdict="replace", replacement="wanted") for n in (1, 2)]
    kept = part(3, verdict="reuse")
    first = want(1, parts=(code(1), code(2), code(3), code(9)))
    other = want(2, parts=(code(2),))
    book = tables(*worn, kept, wants={"1": first, "2": other})
    assert [(p.code, p.replacement) for p in wants.parts_here(book, first)] == [(code(1), "here")]
    came = replace(other, arrived=TODAY)
    both = tables(*worn, kept, wants={"1": first, "2": came})
    assert len(wants.parts_here(both, first)) == 2


def test_a_part_delivery_leaves_a_want_for_the_rest() -> None:
    """Two of five came: two here, three still wanted."""
    came, rest = wants.split_want(want(quantity=5, price="2"), 2, 7)
    assert rest is not None
    assert (came.quantity, rest.quantity, rest.id, rest.price) == (2, 3, 7, "2")
    assert wants.split_want(want(quantity=5), 5, 7)[1] is None
    with pytest.raises(BadInput, match="1 to 5"):
        wants.split_want(want(quantity=5), 6, 7)


def test_a_part_that_no_longer_waits_leaves_the_want() -> None:
    """A want with nothing left is dropped unless it was ordered."""
    two = want(parts=(code(1), code(2)))
    left = wants.without_part(two, code(1))
    assert left is not None
    assert left.parts == (code(2),)
    assert wants.without_part(left, code(2)) is None
    ordered = wants.order_want(left, TODAY, TODAY)
    assert wants.without_part(ordered, code(2)) == replace(ordered, parts=())


def test_prices_are_kept_exact_with_their_currency() -> None:
    """Typed with a comma, in the preferred currency or a named one; nothing takes it out."""
    assert wants.priced(want(), "12,50", preferred="EUR").price == "12.50"
    pounds = wants.priced(want(), "3", "£", "EUR")
    assert (pounds.price, pounds.currency) == ("3", "GBP")
    assert wants.priced(pounds, "4").currency == "GBP"
    assert wants.priced(pounds, "").currency == ""


def test_totals_by_supplier_and_currency() -> None:
    """Quantity times price, exact; currencies and suppliers apart; unpriced wants are counted."""
    rows_of = [
        want(1, supplier="Felt & Son", price="0.10", currency="EUR", quantity=3),
        want(2, supplier="felt & son", price="0.20", currency="EUR"),
        want(3, supplier="Felt & Son", price="5", currency="GBP"),
        want(4, supplier="Felt & Son"),
        want(5),
    ]
    rows = [(t.supplier, t.currency, t.amount, t.wants, t.unpriced) for t in wants.totals(rows_of)]
    assert rows == [
        ("", "", Decimal(0), 1, 1),
        ("Felt & Son", "", Decimal(0), 1, 1),
        ("Felt & Son", "EUR", Decimal("0.50"), 2, 0),
        ("Felt & Son", "GBP", Decimal(5), 1, 0),
    ]


def test_open_wants_of_one_machine_or_of_all() -> None:
    """Those that have not arrived, oldest first."""
    by_number = {str(n): want(n, machine=m) for n, m in ((2, "TP"), (1, "AB"), (3, "TP"))}
    by_number["3"] = replace(by_number["3"], arrived=TODAY)
    book = tables(wants=by_number)
    assert [w.id for w in wants.open_wants_of(book)] == [1, 2]
    assert [w.id for w in wants.open_wants_of(book, "TP")] == [2]


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ({}, "to order"),
        ({"ordered": date(2026, 3, 2)}, "ordered 2 Mar 2026"),
        ({"ordered": date(2026, 3, 2), "due": date(2026, 3, 9)}, "due 9 Mar 2026"),
        ({"ordered": date(2026, 2, 2), "due": date(2026, 3, 6)}, "1 day overdue (6 Mar 2026)"),
        ({"ordered": date(2025, 2, 2), "due": date(2025, 12, 31)}, "66 days overdue (31 Dec 2025)"),
        ({"arrived": date(2026, 3, 7)}, "arrived 7 Mar 2026"),
    ],
)
def test_where_a_want_stands_in_a_few_words(days: dict[str, Any], says: str) -> None:
    """For a column; always with the year."""
    want = Want(id=1, machine="TP", what="chain", **days)
    assert standing_shortly(want, date(2026, 3, 7)) == says
