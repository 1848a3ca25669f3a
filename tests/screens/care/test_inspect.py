"""Inspect: what to look for, readings against limits, a proposal, and the person's verdict."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations import care
from tagbench.book.operations.strip import remove
from tagbench.screens.care.inspect import InspectScreen
from tests.screens.dirty import dirty_table, steps
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


@pytest.fixture
def codes(empty: Book) -> dict[str, str]:
    """Name → code of the parts on the table."""
    return dirty_table(empty)


def flat(driver: ScreenDriver) -> str:
    """What is shown, without line breaks."""
    return " ".join(driver.shown.split())


async def test_it_says_what_to_look_for_by_kind(empty: Book, codes: dict[str, str]) -> None:
    """As common practice, with the usual reading and its limit."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter")
        assert "lining thickness at both ends" in driver.shown
        assert "common practice" in driver.shown
        assert "at least 2 mm" in driver.shown
        assert "Treat old linings as asbestos" in driver.shown


async def test_a_worn_lining_proposes_replace_and_the_person_decides(
    empty: Book, codes: dict[str, str]
) -> None:
    """2 mm on small drums (common practice, no source); 1.8 mm is past it."""
    shoe = codes["brake shoe"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "enter")
        assert driver.field("what") == "lining thickness"
        await driver.write("1,8; 2,3 mm")
        assert "= Worn: 0.2 mm past the limit." in driver.shown
        await driver.press("enter")
        assert "Proposed: replace" in driver.said
        assert empty.records.parts[shoe].verdict == "undecided"
        (reading,) = empty.records.parts[shoe].readings
        assert (reading.values, reading.low, reading.at) == ((1.8, 2.3), 2.0, empty.now())
        await driver.press("u")
        assert empty.records.parts[shoe].verdict == "reuse"
        assert "is proposed for replacing" in driver.said


async def test_the_tool_may_be_off(empty: Book, codes: dict[str, str]) -> None:
    """Within its uncertainty of the limit the reading is marginal, and nothing is proposed."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "enter")
        await driver.write("2.03 mm")
        await driver.fill(uncertainty="0.05")
        assert "= Marginal" in driver.shown
        await driver.press("enter")
        assert "No proposal" in flat(driver)


async def test_several_readings_and_something_else(empty: Book, codes: dict[str, str]) -> None:
    """The last row measures what is not listed; Delete takes a reading off again."""
    shoe = codes["brake shoe"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "end", "enter")
        await driver.fill(what="width", values="20.1 mm", low="20", high="21")
        await driver.press("enter")
        assert [r.what for r in empty.records.parts[shoe].readings] == ["width"]
        assert "Good: 0.1 mm left" in driver.shown
        await driver.press("home", "delete")
        assert empty.records.parts[shoe].readings == ()


async def test_what_cannot_be_is_refused_and_stays_in_the_form(
    empty: Book, codes: dict[str, str]
) -> None:
    """Words for figures; limits the wrong way round; no name."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "end", "enter")
        await driver.fill(values="thin")
        await driver.press("enter")
        assert "is not a reading" in driver.said
        assert driver.field("values") == "thin"
        await driver.press("ctrl+u")
        await driver.write("2 mm")
        await driver.press("enter")
        assert "Say what is measured" in driver.said
        await driver.fill(low="3", high="2")
        await driver.press("shift+tab", "shift+tab", "shift+tab")
        await driver.write("width")
        await driver.press("enter")
        assert "is above the largest" in driver.said
        assert not empty.records.parts[codes["brake shoe"]].readings


async def test_the_care_keys_work_here_too(empty: Book, codes: dict[str, str]) -> None:
    """On this part alone, and the heading says so."""
    care.tick_off(empty, [codes["chain"]], "degreased", with_what="kerosene")
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "d", "i", "r")
        assert steps(empty, codes["brake shoe"]) == ["degreased", "inspected"]
        assert steps(empty, codes["brake cam"]) == []
        assert "degreased with kerosene, 3 Nov 2025; inspected, 3 Nov 2025; replace" in driver.shown
        await driver.press("b")
        assert "undecided" in driver.shown


async def test_one_goes_on_to_the_next_part_of_the_list(empty: Book, codes: dict[str, str]) -> None:
    """With the arrows, to its ends; a scan turns to any part."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "right")
        assert codes["brake cam"] in driver.shown
        await driver.press("left", "left")
        assert driver.said == "That was the first part of the list."
        await driver.scan(codes["chain"])
        assert driver.at(InspectScreen).code == codes["chain"]
        assert steps(empty, codes["chain"]) == []


async def test_the_kind_can_be_said(empty: Book, codes: dict[str, str]) -> None:
    """When the name does not tell; and left to the name again."""
    gasket = codes["cover gasket"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "end", "enter", "k")
        await driver.write("oil se")
        await driver.press("enter")
        assert empty.records.parts[gasket].kind == "oil seal"
        assert "hardened or nicked lip" in driver.shown
        await driver.press("k", "ctrl+r")
        assert empty.records.parts[gasket].kind == ""


async def test_part_numbers_are_followed_to_the_one_to_order(
    empty: Book, codes: dict[str, str]
) -> None:
    """However they are typed; superseded twice; the same part elsewhere is recognised."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "down", "down", "enter", "n", "enter")
        assert driver.field("number") == "35-0300"
        await driver.write("35-0301")
        await driver.press("enter")
        assert "order 35-0301 (35-0300 → 35-0301)" in driver.shown
        await driver.press("ctrl+n")
        await driver.fill(number="35 0301", by="35 0417")
        await driver.press("enter")
        assert "order 35 0417 (35-0300 → 35-0301 → 35 0417)" in driver.shown
        await driver.press("escape", "right", "n")
        await driver.fill(number="350417")
        await driver.press("enter")
        assert f"the same part: chain {codes['chain']}" in flat(driver)


async def test_a_loop_of_supersession_is_refused(empty: Book, codes: dict[str, str]) -> None:
    """Spelled out; the form stays as it was typed."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "down", "down", "enter", "n", "enter")
        await driver.write("35-0301")
        await driver.press("enter", "ctrl+n")
        await driver.fill(number="35-0301", by="35-0300")
        await driver.press("enter")
        assert "run in a loop" in driver.said
        assert driver.field("by") == "35-0300"
        assert len(empty.records.parts[codes["chain"]].part_numbers) == 1


async def test_an_obsolete_number_has_a_substitute_that_differs(
    empty: Book, codes: dict[str, str]
) -> None:
    """And what differs is said where it is ordered; a number can be taken off."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "down", "down", "enter", "n", "enter")
        await driver.press("shift+tab", "ctrl+u")
        await driver.write("obsolete")
        await driver.press("enter")
        assert "is obsolete and no substitute is known" in driver.shown
        await driver.press("ctrl+n")
        await driver.fill(number="AB 12")
        await driver.press("tab", "ctrl+u")
        await driver.write("substitute")
        await driver.fill(differs="two links longer")
        await driver.press("enter")
        assert "order AB 12, a substitute for 35-0300: two links longer" in flat(driver)
        await driver.press("end", "ctrl+r")
        assert len(empty.records.parts[codes["chain"]].part_numbers) == 1


async def test_a_gasket_to_make_shows_its_cut_list_and_punches(
    empty: Book, codes: dict[str, str]
) -> None:
    """As one types; made, it is here; nothing is bought."""
    gasket = codes["cover gasket"]
    async with at_the_bench(empty, LARGE) as driver:
        await driver.press("f5", "end", "enter", "r")
        assert len(empty.records.wants) == 1
        await driver.press("g")
        await driver.fill(material="gasket paper", thickness="0,5", size="120 x 80", holes="4x M6")
        assert "4 holes 6.6 mm (M6x1): punch 7 mm, transfer punch 6.5 mm" in driver.shown
        await driver.press("enter")
        assert not empty.records.wants
        assert "gasket paper 0.5 mm, 120 x 80 mm" in driver.shown
        await driver.press("g", "ctrl+o")
        assert empty.records.parts[gasket].replacement == "here"
        await driver.press("g", "ctrl+r")
        assert empty.records.parts[gasket].make is None


async def test_a_gasket_without_measures_is_refused(empty: Book, codes: dict[str, str]) -> None:
    """In a sentence that says what is missing."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "end", "enter", "g", "enter")
        assert "Say what it is cut from" in driver.said
        await driver.press("ctrl+o")
        assert "Write its measures down first" in driver.said


async def test_a_part_taken_away_meanwhile_is_said_so(empty: Book, codes: dict[str, str]) -> None:
    """And no key does any harm."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "enter")
        remove(empty, codes["brake cam"])
        driver.app.book_changed()
        await driver.settle()
        assert "was taken away" in driver.shown
        await driver.press("d", "g", "k", "n", "delete", "s", "b")
        assert "Choose a part first" in driver.said
