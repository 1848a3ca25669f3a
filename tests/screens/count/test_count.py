"""Count: every kind of open line is named, put right from there, or closed with a reason."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.settings import measure
from tagbench.book.operations.strip import edit
from tagbench.records import replace
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.count import HEADINGS
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.count.closing import ClosingDialog
from tagbench.screens.count.screen import CountScreen
from tagbench.screens.find.bin import BinScreen
from tagbench.screens.settings.cards import MeasureDialog
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import Clutch, clutch


@dataclass
class Built:
    """The book with the clutch back on, and its codes."""

    book: Book
    codes: Clutch


@pytest.fixture
def built(empty: Book) -> Built:
    """Everything on and torqued, the washer renewed, the setting measured: a clean count."""
    codes = clutch(empty)
    fit_part(empty, codes.hub, FitForm(torqued={1: 44}, renewed=(2,)))
    fit_part(empty, codes.inner)
    fit_part(empty, codes.cover, FitForm(torqued={1: 8}))
    fit_part(empty, codes.lever, FitForm(torqued={1: 22}))
    measure(empty, 1, "4 mm")
    return Built(empty, codes)


def open_keys(book: Book) -> list[str]:
    """The names of the open lines."""
    return [line.key for line in open_lines(machine_count(book.records, "TP"))]


async def to_line(driver: ScreenDriver, words: str) -> None:
    """Moves the cursor down to a line."""
    for _ in range(30):
        here = next((line for line in driver.shown.splitlines() if line.startswith("  ▸ ")), "")
        if words in here:
            return
        await driver.press("down")
    raise AssertionError(f"{words} is not in the list:\n{driver.shown}")


async def test_a_clean_count_says_so_and_closes(built: Built) -> None:
    """C, then Enter; afterwards the day stands there."""
    async with at_the_bench(built.book) as driver:
        await driver.press("f8")
        assert "4 parts = 4 on + 0 off" in driver.shown
        assert "8 fasteners out = 8 back + 0 in the bag + 0 lost" in driver.shown
        assert "Nothing missing, nothing left over. C closes" in driver.shown
        await driver.press("c")
        assert "Nothing missing, nothing left over." in driver.shown
        await driver.press("enter")
        assert built.book.records.machines["TP"].closed is not None
        assert "closed on 3 Nov 2025" in driver.shown


async def test_a_closed_machine_is_opened_again_after_a_question(built: Built) -> None:
    """C on a closed one."""
    async with at_the_bench(built.book) as driver:
        await driver.press("f8", "c", "enter", "c")
        assert "Open it again?" in driver.shown
        await driver.press("enter")
        assert built.book.records.machines["TP"].closed is None


def every_kind_open(built: Built) -> None:
    """Leaves something of each kind open."""
    book, codes = built.book, built.codes
    hub = book.records.parts[codes.hub]
    nut, washer = hub.fasteners
    changed = (replace(nut, torqued=60.0), replace(washer, renewed=False))
    edit(book, codes.hub, fasteners=changed, fitted="fitted")
    fit_part(book, codes.hub, FitForm(torqued={1: 60}, anyway=True, why="bulletin"))
    inner = book.records.parts[codes.inner].fasteners
    edit(book, codes.inner, fasteners=(replace(inner[0], back=1),))
    edit(book, codes.inner, verdict="replace", replacement="here", old_piece="kept")
    missing_fasteners(book, codes.cover, {1: 1})
    cover = book.records.parts[codes.cover].fasteners
    edit(book, codes.cover, fasteners=(replace(cover[0], torqued=None),))
    edit(book, codes.lever, fitted="snug")
    measure(book, 1, "6 mm")


async def test_every_kind_of_open_line_stands_under_its_heading(built: Built) -> None:
    """Lost, in the bag, only snug, torque, single-use, setting, overruled, old piece."""
    every_kind_open(built)
    count = machine_count(built.book.records, "TP")
    kinds = {line.key.partition(":")[0] for line in open_lines(count)}
    assert kinds == set(HEADINGS) - {"off", "over", "away", "found"}
    async with at_the_bench(built.book, LARGE) as driver:
        await driver.press("f8")
        for kind in kinds:
            assert HEADINGS[kind] in driver.shown
        assert "6 mm, over the range of 3-5 mm" in driver.shown


@pytest.mark.sampled(4)
@pytest.mark.parametrize(
    ("words", "card"),
    [
        ("1 lost of 3x M6x1x25", FitDialog),
        ("1 in the bag of 2x M5", FitDialog),
        ("is only snug", FitDialog),
        ("no torque noted", FitDialog),
        ("not renewed, tab washer", FitDialog),
        ("60 N·m is over the range", FitDialog),
        ("clutch free play", MeasureDialog),
    ],
)
async def test_a_line_leads_to_where_it_is_put_right(
    built: Built, words: str, card: type[FitDialog | MeasureDialog]
) -> None:
    """Enter on it."""
    every_kind_open(built)
    async with at_the_bench(built.book, (80, 40)) as driver:
        await driver.press("f8")
        await to_line(driver, words)
        await driver.press("enter")
        driver.at(card)


async def test_lines_are_put_right_one_after_the_other(built: Built) -> None:
    """The bag by fitting again, the setting by measuring, the old piece by saying it is gone."""
    every_kind_open(built)
    async with at_the_bench(built.book, (80, 40)) as driver:
        await driver.press("f8")
        await to_line(driver, "1 in the bag of 2x M5")
        await driver.press("enter", "f")
        await to_line(driver, "clutch free play")
        await driver.press("enter")
        await driver.write("4")
        await driver.press("enter")
        await to_line(driver, "is still about")
        await driver.press("enter")
        assert "So far: still about." in driver.shown
        await driver.press("enter")
        left = open_keys(built.book)
        for key in (f"bag:{built.codes.inner}/1", "setting:1", f"old:{built.codes.inner}"):
            assert key not in left


async def test_a_long_kind_is_folded_so_that_it_hides_no_other(empty: Book) -> None:
    """Nine parts off are one line until Enter unfolds them."""
    from tagbench.book.operations.strip import StripForm, strip_part

    clutch(empty)
    for number in range(5):
        strip_part(empty, StripForm(name=f"dowel {number}"))
    async with at_the_bench(empty) as driver:
        await driver.press("f8")
        assert "+ Off the machine   (9)" in driver.shown
        assert "dowel 1" not in driver.shown
        await driver.press("end", "enter")
        assert "dowel 1" in driver.shown


async def test_fasteners_by_thread_add_up(empty: Book) -> None:
    """Out = back + in the bag + lost, for each thread."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    missing_fasteners(empty, codes.cover, {1: 1})
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "right")
        line = next(line for line in driver.shown.splitlines() if "M6x1" in line)
        assert line.split() == ["M6x1", *["3", "out", "0", "back", "2", "in", "bag", "1", "lost"]]


async def test_bags_that_are_not_empty_are_listed_and_opened(empty: Book) -> None:
    """Enter shows what is inside."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "left")
        assert "in Box 2, on Shelf A" in driver.shown
        await driver.press("enter")
        driver.at(BinScreen)


async def test_which_part_misses_an_m6x25(empty: Book) -> None:
    """By its name; Enter opens the card of the part."""
    codes = clutch(empty)
    missing_fasteners(empty, codes.cover, {1: 1})
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "f")
        await driver.write("M6x25")
        assert "1 part line is missing one" in driver.shown
        assert "1 lost, 2 in the bag; agrees" in driver.shown
        await driver.press("enter")
        assert driver.at(FitDialog).code == codes.cover


async def test_which_part_misses_one_by_measurement(empty: Book) -> None:
    """5.9 mm across and 1 mm pitch is an M6: 5.974 to 5.794 mm at 6g (ISO 965-2:1998, table 1)."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "f")
        await driver.fill(across="5.9", pitch="1 mm", length="25")
        assert f"fits   {codes.cover}   Outer cover" in driver.shown


async def test_what_is_no_fastener_is_said_so(empty: Book) -> None:
    """While one types; Enter opens nothing."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "f")
        await driver.write("M99")
        assert "likeliest first" not in driver.shown
        await driver.press("enter")
        assert "No part is missing it" in driver.said


async def test_closing_wants_a_reason_for_each_open_line(built: Built) -> None:
    """Refused and named until each has one; then they are written down."""
    missing_fasteners(built.book, built.codes.cover, {1: 1})
    measure(built.book, 1, "6 mm")
    async with at_the_bench(built.book) as driver:
        await driver.press("f8", "c")
        assert "2 of 2 open lines still need a written reason." in driver.shown
        await driver.press("enter")
        assert "Write in a word or two" in driver.said
        await driver.write("bought a longer one")
        await driver.press("enter", "ctrl+f")
        assert "1 open line is in the way of closing" in driver.said
        await driver.write("new plates")
        await driver.press("enter", "ctrl+f")
        driver.at(CountScreen)
        machine = built.book.records.machines["TP"]
        assert machine.closed is not None
        assert machine.closed_with == {
            f"lost:{built.codes.cover}/1": "bought a longer one",
            "setting:1": "new plates",
        }


async def test_one_reason_serves_for_all_that_are_left(empty: Book) -> None:
    """Sold as it is: all the rest at once."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "c")
        await driver.write("sold as it is")
        await driver.press("ctrl+r", "ctrl+f")
        written = empty.records.machines["TP"].closed_with
        assert set(written.values()) == {"sold as it is"}
        assert len(written) == 5


async def test_reasons_outlast_the_card(built: Built) -> None:
    """Escape closes it; what was written is there the next time."""
    missing_fasteners(built.book, built.codes.cover, {1: 1})
    async with at_the_bench(built.book) as driver:
        await driver.press("f8", "c")
        await driver.write("on the way")
        await driver.press("enter", "escape", "c")
        driver.at(ClosingDialog)
        assert "Every open line has its reason." in driver.shown
        assert "on the way" in driver.shown


async def test_a_replaced_part_leaves_its_old_piece_in_the_count(empty: Book) -> None:
    """Until it is gone."""
    codes = clutch(empty)
    tick_off(empty, [codes.hub], "replace")
    edit(empty, codes.hub, old_piece="kept")
    async with at_the_bench(empty) as driver:
        await driver.press("f8")
        assert "Old pieces still about   (1)" in driver.shown


async def test_threads_that_are_mixed_up_are_warned_of(empty: Book) -> None:
    """M5x0.8 and #10-32 UNF start in each other's holes: 4.826 mm against 5 mm (ASME B1.1)."""
    from tagbench.book.operations.strip import StripForm, strip_part
    from tagbench.trade.fasteners.text import parse_fasteners

    clutch(empty)
    strip_part(
        empty, StripForm(name="magneto cover", fasteners=parse_fasteners("3x #10-32 x 5/8 pan"))
    )
    async with at_the_bench(empty) as driver:
        await driver.press("f8", "right")
        assert "Take care: M5x0.8 and #10-32 UNF" in driver.shown
