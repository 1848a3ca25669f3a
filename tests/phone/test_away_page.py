"""The phone's page of what is away: batches bag by bag, orders as they go, what is left over."""

from __future__ import annotations

from datetime import date

from tagbench.book import Book
from tagbench.book.operations import batches, buying, care, composing
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.strip import edit
from tagbench.rules.whereabouts import whereabouts
from tagbench.trade.fasteners.text import parse_fasteners
from tests.phone.conftest import Codes, PhoneClient


async def test_a_batch_is_counted_and_ticked_bag_by_bag(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    batches.pack(book, AwayForm("Hill Plating", "zinc plating"), [codes.plate])
    page = await phone.page("/away")
    assert "with Hill Plating for zinc plating" in page
    (first, *_) = book.records.batches["1"].pieces
    part = book.records.parts[codes.plate]
    assert part.fasteners[first.line - 1].away == first.quantity
    answer = await phone.send(
        "/away/sort", id="1", bag=f"{codes.plate}/{first.line}", many=str(first.quantity)
    )
    assert answer.status == 303
    assert book.records.parts[codes.plate].fasteners[first.line - 1].away == 0
    again = await phone.send("/away/sort", id="1", bag=f"{codes.plate}/{first.line}")
    assert again.status == 409


async def test_an_order_goes_its_way(phone: PhoneClient, codes: Codes, book: Book) -> None:
    care.tick_off(book, [codes.shoes], "replace")
    number = max(map(int, book.records.wants))
    buying.order(book, [number], due=date(2199, 1, 1))
    await phone.send("/away/wrong", id=str(number), what="left-hand one")
    await phone.send("/away/sent-back", id=str(number))
    await phone.send("/away/replaced", id=str(number))
    (wrong,) = book.records.wants[str(number)].wrong
    assert (wrong.what, wrong.settled) == ("left-hand one", "replaced")
    asked = await phone.send(f"/{codes.shoes}/verdict", verdict="reuse")
    assert asked.status == 409
    assert "Call it off" in await asked.text()
    await phone.send(f"/{codes.shoes}/verdict", verdict="reuse", orders="off")
    assert book.records.parts[codes.shoes].verdict == "reuse"
    assert str(number) not in book.records.wants


async def test_something_found_is_written_down_and_explained(
    phone: PhoneClient, book: Book
) -> None:
    await phone.send("/away/found", found="M6 bolt 20 long, bench floor")
    assert "M6 bolt 20 long" in await phone.page("/away")
    refused = await phone.send("/away/explain", id="1", why="")
    assert refused.status == 409
    await phone.send("/away/explain", id="1", why="of the mower")
    assert book.records.loose["1"].explained == "of the mower"


async def test_a_part_goes_comes_back_is_lost_and_found(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.send(f"/{codes.shoes}/sent", who="Hill Plating", due="in 2 weeks")
    assert whereabouts(book.records.parts[codes.shoes]) == "away"
    assert "Hill Plating" in await phone.page("/away")
    await phone.send(f"/{codes.shoes}/here")
    await phone.send(f"/{codes.shoes}/lost", last_seen="bench")
    assert whereabouts(book.records.parts[codes.shoes]) == "lost"
    await phone.send(f"/{codes.shoes}/here")
    assert whereabouts(book.records.parts[codes.shoes]) == "here"


async def test_the_page_of_a_part_says_what_it_is_made_of(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    edit(book, codes.shoes, position="left", sits_how="peg at 2 o'clock")
    edit(book, codes.shoes, fasteners=parse_fasteners("M6: 2x45 at 12 and 6, 3x25 else"))
    composing.write_stack(book, codes.shoes, "from the nut: shim 0.3; plate 2")
    composing.write_pins(book, codes.shoes, "1 BN lamp (diagram GN)", "left of the frame")
    composing.keep_in_one(book, codes.shoes, "pin; spring")
    page = await phone.page(f"/{codes.shoes}")
    for words in (
        "all other holes: 3 × M6x1x25",
        "1. plate 2 mm",
        "2.3 mm together",
        "the diagram says GN",
        "left of the frame",
        "in one piece: pin, spring",
    ):
        assert words in page
    await phone.send(f"/{codes.shoes}/twin")
    twin = book.records.parts[book.records.parts[codes.shoes].twin]
    assert (twin.position, twin.sits_how) == ("right", "peg at 10 o'clock")
    await phone.send(f"/{codes.shoes}/apart")
    assert not book.records.parts[codes.shoes].own_parts
