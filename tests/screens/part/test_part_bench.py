"""Part: its torques on the person's wrench, how it goes back on, what to have on the bench.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.machines import edit_machine
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.records import Part, Units, replace
from tagbench.screens.build.lay_out import LayOutDialog
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.wrench import WrenchDialog
from tagbench.screens.widgets.facts import wrapped
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import ScreenDriver, at_the_bench

TALL = (120, 90)
"""So many columns and lines that the whole page is in sight."""
AXLE = "castle nut M12x1.25 + cotter pin, 43-58 lbf·ft [manual p. 12]"


@pytest.fixture
def axle(brake: Book) -> Part:
    """An axle with a castle nut, in the brake's assembly."""
    form = StripForm(name="axle", assembly="Front wheel / Brake", fasteners=parse_fasteners(AXLE))
    return strip_part(brake, form)


async def look_at(driver: ScreenDriver, part: Part) -> str:
    """Opens a part with the scanner; the page in one line."""
    await driver.scan(part.code)
    driver.at(PartScreen)
    return words(driver)


def words(driver: ScreenDriver) -> str:
    """What is shown, without line breaks and gaps."""
    return " ".join(driver.shown.split())


async def test_the_torque_is_in_the_persons_unit(brake: Book, axle: Part) -> None:
    """43 to 58 lbf·ft are 58.3 to 78.6 N·m (NIST SP 811); as the manual has it stands first."""
    async with at_the_bench(brake, TALL) as driver:
        shown = await look_at(driver, axle)
        assert "castle nut M12x1.25: 43–58 lbf·ft (58.3–78.6 N·m, manual p. 12)" in shown
    edit_machine(brake, "TP", units=Units(torque="lbf·ft"))
    async with at_the_bench(brake, TALL) as driver:
        assert "castle nut M12x1.25: 43–58 lbf·ft (manual p. 12)" in await look_at(driver, axle)


async def test_an_extension_changes_what_the_wrench_is_set_to(brake: Book, axle: Part) -> None:
    """400 mm with 100 mm on it: 4/5 of the torque (US Army TM 9-254 ch. 4); for this part alone."""
    async with at_the_bench(brake, TALL) as driver:
        await look_at(driver, axle)
        await driver.press("ctrl+w")
        driver.at(WrenchDialog)
        await driver.fill(scale="20-100 N·m", wrench="400 mm", extension="100 mm")
        await driver.press("enter")
        shown = words(driver)
        assert "Set the wrench to 46.6–62.9 N·m" in shown
        assert "best part of the scale" in shown
        assert "With a 400 mm wrench with a 100 mm extension straight on" in shown
        await driver.scan(min(brake.records.parts))
        await driver.scan(axle.code)
        assert "Set the wrench" not in words(driver)
    assert brake.records.machines["TP"].wrench_high == 100


async def test_the_castle_nut_is_said_in_order(brake: Book, axle: Part) -> None:
    """AC 43.13-1B 7-40 and 7-127: low, on to the slot, never over, never back, a new pin."""
    edit(brake, axle.code, note="the nut clamps the spindle")
    async with at_the_bench(brake, TALL) as driver:
        shown = (await look_at(driver, axle)).partition("Going back on")[2]
        steps = [
            "Begin at the low figure, 58.3 N·m",
            "Never go beyond the high figure, 78.6 N·m",
            "Never turn the nut back",
            "Fit a new cotter pin 3.2x22",
            "Follow the maker's manual and local rules",
            "On the bench",
            "spanner 18 mm",
            "pliers",
            "torque wrench",
        ]
        places = [shown.index(step) for step in steps]
        assert places == sorted(places)


async def test_what_is_fitted_and_torqued_says_only_what_was_given(brake: Book, axle: Part) -> None:
    """The way there is behind it."""
    (nut,) = axle.fasteners
    with brake.change("fitted") as transaction:
        lines = (replace(nut, torqued=50.0, back=1),)
        transaction.put(replace(axle, fasteners=lines, fitted="fitted"))
    async with at_the_bench(brake, TALL) as driver:
        shown = await look_at(driver, axle)
        assert "torqued to 50 lbf·ft" in shown
        assert "Going back on" not in shown
        assert "On the bench" not in shown


async def test_a_part_without_torques_has_no_such_sections(brake: Book) -> None:
    """The drum has no fasteners at all."""
    async with at_the_bench(brake, TALL) as driver:
        shown = await look_at(driver, brake.records.parts_of("TP")[0])
        for heading in ("Torque", "Going back on", "On the bench"):
            assert heading not in shown


async def test_single_use_and_thread_lock_are_noted(brake: Book) -> None:
    """Common practice, no source."""
    fasteners = parse_fasteners("2x M8x20 hex + thread lock; M6x20 hex + lock washer")
    part = strip_part(brake, StripForm(name="bracket", fasteners=fasteners))
    async with at_the_bench(brake, TALL) as driver:
        shown = await look_at(driver, part)
        assert "Thread lock: degrease both threads" in shown
        assert "Fit a new lock washer for M6x1" in shown


async def test_the_bench_is_laid_out_for_the_whole_assembly(brake: Book, axle: Part) -> None:
    """The screws of the backing plate come along; a part without assembly stands alone."""
    async with at_the_bench(brake, TALL) as driver:
        await look_at(driver, axle)
        await driver.press("ctrl+a")
        driver.at(LayOutDialog)
        shown = words(driver)
        assert "Lay out for Front wheel / Brake" in shown
        assert "slot 1.2 mm" in shown
        assert "backing plate screws" in shown
        await driver.press("escape")
    alone = strip_part(brake, StripForm(name="odd bolt", fasteners=parse_fasteners("M8x20 hex")))
    async with at_the_bench(brake, TALL) as driver:
        await look_at(driver, alone)
        await driver.press("ctrl+a")
        assert "Lay out for odd bolt" in driver.shown
        assert "slot 1.2 mm" not in driver.shown


def test_what_is_wrapped_hangs_under_its_line() -> None:
    """So that each number stands alone at the edge."""
    first, *behind = (piece.plain for piece in wrapped(["  1. " + "word " * 20], 40))
    assert first.startswith("    1. word")
    assert behind
    assert all(piece.startswith("      word") for piece in behind)
