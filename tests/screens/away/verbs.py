"""What happens to parts, each by its keys, and what must hold after each of it."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.records import Part, Tables
from tagbench.rules.batches import left_away
from tagbench.rules.count.identity import machine_count
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.away.screen import AWAY, LEFT, AwayScreen
from tagbench.screens.widgets.views import Views
from tests.screens.driver import ScreenDriver


def sound(book: Book) -> None:
    """Every part and every fastener is in exactly one place."""
    tables: Tables = book.records
    for mark in tables.machines:
        now = machine_count(tables, mark)
        assert sum(now.places.values()) == now.parts == len(tables.parts_of(mark))
        for row in now.threads:
            assert row.out == row.back + row.in_bag + row.away + row.lost
            assert min(row[1:]) >= 0


async def open_away(driver: ScreenDriver, view: str = AWAY) -> None:
    """To one list of what is elsewhere, by the list of all that can be done."""
    await driver.press("ctrl+g")
    await driver.write("batches to sort")
    await driver.press("enter")
    views = driver.at(AwayScreen).query_one(Views)
    for _ in range(3):
        if views.current != view:
            await driver.press("right")
    assert views.current == view


async def batch_out_and_back(driver: ScreenDriver, bracket: str, cover: str) -> None:
    """The M6x20 of two bags go to the plater in one bucket; one is short and the others are sorted
    bag by bag."""
    book = driver.app.book
    await open_away(driver)
    await driver.press("n")
    await driver.write("M6x1x20")
    await driver.press("ctrl+o", "tab")
    await driver.write("Hill Plating")
    await driver.press("tab")
    await driver.write("zinc plating")
    await driver.press("tab")
    await driver.write("in 2 weeks")
    await driver.press("enter")
    (batch,) = book.records.batches.values()
    assert (batch.who, batch.what_for) == ("Hill Plating", "zinc plating")
    assert sum(piece.quantity for piece in batch.pieces) == 7
    sound(book)
    assert [
        row.away for row in machine_count(book.records, "A").threads if row.thread == "M6x1"
    ] == [7]

    await driver.press("right", "enter")  # the list of batches
    await driver.write("6")
    await driver.press("enter")  # six of seven came back
    assert list(book.records.batches["1"].counted.values()) == [6]
    await driver.press("enter")  # the bag of the bracket
    await driver.write("2")
    await driver.press("enter")  # two of three into that of the cover
    sound(book)
    assert [left for _, left in left_away(book.records.batches["1"])] == [1]
    await driver.press("ctrl+o", "enter")
    assert book.records.batches["1"].closed is not None
    lines = book.records.parts[cover].fasteners
    assert [(line.away, line.short) for line in lines] == [(0, 0), (0, 1)]
    assert book.records.parts[bracket].fasteners[0].away == 0
    sound(book)


async def found_and_explained(driver: ScreenDriver) -> None:
    """A bolt on the floor, in two keys from anywhere; it was of another machine."""
    book = driver.app.book
    await driver.press("ctrl+q")
    await driver.write("M6 bolt 20 long, bench floor")
    assert "Bracket" in driver.shown
    await driver.press("enter")
    (item,) = book.records.loose.values()
    assert (item.what, item.where) == ("M6 bolt 20 long", "bench floor")
    assert [one.id for one in machine_count(book.records, "A").loose] == [1]
    await open_away(driver, LEFT)
    await driver.press("enter")
    await driver.write("of the mower")
    await driver.press("enter")
    assert book.records.loose["1"].explained == "of the mower"
    assert not machine_count(book.records, "A").loose


async def sent_lost_finished_tried_on(
    driver: ScreenDriver, bracket: str, cover: str, cylinder: str
) -> None:
    """One goes to the machinist and comes back, one is lost and found, one is painted with its
    threads kept bare, and tried on, which is no last fit."""
    book = driver.app.book

    def part(code: str) -> Part:
        return book.records.parts[code]

    await driver.scan(cylinder)
    await driver.press("ctrl+u")
    await driver.write("Weirside Works")
    await driver.press("enter")
    assert whereabouts(part(cylinder)) == "away"
    sound(book)
    await open_away(driver)
    await driver.press("h")
    assert whereabouts(part(cylinder)) == "here"

    await driver.scan(cover)
    await driver.press("ctrl+u", "ctrl+l")
    assert whereabouts(part(cover)) == "lost"
    sound(book)
    await driver.press("ctrl+u", "enter")
    assert whereabouts(part(cover)) == "here"

    await driver.scan(bracket)
    await driver.press("ctrl+y", "f")
    await driver.write("blasted")
    await driver.press("enter", "f")
    await driver.write("painted")
    await driver.press("tab")
    await driver.write("RAL 5014")
    await driver.press("tab")
    await driver.write("threads")
    await driver.press("ctrl+p", "f", "ctrl+o")
    done = part(bracket)
    assert [(one.what, one.at is not None) for one in done.finishes] == [
        ("blasted", True),
        ("painted", False),
    ]
    assert (done.finishes[1].with_what, done.finishes[1].masked) == ("RAL 5014", "threads")
    assert len(done.dry_fits) == 1
    assert done.fitted == "off"


async def twin_stack_pins_and_apart(driver: ScreenDriver, cylinder: str) -> None:
    """Its twin, what it is made of, its pins; then it is taken apart after all."""
    book = driver.app.book
    await driver.scan(cylinder)
    await driver.press("m", "ctrl+n")
    twin = book.records.parts[book.records.parts[cylinder].twin]
    assert (twin.position, twin.sits_how) == ("right", "nipple at 10 o'clock")
    await driver.scan(cylinder)
    await driver.press("m")
    await driver.write("from the nut: shim 0.3; cup 12.5")
    await driver.press("tab")
    await driver.write("piston; 2x cup seal; bleed nipple: 1x M6x10")
    await driver.press("tab")
    await driver.write("1 BN stop switch; 2 BK earth")
    await driver.press("enter")
    now = book.records.parts[cylinder]
    assert now.stack is not None
    assert now.wiring is not None
    assert now.together
    assert [one.name for one in now.own_parts] == ["piston", "cup seal", "bleed nipple"]
    assert "12.8 mm together" in driver.shown
    sound(book)
    parts, before = len(book.records.parts), machine_count(book.records, "A").fasteners_out
    await driver.press("m", "ctrl+o")
    assert len(book.records.parts) == parts + 3
    assert machine_count(book.records, "A").fasteners_out == before + 1
    sound(book)


async def wrong_one_and_reuse(driver: ScreenDriver, bracket: str) -> None:
    """The wrong one came and went back; while the right one is on order the old one turns out to be
    good, and the order is kept for the drawer."""
    book = driver.app.book
    await driver.scan(bracket)
    await driver.press("ctrl+y", "r", "f6", "o")
    await driver.write("spares circle")
    await driver.press("enter", "w")
    await driver.write("right-hand one")
    await driver.press("enter", "w", "enter", "w", "ctrl+o")
    (want,) = book.records.wants.values()
    (wrong,) = want.wrong
    assert (wrong.what, wrong.settled) == ("right-hand one", "replaced")
    assert wrong.sent_back is not None
    await driver.press("p", "ctrl+y", "u")
    assert "on order" in driver.shown
    await driver.press("k")
    assert book.records.parts[bracket].verdict == "reuse"
    assert book.records.wants["1"].parts == ()
    assert book.records.wants["1"].ordered is not None
