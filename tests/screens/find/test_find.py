"""Find: as one types, best first, with where it is."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.rows import Rows
from tests.screens.driver import ScreenDriver, at_the_bench


def found(hands: ScreenDriver) -> list[str]:
    """The names that were found, best first."""
    return [answer.part.name for answer in hands.screen.query_one("#answers", Rows).items]


async def test_half_remembered_words_find_the_screws(brake: Book) -> None:
    """A number word, a slip of the finger, another order."""
    async with at_the_bench(brake) as hands:
        await hands.press("f3")
        await hands.write("plate bakcing four screws")
        assert found(hands)[0] == "backing plate screws"
        assert "→ in Bag 7, in Box 2, on Shelf A" in hands.shown


async def test_the_arrows_choose_while_the_field_keeps_the_focus(brake: Book) -> None:
    """Down, then Enter opens the second answer."""
    async with at_the_bench(brake) as hands:
        await hands.press("f3")
        await hands.write("backing plate")
        second = found(hands)[1]
        await hands.press("down", "enter")
        assert brake.records.parts[hands.at(PartScreen).code].name == second


async def test_what_was_just_written_down_is_found(brake: Book) -> None:
    """The answers follow the book."""
    async with at_the_bench(brake) as hands:
        await hands.press("f3")
        await hands.write("kick start lever")
        assert "kick start lever" not in found(hands)
        strip(brake, StripForm(name="kick start lever"))
        hands.app.book_changed()
        await hands.settle()
        assert found(hands)[0] == "kick start lever"


async def test_nothing_found_is_said(brake: Book) -> None:
    """With a way on."""
    async with at_the_bench(brake) as hands:
        await hands.press("f3")
        await hands.write("zzzzqqq")
        assert "Try fewer words" in hands.shown


async def test_an_assembly_of_the_bench_is_looked_for(brake: Book) -> None:
    """Enter on a bar of the bench."""
    async with at_the_bench(brake) as hands:
        await hands.tab_to("assemblies")
        await hands.press("enter")
        assert hands.at(FindScreen)
        assert hands.field("words") == "Front wheel"
        assert len(found(hands)) == 3
