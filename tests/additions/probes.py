"""Asked of a copy of the program to which six things were added: does it know them everywhere?

Run by `test_additions.py` inside the copy; of the program itself they would all fail.
"""

from __future__ import annotations

import sys
from pathlib import Path

from textual.widgets import Static

from tagbench.book import Book
from tagbench.screens.app.help import sections
from tagbench.screens.care.screen import CleanScreen
from tagbench.screens.care.steps import StepDialog
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.shared.report import ReportDialog
from tests.commands.conftest import Tagbench, tagbench
from tests.phone.conftest import Codes, PhoneClient, bench, book, codes, folder, limits, phone
from tests.screens.conftest import brake, empty
from tests.screens.driver import at_the_bench

__all__ = [
    "bench",
    "book",
    "brake",
    "codes",
    "empty",
    "folder",
    "limits",
    "phone",
    "tagbench",
]
"""The fixtures."""


def test_the_copy_is_asked() -> None:
    """And not the program beside it."""
    assert Path(str(sys.modules["tagbench"].__file__)).parents[1] == Path.cwd()


def a_drum(tagbench: Tagbench, fasteners: str = "4x M5x0.8x12 pan") -> str:
    """A machine with one part; its code."""
    tagbench("machine", "add", "Tarnbrook Packman", "--mark", "TP")
    told = tagbench(
        "strip", "brake drum", "--from", "Front wheel / Brake", "--fasteners", fasteners
    )
    assert told.code == 0, told.err
    return "TP-001-" + told.out.split("TP-001-")[1][0]


# The care step


def test_a_care_step_is_marked_by_command(tagbench: Tagbench) -> None:
    """Marked, shown, counted in its list, named by the help and in a refusal."""
    drum = a_drum(tagbench)
    assert "to polish 1" in tagbench("care").out
    told = tagbench("mark", drum, "polished", "--with", "metal polish")
    assert (told.code, "polished with metal polish" in told.out) == (0, True)
    assert "to polish 0" in tagbench("care").out
    assert f"{drum}  · · · H  brake drum" in tagbench("care").out
    assert "polished" in tagbench("mark", "--help").out
    assert "polished" in tagbench("mark", drum, "painted").err
    assert "polished with metal polish" in tagbench("show", drum).out


async def test_a_care_step_has_its_key_on_the_screen(brake: Book) -> None:
    """Its key marks it, the key bar and the help name it, and it has its list."""
    async with at_the_bench(brake) as driver:
        await driver.press("f5")
        clean = driver.at(CleanScreen)
        assert "To polish 3" in driver.shown
        await driver.press("down", "h")
        assert driver.at(StepDialog).step == "polished"  # nothing was used before, so it asks
        await driver.press("enter")
        marked = [part for part in brake.records.parts.values() if part.care]
        assert [part.care[0].step for part in marked] == ["polished"]
        assert "Polished" in [action.description for action in next(sections(clean)).actions]


async def test_a_care_step_is_ticked_on_the_phone(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    """Offered with its substance, and written down."""
    page = await phone.page(f"/{codes.shoes}")
    assert "Tick: polished" in page
    assert "metal polish" in page
    await phone.send(f"/{codes.shoes}/care", step="polished", with_what="metal polish")
    assert [step.step for step in book.records.parts[codes.shoes].care] == ["polished"]
    assert "✓ polished with metal polish" in await phone.page(f"/{codes.shoes}")


# The kind of setting


async def test_a_kind_of_setting_is_read_and_converted(tagbench: Tagbench) -> None:
    """Typed in one unit, measured in another, and told in the count."""
    a_drum(tagbench)
    assert tagbench("settings", "add", "plug cap", "4-6 kohm").code == 0
    assert "plug cap" in tagbench("count").out
    told = tagbench("settings", "measure", "1", "5200 ohms")
    assert "5.2 kΩ, inside" in told.out
    assert "inside" in tagbench("settings").out
    assert "kΩ" in tagbench("settings", "measure", "1", "3 mm").err


async def test_a_kind_of_setting_on_the_phone_and_the_screen(
    phone: PhoneClient, book: Book
) -> None:
    """The page measures it in another unit; the screen says where it would stand."""
    from tagbench.book.operations.settings import SettingForm, add_setting
    from tagbench.screens.settings.cards import MeasureDialog

    add_setting(book, SettingForm(what="plug cap", range="4-6 kohm", mark="TP"))
    assert "plug cap" in await phone.page("/settings")
    async with at_the_bench(book) as driver:
        await driver.press("f9", "down", "enter")
        card = driver.at(MeasureDialog)
        await driver.write("7000 ohm")
        assert "over the range" in str(card.query_one("#measure-says", Static).render())


# The head of a fastener


async def test_a_head_is_read_spelled_found_and_turned(tagbench: Tagbench) -> None:
    """Read from its words, spelled, found, counted, and a driver is laid out for it."""
    drum = a_drum(tagbench, "3x M5x0.8x12 pancake head")
    assert "pancake" in tagbench("show", drum).out
    assert drum in tagbench("find", "pancake").out
    assert "3 fasteners out = 0 back + 3 in the bag" in tagbench("count").out
    tagbench("mark", drum, "degreased")
    tagbench("mark", drum, "reuse")
    assert "screwdriver" in tagbench("report", "build").out
    from tagbench.trade.torque.safety import danger_of

    assert danger_of("pancake head") is None


async def test_a_head_is_typed_on_the_phone(phone: PhoneClient, codes: Codes, book: Book) -> None:
    """Written down, and shown on the page of the part."""
    await phone.send(f"/{codes.shoes}/fasteners", fasteners="3x M5x0.8x12 pancake")
    assert book.records.parts[codes.shoes].fasteners[0].head == "pancake"
    assert "pancake" in await phone.page(f"/{codes.shoes}")


# Report, screen, command


async def test_a_report_is_written_from_commands_and_screens(
    tagbench: Tagbench, brake: Book, tmp_path: Path
) -> None:
    """The command lists it; the card of the screens turns to it; the whole book too."""
    assert "weights" in tagbench("report", "--help").out
    async with at_the_bench(brake) as driver:
        await driver.press("f8", "p")
        card = driver.at(ReportDialog)
        titles = []
        for _ in range(20):
            titles.append(card.heading)
            await driver.press("ctrl+r")
        assert {"Weight sheet", "Whole book"} <= set(titles)


async def test_a_screen_is_gone_to_by_name_and_listed(brake: Book) -> None:
    """Help and the list under Ctrl+G have it."""
    async with at_the_bench(brake) as driver:
        await driver.app.go("weigh")
        await driver.settle()
        assert "the scales show nothing yet" in driver.shown
        await driver.press("f3")
        named = [action for one in sections(driver.at(FindScreen)) for action in one.actions]
        assert "Weigh" in [action.description for action in named]
        await driver.press("ctrl+g")
        await driver.write("weigh")
        assert "Weigh" in driver.shown


def test_a_command_is_run_and_listed(tagbench: Tagbench) -> None:
    """In its moment of the job."""
    assert "Put a part on the scales" in tagbench("--help").out
    assert "the scales show nothing yet" in tagbench("weigh").out
