"""Clean: lists by what is needed, many at once, one key for each step, by keys alone."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations import care
from tagbench.book.operations.away import lose
from tagbench.book.operations.building import fit_part
from tagbench.book.operations.strip import edit
from tagbench.records import replace
from tagbench.screens.care.inspect import InspectScreen
from tagbench.screens.care.screen import CleanScreen, where
from tagbench.screens.part.screen import PartScreen
from tests.screens.dirty import BRAKE, dirty_table, steps
from tests.screens.driver import ScreenDriver, at_the_bench


@pytest.fixture
def codes(empty: Book) -> dict[str, str]:
    """Name → code of the parts on the table."""
    return dirty_table(empty)


def under_cursor(driver: ScreenDriver) -> str:
    """The line the cursor is in."""
    return next(line for line in driver.shown.splitlines() if "▸ [" in line or "▸   " in line)


async def test_one_key_for_each_step(empty: Book, codes: dict[str, str]) -> None:
    """Degreased asks once with what; from then on a single key does."""
    shoe = codes["brake shoe"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "d")
        await driver.press("ctrl+u")
        await driver.write("water mist")
        await driver.press("enter")
        assert steps(empty, shoe) == ["degreased"]
        assert driver.said == f"Degreased: brake shoe {shoe}, with water mist."
        await driver.press("i", "u")
        part = empty.records.parts[shoe]
        assert (steps(empty, shoe), part.verdict) == (["degreased", "inspected"], "reuse")
        await driver.press("r")
        assert empty.records.parts[shoe].replacement == "wanted"
        assert "on the want list" in driver.said
        await driver.press("down", "d")
        assert empty.records.parts[codes["brake cam"]].care[0].with_what == "water mist"


async def test_each_step_has_its_day_and_stands_in_the_history(
    empty: Book, codes: dict[str, str]
) -> None:
    """And in the line beneath the list."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "i")
        assert empty.records.parts[codes["brake shoe"]].care[0].at == empty.now()
        assert (
            f"{codes['brake shoe']}: still dirty; inspected, 3 Nov 2025; undecided" in driver.shown
        )
        assert "inspected brake shoe" in empty.history(limit=1)[0].words


async def test_the_last_is_taken_back_step_by_step(empty: Book, codes: dict[str, str]) -> None:
    """One key for each step back."""
    shoe = codes["brake shoe"]
    care.tick_off(empty, [shoe], "degreased", with_what="kerosene")
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "i", "u", "b")
        assert empty.records.parts[shoe].verdict == "undecided"
        await driver.press("b")
        assert steps(empty, shoe) == ["degreased"]
        await driver.press("b", "b")
        assert "Nothing has been done" in driver.said


async def test_many_at_once_are_one_step(empty: Book, codes: dict[str, str]) -> None:
    """Space on a heading marks all under it; one undo takes all back."""
    care.tick_off(empty, [codes["chain"]], "degreased", with_what="kerosene")
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "up", "space")
        assert "2 selected; a key acts on all of them." in driver.shown
        before = empty.revision
        await driver.press("d")
        assert empty.revision == before + 1
        both = [codes["brake shoe"], codes["brake cam"]]
        assert [steps(empty, code) for code in both] == [["degreased"]] * 2
        assert driver.said == "Degreased: 2 parts, with kerosene."
        await driver.press("ctrl+t", "enter")
        assert [steps(empty, code) for code in both] == [[], []]


async def test_all_of_a_list_can_be_marked(empty: Book, codes: dict[str, str]) -> None:
    """M marks all, once more none; afterwards the marks are gone."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "m", "i")
        assert all(steps(empty, code) == ["inspected"] for code in codes.values())
        assert "[x]" not in driver.shown
        await driver.press("m", "m")
        assert "marked" not in driver.shown


async def test_the_lists_hold_what_they_say(empty: Book, codes: dict[str, str]) -> None:
    """The names of the lists with their counts; a part that is done leaves its list."""
    care.tick_off(empty, [codes["chain"]], "degreased", with_what="kerosene")
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        for words in ("▸All 5", "Still dirty 4", "Not inspected 5", "Undecided 5", "To lube 1"):
            assert words in driver.shown
        await driver.press("right")
        assert "▸Still dirty 4" in driver.shown
        assert codes["chain"] not in driver.shown
        await driver.press("d")
        assert f"[ ] {codes['brake shoe']}" not in driver.shown
        assert codes["brake cam"] in under_cursor(driver)
        await driver.press("left", "left")
        assert "▸Waiting 0" in driver.shown
        assert "No part is in this list." in driver.shown
        await driver.press("d")
        assert "Choose a part first" in driver.said


async def test_where_each_part_stands_is_said_in_words(empty: Book, codes: dict[str, str]) -> None:
    """And with marks, not with colour alone."""
    care.tick_off(empty, [codes["chain"]], "degreased", with_what="kerosene")
    care.tick_off(empty, [codes["chain"]], "inspected")
    care.tick_off(empty, [codes["rear sprocket"]], "replace")
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        lines = driver.shown.splitlines()
        chain = next(line for line in lines if codes["chain"] in line)
        assert "D I ·" in chain
        assert "undecided" in chain
        sprocket = next(line for line in lines if codes["rear sprocket"] in line)
        assert "replace, new one wanted" in sprocket
        assert "1 of 2 clean" in next(line for line in lines if "Chain drive" in line)


async def test_lubed_asks_with_what_then_remembers_for_that_kind(
    empty: Book, codes: dict[str, str]
) -> None:
    """What suits the kind is offered first; for several kinds it is asked again."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "l")
        assert driver.field("with") == "brake grease"
        await driver.press("enter")
        assert empty.records.parts[codes["brake cam"]].care[0].with_what == "brake grease"
        await driver.press("l")
        assert "Lubed: brake cam" in driver.said
        await driver.press("m", "l")
        assert driver.field("step") == "lubed"
        await driver.press("escape")
        assert "5 selected" in driver.shown


async def test_another_substance_and_day(empty: Book, codes: dict[str, str]) -> None:
    """Chosen from those offered, or typed; days that cannot be are refused and nothing is lost."""
    shoe = codes["brake shoe"]
    with empty.change("came off earlier") as transaction:
        part = transaction.records.parts[shoe]
        assert part.removed is not None
        transaction.put(replace(part, removed=part.removed.replace(month=10)))
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "w", "down")
        assert driver.field("with") == "water-based degreaser"
        await driver.fill(day="tomorrow")
        await driver.press("enter")
        assert "still to come" in driver.said
        await driver.press("ctrl+u")
        await driver.write("3.9.2025")
        await driver.press("enter")
        assert "came off on 3 Oct 2025" in driver.said
        await driver.press("ctrl+u")
        await driver.write("4.10.2025")
        await driver.press("enter")
        (step,) = empty.records.parts[shoe].care
        assert step.at is not None
        assert (step.with_what, f"{step.at:%Y-%m-%d}") == ("water-based degreaser", "2025-10-04")


async def test_the_card_knows_every_step(empty: Book, codes: dict[str, str]) -> None:
    """A verdict can be taken back; a word that is no step is refused."""
    shoe = codes["brake shoe"]
    care.tick_off(empty, [shoe], "reuse")
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "w")
        await driver.tab_to("step")
        await driver.press("ctrl+u")
        await driver.write("polished")
        await driver.press("enter")
        assert "cannot be marked" in driver.said
        await driver.press("ctrl+u")
        await driver.write("undecided")
        await driver.press("enter")
        assert empty.records.parts[shoe].verdict == "undecided"


async def test_soaking_since_when_and_how_long(empty: Book, codes: dict[str, str]) -> None:
    """In with tray, substance and hours; out clean, with what it soaked in."""
    shoe = codes["brake shoe"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "s", "ctrl+u")
        await driver.write("citrus cleaner")
        await driver.fill(tray="tray 2", hours="24", since="2 h ago")
        await driver.press("enter")
        assert "came off on 2025-11-03" not in driver.said
        assert "soaking 2 h, 22 h to go" in driver.shown
        assert "since 3 Nov 2025, 17:30" in " ".join(driver.shown.split())
        await driver.press("s", "enter")
        part = empty.records.parts[shoe]
        assert part.soak is None
        assert part.care[0].with_what == "citrus cleaner"


async def test_out_of_the_soak_not_yet_clean(empty: Book, codes: dict[str, str]) -> None:
    """It is as dirty as before; those that soak and those that do not are not mixed."""
    care.soak(empty, [codes["brake shoe"]], with_what="kerosene")
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "m", "s")
        assert "Some of these soak already" in driver.said
        await driver.press("m", "home", "down", "s", "ctrl+r")
        assert empty.records.parts[codes["brake shoe"]].soak is None
        assert steps(empty, codes["brake shoe"]) == []


async def test_hours_that_are_no_number_are_refused(empty: Book, codes: dict[str, str]) -> None:
    """One sentence; what was typed stays."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "s")
        await driver.fill(hours="long")
        await driver.press("enter")
        assert "“long” is not a number" in driver.said
        assert driver.field("hours") == "long"


async def test_the_cautions_stand_beneath_and_can_be_acknowledged(
    empty: Book, codes: dict[str, str]
) -> None:
    """For the part, its assembly and what comes next; seen once, they are said in brief."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        assert "! Treat old linings as asbestos" in driver.shown
        assert "Follow the maker's manual" in driver.shown
        await driver.press("c")
        assert "EPA, Current Best Practices" in " ".join(driver.shown.split())
        await driver.press("enter", "escape")
        driver.at(CleanScreen)
        assert "! Treat old linings" not in driver.shown
        await driver.press("c", "enter", "escape")
        assert "! Treat old linings" in driver.shown


async def test_a_part_on_the_machine_is_not_marked_dirty_or_replaced(
    empty: Book, codes: dict[str, str]
) -> None:
    """A clear sentence, and nothing of the many is marked."""
    cam = codes["brake cam"]
    care.tick_off(empty, [cam], "degreased")
    care.tick_off(empty, [cam], "reuse")
    fit_part(empty, cam)
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "m", "r")
        assert "the old one would stay in the machine" in driver.said
        assert not empty.records.wants
        await driver.press("m", "down", "b")
        assert empty.records.parts[cam].verdict == "reuse"
        assert "take it off" in driver.said


async def test_where_the_old_piece_went(empty: Book, codes: dict[str, str]) -> None:
    """Kept as a pattern, given back, thrown out; only of a part that is replaced, and what was
    thrown out cannot be kept."""
    shoe = codes["brake shoe"]
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "x")
        assert "there is no old piece" in driver.said
        await driver.press("r")
        for key, where in (("p", "pattern"), ("e", "exchanged"), ("enter", "gone")):
            await driver.press("x", key)
            assert empty.records.parts[shoe].old_piece == where
        await driver.press("x", "k")
        assert "cannot be kept" in driver.said
        await driver.press("escape")
        assert empty.records.parts[shoe].old_piece == "gone"


def test_what_is_lost_stands_in_no_bag(empty: Book, codes: dict[str, str]) -> None:
    """Its record still knows the bag for when it turns up."""
    shoe = codes["brake shoe"]
    edit(empty, shoe, bin="bag 7")
    assert where(empty.records.parts[shoe], empty.records) == "in bag 7"
    lose(empty, shoe)
    assert where(empty.records.parts[shoe], empty.records) == ""


async def test_a_scan_brings_the_part_under_the_cursor_and_marks_nothing(
    empty: Book, codes: dict[str, str]
) -> None:
    """The letters of the tag are no keys, whatever the scanner sends at the end."""
    for end in ("enter", "tab", ""):
        async with at_the_bench(empty) as driver:
            await driver.press("f5")
            before = empty.revision
            await driver.scan(codes["rear sprocket"], end=end)
            assert empty.revision == before
            driver.at(CleanScreen)
            assert codes["rear sprocket"] in under_cursor(driver)
            await driver.scan(f"HTTP://GARAGE.LOCAL:8017/{codes['brake cam']}", end=end)
            assert empty.revision == before
            assert codes["brake cam"] in under_cursor(driver)


async def test_a_scan_of_a_part_that_is_not_in_the_list_opens_the_list_of_all(
    empty: Book, codes: dict[str, str]
) -> None:
    """So the next key acts on what was scanned."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "left")
        await driver.scan(codes["chain"])
        assert "▸All 5" in driver.shown
        await driver.press("i")
        assert steps(empty, codes["chain"]) == ["inspected"]


async def test_letters_that_write_want_a_moment_each(empty: Book, codes: dict[str, str]) -> None:
    """Two keys in one breath are no hand's: nothing is written, and that is said."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        revision = empty.revision
        await driver.write("iu", gap=0.02)
        driver.clock.now += 1.0
        await driver.until(lambda: bool(driver.said))
        assert "one at a time" in driver.said
        assert empty.revision == revision
        await driver.press("i", "u")
        assert steps(empty, codes["brake shoe"]) == ["inspected"]


async def test_a_letter_acts_before_the_arrow_that_follows_it(
    empty: Book, codes: dict[str, str]
) -> None:
    """However quickly: it is the part that was under the cursor when it was pressed."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        await driver.write("i", gap=0.02)
        await driver.press("down")
        assert steps(empty, codes["brake shoe"]) == ["inspected"]
        assert steps(empty, codes["brake cam"]) == []
        assert codes["brake cam"] in under_cursor(driver)


async def test_enter_inspects_and_o_opens_the_page(empty: Book, codes: dict[str, str]) -> None:
    """Escape leads back, the cursor where it was."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "down", "enter")
        assert driver.at(InspectScreen).code == codes["brake cam"]
        await driver.press("escape", "o")
        driver.at(PartScreen)
        await driver.press("escape")
        assert codes["brake cam"] in under_cursor(driver)


async def test_an_assembly_can_be_folded_and_the_headings_left_out(
    empty: Book, codes: dict[str, str]
) -> None:
    """Enter on a heading folds it; A shows one list."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "up", "enter")
        assert f"+ {BRAKE}" in driver.shown
        assert codes["brake shoe"] not in driver.shown
        await driver.press("enter", "a")
        assert "- Chain drive" not in driver.shown
        assert codes["chain"] in driver.shown


async def test_without_a_machine_the_screen_is_empty_and_says_so(empty: Book) -> None:
    """No key does any harm."""
    async with at_the_bench(empty) as driver:
        await driver.press("f5")
        assert "No part is in this list." in driver.shown
        await driver.press("d", "m", "space", "enter", "s", "w", "b", "x", "o")
        assert "Choose a part first" in driver.said
