"""Single-use items are collected by size, with what the drawer has taken off."""

from __future__ import annotations

import csv
import io
from datetime import date

import networkx as nx
import pytest

from tagbench.records import Fastener, Gasket, StockItem, Want
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import COLUMNS, as_csv, as_text, shop_list
from tagbench.rules.buying.single_use import drawer, item_key, needed
from tests.rules.machines import random_machines
from tests.rules.making import code, part, screws, tables

TODAY = date(2026, 3, 7)
PIN = Fastener(quantity=2, kind="cotter pin", diameter=3.2, length=32.0, single_use=True)
CASTLE = Fastener(kind="castle nut", thread="M12x1.25", locking=("cotter pin",), single_use=True)


def test_the_same_size_is_collected_over_all_parts() -> None:
    """Two parts with 2 and 2 pins want 4; renewed ones and ordinary screws do not count."""
    done = Fastener(kind="cotter pin", diameter=3.2, length=32.0, single_use=True, renewed=True)
    book = tables(
        part(1, "axle", fasteners=(PIN, screws(6))),
        part(2, "track rod", fasteners=(PIN, done)),
    )
    (row,) = needed(book)
    assert (row.what, row.quantity, row.to_buy, row.parts) == (
        "cotter pin 3.2x32",
        4,
        4,
        (code(1), code(2)),
    )


def test_stock_and_what_is_on_order_are_taken_off() -> None:
    """However the drawer's label spells it; never below none."""
    stock = {"1": StockItem(id=1, what="3.2 x 32 split pins", quantity=1)}
    wants = {"1": Want(id=1, machine="TP", what="split pin 3.2x32", quantity=2)}
    (row,) = needed(tables(part(1, "axle", fasteners=(PIN, PIN)), stock=stock, wants=wants))
    assert (row.quantity, row.in_stock, row.on_order, row.to_buy) == (4, 1, 2, 1)
    plenty = {"1": StockItem(id=1, what="cotter pin 3.2x32", quantity=90)}
    (row,) = needed(tables(part(1, "axle", fasteners=(PIN,)), stock=plenty))
    assert row.to_buy == 0


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("cotter pin 3.2x32", "split pins 3.2 x 32", True),
        ("spring washer M6", "M6 lock washers", True),
        ("cotter pin 3.2x32", "cotter pin 2x20", False),
        ("lock washer M6", "washer M6", False),
        ("self-locking nut M8x1.25", "stiff nut M8x1.25", True),
    ],
)
def test_items_are_the_same_by_the_trades_pairs(one: str, other: str, same: bool) -> None:
    """Common practice, no source."""
    assert (item_key(one) == item_key(other)) == same


def test_a_lock_named_beside_a_nut_is_wanted_too() -> None:
    """Unless the part has a line of its own for it."""
    (row,) = needed(tables(part(1, "axle", fasteners=(CASTLE,))))
    assert row.what == "cotter pin for M12x1.25"
    (row,) = needed(tables(part(1, "axle", fasteners=(CASTLE, PIN))))
    assert row.what == "cotter pin 3.2x32"


def test_gaskets_are_wanted_until_decided_or_made() -> None:
    """Trade practice: gaskets and crush washers are not used twice (no source)."""
    made = Gasket(material="paper", thickness_mm=0.5, width_mm=80, height_mm=60)
    book = tables(
        part(1, "carburettor gasket", assembly="Fuel"),
        part(2, "gearbox gasket", make=made),
        part(3, "tank gasket", verdict="reuse"),
        part(4, "drain plug crush washer", quantity=2),
        part(5, "head gasket"),
        wants={"1": Want(id=1, machine="TP", what="x", parts=(code(5),))},
    )
    assert [(row.what, row.quantity) for row in needed(book)] == [
        ("carburettor gasket (Fuel)", 1),
        ("drain plug crush washer", 2),
    ]


def test_the_list_to_take_to_the_shop() -> None:
    """Wants to order and single-use items by supplier, what holds up most first, with totals."""
    parts = [part(1, "felt seal", behind=(code(2),)), part(2, "hub", fasteners=(PIN,))]
    wants = {
        "1": Want(id=1, machine="TP", what="felt seal", parts=(code(1),), supplier="Felt & Son",
                  number="A2", quantity=2, price="3.50", currency="EUR"),
        "2": Want(id=2, machine="TP", what="rags", supplier="Felt & Son"),
        "3": Want(id=3, machine="TP", what="ordered already", ordered=TODAY),
    }  # fmt: skip
    book = tables(*parts, wants=wants)
    rows = shop_list(book, "TP", TODAY)
    assert [(r.what, r.quantity, r.holds_up) for r in rows] == [
        ("cotter pin 3.2x32", 2, 0),
        ("felt seal", 2, 2),
        ("rags", 1, 0),
    ]
    text = as_text(rows, book)
    assert "[ ] 2 × felt seal   no. A2   7.00 EUR" in text
    assert f"for felt seal {code(1)}" in text
    assert "holds up 2 parts" in text
    assert text.endswith("Together 7.00 EUR, 2 without a price\n")
    read = list(csv.DictReader(io.StringIO(as_csv(rows))))
    assert tuple(read[0]) == COLUMNS
    assert read[1]["for"] == code(1)
    assert as_text([], book) == "Nothing to buy.\n"


def test_hold_up_counts_agree_with_networkx() -> None:
    """A want holds up its parts and all that is further out, over random machines."""
    for name, made, graph in random_machines(12):
        codes = sorted(made.parts)
        want = Want(id=1, machine="TP", what="x", parts=(codes[0], codes[len(codes) // 2]))
        off = {c for c, p in made.parts.items() if p.fitted == "off"}
        waiting = [c for c in want.parts if c in off]
        reach = set(waiting).union(*(nx.descendants(graph, c) for c in waiting)) & off
        book = tables(*made.parts.values(), wants={"1": want})
        assert set(hold_ups(book, "TP")[1]) == reach, name


def test_the_drawer_shows_what_nothing_asks_for_too() -> None:
    """Two labels of the same item are one line, with both counts."""
    stock = {
        "1": StockItem(id=1, what="lock washer M8", quantity=3),
        "2": StockItem(id=2, what="M8 lock washers", quantity=4),
        "3": StockItem(id=3, what="cotter pin 3.2x32", quantity=1),
    }
    rows = drawer(tables(part(1, "axle", fasteners=(PIN,)), stock=stock))
    assert [(row.what, row.quantity, row.in_stock, row.to_buy) for row in rows] == [
        ("cotter pin 3.2x32", 2, 1, 1),
        ("lock washer M8", 0, 7, 0),
    ]
