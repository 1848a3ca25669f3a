"""Wants, stock and part numbers as changes of the book."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tagbench.book import Book
from tagbench.book.operations import buying, care, numbering, stock, wanting
from tagbench.book.operations.wanting import WantForm
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Fastener, PartNumber
from tests.book.conftest import Clock, strip

PIN = Fastener(quantity=2, kind="cotter pin", diameter=3.2, length=32.0, single_use=True)


def test_a_want_from_words_and_from_a_part(book: Book) -> None:
    """A part gives its name, machine, quantity and the number to order."""
    part = strip(book, "felt seal", quantity=2, part_numbers=(PartNumber(number="A1"),))
    form = WantForm(codes=(part.code,), price="12,50", supplier=" Felt & Son ")
    want = wanting.add_want(book, form)
    assert (want.what, want.number, want.quantity) == ("felt seal", "A1", 2)
    assert (want.price, want.currency, want.supplier) == ("12.50", "EUR", "Felt & Son")
    rags = wanting.add_want(book, WantForm(what="rags"))
    assert (rags.id, rags.parts, rags.machine) == (2, (), "TP")
    assert book.records.desk.suppliers == ("Felt & Son",)


def test_a_bad_want_leaves_nothing_behind(book: Book) -> None:
    """No words and no part, an unknown part, no quantity, a price nobody can read."""
    strip(book, "seal")
    before = book.revision
    for form, error in (
        (WantForm(), BadInput),
        (WantForm(what="x", codes=("TP-099-X",)), NotFound),
        (WantForm(what="x", quantity=0), BadInput),
        (WantForm(what="x", price="1,250"), BadInput),
        (WantForm(what="x", mark="ZZ"), NotFound),
    ):
        with pytest.raises(error):
            wanting.add_want(book, form)
    assert book.revision == before


def test_only_what_is_named_is_changed(book: Book) -> None:
    """A new price leaves supplier, number and note as they were."""
    want = wanting.add_want(book, WantForm(what="seal", number="A1", supplier="Felt", note="soft"))
    changed = wanting.edit_want(book, want.id, WantForm(price="3", currency="GBP"))
    assert (changed.number, changed.supplier, changed.note) == ("A1", "Felt", "soft")
    assert (changed.price, changed.currency) == ("3", "GBP")
    assert wanting.edit_want(book, want.id, WantForm(currency="SEK")).currency == "SEK"
    assert wanting.edit_want(book, want.id, WantForm(price="")).price == ""
    with pytest.raises(BadInput, match="goes with a price"):
        wanting.edit_want(book, want.id, WantForm(currency="SEK"))
    with pytest.raises(NotFound, match="no want 9"):
        wanting.edit_want(book, 9, WantForm(note="x"))


def test_ordered_overdue_arrived_and_the_parts_told(book: Book, clock: Clock) -> None:
    """Several wants are one change; arrival brings the replacement; undo takes both back."""
    codes = [strip(book, name).code for name in ("seal", "shoe")]
    care.tick_off(book, codes, "replace")
    buying.order(book, [1, 2], due=book.now().date() + timedelta(days=7), supplier="Felt")
    assert {want.supplier for want in book.records.wants.values()} == {"Felt"}
    clock.on(days=9)
    wants, parts = buying.arrive(book, [1, 2])
    assert [part.replacement for part in parts] == ["here", "here"]
    assert wants[0].arrived == book.now().date()
    with pytest.raises(Refused, match="already"):
        buying.arrive(book, [1])
    book.undo()
    assert {p.replacement for p in book.records.parts.values()} == {"wanted"}
    with pytest.raises(Refused, match="cannot have arrived"):
        buying.arrive(book, [1], on=date(2024, 5, 1))


def test_a_part_delivery(book: Book) -> None:
    """Two of five: the rest is a want of its own, and the part goes on waiting."""
    part = strip(book, "rivet", quantity=5)
    care.tick_off(book, [part.code], "replace")
    (came,), parts = buying.arrive(book, [1], count=2)
    rest = book.records.wants["2"]
    assert (came.quantity, rest.quantity, rest.arrived, parts) == (2, 3, None, [])
    _, told = buying.arrive(book, [2])
    assert [one.replacement for one in told] == ["here"]
    with pytest.raises(BadInput, match="one want at a time"):
        buying.arrive(book, [1, 2], count=1)
    wanting.add_want(book, WantForm(what="x", quantity=2))
    with pytest.raises(BadInput, match="1 to 2"):
        buying.arrive(book, [3], count=5)


def test_single_use_items_go_from_the_list_into_the_drawer(book: Book) -> None:
    """Wanted less stock; arrived they are in stock, and nothing more is to buy."""
    strip(book, "axle", fasteners=(PIN,))
    stock.count_stock(book, "split pin 3.2 x 32", 1)
    (want,) = wanting.want_single_use(book)
    assert (want.what, want.quantity) == ("cotter pin 3.2x32", 1)
    with pytest.raises(BadInput, match="No single-use item"):
        wanting.want_single_use(book)
    buying.arrive(book, [want.id])
    (item,) = book.records.stock.values()
    assert (item.what, item.quantity) == ("split pin 3.2 x 32", 2)


def test_arrived_pins_start_a_stock_line_and_rags_do_not(book: Book) -> None:
    """What the rebuild counts goes into the drawer; other supplies are simply here."""
    strip(book, "axle", fasteners=(PIN,))
    wanting.want_single_use(book)
    wanting.add_want(book, WantForm(what="rags"))
    buying.arrive(book, [1, 2])
    assert [item.what for item in book.records.stock.values()] == ["cotter pin 3.2x32"]


def test_the_drawer_is_counted_filled_and_used(book: Book) -> None:
    """Never below none; the same item however it is called."""
    stock.count_stock(book, "cotter pin 3.2x32", 10, "tin on shelf A")
    assert stock.move_stock(book, "split pins 3.2x32", -4).quantity == 6
    assert stock.move_stock(book, "cotter pin 3.2x32", 2).note == "tin on shelf A"
    with pytest.raises(BadInput, match="only 8"):
        stock.move_stock(book, "cotter pin 3.2x32", -9)
    with pytest.raises(BadInput):
        stock.count_stock(book, "x", -1)
    with pytest.raises(BadInput):
        stock.count_stock(book, " ", 1)
    stock.drop_stock(book, "split pin 3.2x32")
    with pytest.raises(NotFound):
        stock.drop_stock(book, "split pin 3.2x32")


def test_numbers_superseded_obsolete_and_dropped(book: Book) -> None:
    """An old number not yet noted is added; a loop over two parts is refused whole."""
    seal, other = strip(book, "seal"), strip(book, "other seal")
    part = numbering.supersede(book, seal.code, "A1", "A2")
    assert [(n.number, n.status) for n in part.part_numbers] == [("A1", "superseded")]
    numbering.add_number(book, other.code, PartNumber(number="A2"))
    with pytest.raises(Refused, match="A2 is superseded by a-1, which is superseded by A2"):
        numbering.supersede(book, other.code, "A2", "a-1")
    assert book.records.parts[other.code].part_numbers[0].superseded_by == ""
    gone = numbering.obsolete(book, other.code, "a 2")
    assert gone.part_numbers[0].status == "obsolete"
    assert numbering.drop_number(book, other.code, "A2").part_numbers == ()
    book.undo()
    assert book.records.parts[other.code].part_numbers == gone.part_numbers
    with pytest.raises(NotFound):
        numbering.obsolete(book, seal.code, "Z9")
    after = numbering.obsolete(book, seal.code, "A2")
    assert [(n.number, n.status) for n in after.part_numbers] == [
        ("A1", "superseded"),
        ("A2", "obsolete"),
    ]


def test_wants_are_dropped_and_parts_wanted_anew(book: Book) -> None:
    """A dropped want can be made again for the part that still waits."""
    part = strip(book, "seal")
    care.tick_off(book, [part.code], "replace")
    wanting.drop_want(book, [1])
    assert not book.records.wants
    for _ in range(2):
        care.tick_off(book, [part.code], "replace")
        (want,) = book.records.wants.values()
        assert (want.id, want.parts) == (2, (part.code,))
    with pytest.raises(BadInput, match="at least one want"):
        buying.order(book, [])


def test_an_order_that_comes_to_nothing_is_to_be_made_again(book: Book, clock: Clock) -> None:
    """Its days are taken out; refused for what is not ordered or is here."""
    want = wanting.add_want(book, WantForm(what="chain"))
    today = clock.time.date()
    with pytest.raises(Refused, match="not ordered yet"):
        buying.not_ordered(book, [want.id])
    buying.order(book, [want.id], due=today + timedelta(days=7))
    (again,) = buying.not_ordered(book, [want.id])
    assert (again.ordered, again.due) == (None, None)
    book.undo()
    assert book.records.wants[str(want.id)].ordered == today
    buying.arrive(book, [want.id])
    with pytest.raises(Refused, match="make a new want"):
        buying.not_ordered(book, [want.id])


def test_the_day_it_is_due_can_be_taken_out(book: Book, clock: Clock) -> None:
    """Everything else stays."""
    due = clock.time.date() + timedelta(days=7)
    want = wanting.add_want(book, WantForm(what="chain", due=due, price="3"))
    after = wanting.edit_want(book, want.id, WantForm(no_due=True))
    assert (after.due, after.price) == (None, "3")


def test_a_number_is_written_with_all_that_is_known_of_it(book: Book) -> None:
    """In the place of one that was misread; a number it has already is refused."""
    part = strip(book, "seal")
    numbering.write_number(book, part.code, PartNumber(number="A1"))
    after = PartNumber(number="A7", status="superseded", superseded_by="A8")
    changed = numbering.write_number(book, part.code, after, instead_of="a-1")
    assert changed.part_numbers == (after,)
    numbering.write_number(book, part.code, PartNumber(number="B1"))
    with pytest.raises(BadInput, match="has the number A7 already"):
        numbering.write_number(book, part.code, PartNumber(number="A7"), instead_of="B1")
    with pytest.raises(Refused, match="loop"):
        loop = PartNumber(number="A7", status="superseded", superseded_by="A7")
        numbering.write_number(book, part.code, loop, instead_of="A7")


def test_a_day_in_the_past_is_refused(book: Book, clock: Clock) -> None:
    """Before it was ordered, or past while nothing is ordered; nothing is written."""
    today = clock.time.date()
    past = today - timedelta(days=3)
    with pytest.raises(Refused, match="not even ordered"):
        wanting.add_want(book, WantForm(what="chain", due=past))
    assert not book.records.wants
    want = wanting.add_want(book, WantForm(what="chain", due=today))
    buying.order(book, [want.id], on=past)
    assert wanting.edit_want(book, want.id, WantForm(due=past)).due == past
    with pytest.raises(Refused, match="before it was ordered"):
        wanting.edit_want(book, want.id, WantForm(due=past - timedelta(days=1)))
