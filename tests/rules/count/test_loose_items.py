"""What is found on the bench: read from two words, matched, explained."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tagbench.errors import BadInput, Refused
from tagbench.records import Fastener, LooseItem, Machine, replace
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.count.loose_items import candidates, put_to_line, read_found
from tests.rules.making import part, tables

NOW = datetime(2026, 3, 9, 18, 0, tzinfo=UTC)


def item(text: str) -> LooseItem:
    """Found as typed."""
    what, where, fastener = read_found(text)
    return LooseItem(id=1, machine="TP", what=what, where=where, fastener=fastener, found=NOW)


@pytest.mark.parametrize(
    ("text", "what", "where", "size"),
    [
        ("M6 bolt 20 long, bench floor", "M6 bolt 20 long", "bench floor", ("M6x1", 20.0)),
        ("M6x20,  under the vice", "M6x20", "under the vice", ("M6x1", 20.0)),
        ("cotter pin 3,2x32", "cotter pin 3,2x32", "", ("", 32.0)),
    ],
)
def test_what_and_where_are_read(text: str, what: str, where: str, size: tuple[str, float]) -> None:
    """A comma in a size is not a place."""
    found = item(text)
    assert (found.what, found.where) == (what, where)
    assert found.fastener is not None
    assert (found.fastener.thread, found.fastener.length) == size


def test_what_is_no_fastener_is_kept_as_words() -> None:
    """On the count all the same. Nothing at all is refused."""
    assert item("some grey lump, floor").fastener is None
    with pytest.raises(BadInput):
        read_found(" ")


def test_lines_known_to_be_short_come_first_and_a_nut_is_no_bolt() -> None:
    """Then those not all back, then those that were typed alike."""
    bolt = Fastener(quantity=2, kind="bolt", thread="M6x1", length=20.0)
    short = part(1, "Cover", fasteners=(replace(bolt, short=1, back=1),))
    bag = part(2, "Lid", fasteners=(bolt,))
    whole = part(3, "Guard", fitted="fitted", fasteners=(replace(bolt, back=2),))
    nut = part(4, "Pipe", fasteners=(Fastener(quantity=2, kind="nut", thread="M6x1"),))
    long = part(5, "Box", fasteners=(Fastener(quantity=2, kind="bolt", thread="M6x1", length=30),))
    found = candidates(tables(whole, bag, nut, long, short), item("M6 bolt 20 long, floor"))
    assert [one.line.part.name for one in found] == ["Cover", "Lid", "Guard"]
    assert [one.sure for one in found] == [True, False, False]


def test_it_stays_on_the_count_until_it_is_explained() -> None:
    """Put to the line that is short of one, the line is short of one fewer."""
    one = part(1, "Cover", fasteners=(Fastener(quantity=4, short=1, thread="M6x1"),))
    made = tables(
        one, loose={"1": item("M6x20, floor")}, machines={"TP": Machine(mark="TP", name="x")}
    )
    assert "found and not explained: M6x20, floor" in [
        line.words for line in open_lines(machine_count(made, "TP"))
    ]
    assert put_to_line(one, 1).fasteners[0].short == 0
    with pytest.raises(Refused, match="short of none"):
        put_to_line(put_to_line(one, 1), 1)
    with pytest.raises(BadInput, match="no line 2"):
        put_to_line(one, 2)
