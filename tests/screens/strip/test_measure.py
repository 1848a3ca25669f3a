"""Measuring a thread from a form, and what the field says of a fastener as it is typed."""

from __future__ import annotations

import pytest
from textual.widgets import Label

from tagbench.book import Book
from tagbench.book.operations.machines import edit_machine
from tagbench.records import Units, replace
from tagbench.screens.part.edit import EditDialog
from tagbench.screens.shared.measure_thread import MeasureThreadDialog
from tagbench.screens.strip.screen import StripScreen
from tagbench.screens.widgets.fastener_field import Hints, tool_words
from tagbench.trade.fasteners.text import parse_fasteners
from tests.fasteners import parse_fastener
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench


def codes(book: Book) -> list[str]:
    """The codes of the parts, in removal order."""
    return [part.code for part in book.records.parts_of("TP")]


async def measure(driver: ScreenDriver, **fields: str) -> None:
    """Opens the card on Strip and types into its fields."""
    await driver.press("f2")
    await driver.tab_to("fasteners")
    await driver.press("ctrl+r")
    driver.at(MeasureThreadDialog)
    await driver.fill(**fields)


async def test_a_measured_thread_goes_in_where_the_cursor_is(brake: Book) -> None:
    """Between what stands there already; then one types on behind it."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="4x ; cotter pin 3.2x32")
        await driver.press("home", *["right"] * 3, "ctrl+r")
        await driver.fill(across="4.95 4.96", pitch="0.8")
        assert "M5x0.8" in driver.shown
        await driver.press("enter")
        driver.at(StripScreen)
        assert driver.field("fasteners") == "4x M5x0.8; cotter pin 3.2x32"
        await driver.write("x12 pan")
        assert driver.field("fasteners") == "4x M5x0.8x12 pan; cotter pin 3.2x32"


async def test_blanks_are_put_in_where_they_are_needed(brake: Book) -> None:
    """Behind a word, and before one."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="nut")
        await driver.press("ctrl+r")
        await driver.fill(across="7.9", pitch="1.25")
        await driver.press("enter")
        assert driver.field("fasteners") == "nut M8x1.25"
        await driver.press("home", "ctrl+r")
        await driver.fill(across="4.95", pitch="0.8")
        await driver.press("enter")
        assert driver.field("fasteners") == "M5x0.8 nut M8x1.25"


async def test_behind_a_whole_fastener_the_thread_begins_the_next_one(brake: Book) -> None:
    """The screws that are there stay as they are."""
    async with at_the_bench(brake) as driver:
        await driver.scan(codes(brake)[1])
        await driver.press("ctrl+e", "ctrl+r")
        await driver.fill(across="9.9", pitch="1.5")
        await driver.press("enter")
        assert driver.field("fasteners") == "4x M5x0.8x12 pan; M10x1.5"


async def test_the_list_follows_the_fields_and_the_second_can_be_taken(brake: Book) -> None:
    """1/4 UNC and 1/4 BSW have the same pitch; the angle decides (ASME B1.1, BS 84)."""
    async with at_the_bench(brake) as driver:
        await measure(driver, across="6.3", pitch="20 tpi")
        shown = driver.shown
        assert shown.index("1/4-20 UNC") < shown.index("1/4 BSW  ")
        assert "the thread angle decides" in shown
        await driver.press("down", "enter")
        assert driver.field("fasteners") == "1/4 BSW"


async def test_the_angle_leaves_only_threads_of_that_form(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await measure(driver, across="6.3", pitch="20 tpi", angle="55")
        assert "1/4-20 UNC" not in driver.shown
        await driver.press("enter")
        assert driver.field("fasteners") == "1/4 BSW"


async def test_the_diameter_alone_cannot_decide(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await measure(driver, across="7.85")
        assert "the diameter alone cannot decide" in driver.shown
        assert "pitch not measured" in driver.shown


async def test_a_hole_is_measured_inside(brake: Book) -> None:
    """6.7 mm is the inside of an M8 hole (ISO 965-1 6H: 6.647 to 6.912 mm)."""
    async with at_the_bench(brake) as driver:
        await measure(driver, across="6.7", pitch="1.25")
        assert "M8x1.25" not in driver.shown
        await driver.press("ctrl+o")
        assert "M8x1.25" in driver.shown
        label = driver.screen.query_one("#across-field").query_one(Label)
        assert str(label.content) == "Inside"
        await driver.press("ctrl+o")
        assert str(label.content) == "Across"


async def test_readings_are_in_the_unit_of_the_machine(brake: Book) -> None:
    """Without one typed behind them."""
    units = replace(brake.records.machines["TP"].units, length="in")
    edit_machine(brake, "TP", units=units)
    assert units == Units(length="in")
    async with at_the_bench(brake) as driver:
        await measure(driver, across="0.248", pitch="20 tpi")
        assert "1/4-20 UNC" in driver.shown


async def test_threads_that_the_machine_has_are_pointed_out(brake: Book) -> None:
    """The screws of the backing plate are M5."""
    async with at_the_bench(brake) as driver:
        await measure(driver, across="4.95", pitch="0.8")
        assert f"also on {codes(brake)[1]}" in driver.shown


@pytest.mark.sampled(3)
@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({}, "Type what was measured"),
        ({"across": "thick"}, "not understood"),
        ({"across": "-5"}, "negative"),
        ({"across": "5", "pitch": "steep"}, "not a pitch"),
        ({"across": "5", "pitch": "4"}, "cannot be on a diameter"),
        ({"across": "5", "angle": "30"}, "No thread here"),
    ],
)
async def test_what_cannot_be_is_refused_and_the_card_stays(
    brake: Book, fields: dict[str, str], says: str
) -> None:
    """With the sentence of the reader; nothing goes into the field."""
    async with at_the_bench(brake) as driver:
        await measure(driver, **fields)
        await driver.press("enter")
        driver.at(MeasureThreadDialog)
        assert says in driver.said
        await driver.press("escape")
        assert driver.field("fasteners") == ""


async def test_the_card_works_over_the_form_of_a_part_too(brake: Book) -> None:
    """The thread is written down when the form is saved."""
    drum = codes(brake)[0]
    async with at_the_bench(brake) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+e", "ctrl+r")
        await driver.fill(across="9.9", pitch="1.5")
        await driver.press("enter")
        driver.at(EditDialog)
        assert driver.field("fasteners") == "M10x1.5"
        await driver.press("enter")
        assert brake.records.parts[drum].fasteners[0].thread == "M10x1.5"


# What the field says as one types


async def test_the_tool_is_named_as_one_types(brake: Book) -> None:
    """13 mm for M8 by ISO 4014."""
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="4x M8x20 hex")
        assert "= 4x M8x1.25x20 hex   spanner 13 mm" in driver.shown


@pytest.mark.sampled(2)
@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x23", "120x36"])
async def test_a_look_alike_in_this_machine_is_told_as_one_types(
    brake: Book, size: tuple[int, int]
) -> None:
    """With the part that has it; on leaving the field, what tells them apart."""
    screws = codes(brake)[1]
    async with at_the_bench(brake, size) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="2x #10-32 x 3/4 pan")
        assert f"! starts in M5x0.8 of {screws}" in driver.shown
        await driver.press("tab")
        assert "start in each other's holes: " in driver.said
        assert "the diameter tells them apart" in driver.said
        assert screws in driver.said


async def test_two_look_alikes_in_one_form_are_told_on_leaving_the_field(empty: Book) -> None:
    """M6 and 0BA have the same pitch (ISO 261, BS 93)."""
    async with at_the_bench(empty) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="M6x20 hex; 2x 0BA x 1/2 in")
        await driver.press("tab")
        assert "M6x1 and 0BA start in each other's holes" in driver.said


async def test_another_look_alike_is_named_quietly(empty: Book) -> None:
    """Although the machine has none of it yet."""
    async with at_the_bench(empty) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="M6x20 hex")
        assert "look-alike" in driver.shown
        assert "0BA" in driver.shown
        assert "!" not in driver.shown


async def test_the_hints_are_about_the_fastener_at_the_cursor(brake: Book) -> None:
    """Those before it were told when they were typed."""
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="M8x20 hex; M12x30 hex")
        assert "spanner 18 mm" in driver.shown
        assert "spanner 13 mm" not in driver.shown


async def test_a_part_is_no_look_alike_of_itself(brake: Book) -> None:
    """Mending its own thread warns of nothing."""
    screws = codes(brake)[1]
    async with at_the_bench(brake) as driver:
        await driver.scan(screws)
        await driver.press("ctrl+e")
        await driver.tab_to("fasteners")
        await driver.press("ctrl+u")
        await driver.write("4x #10-32 x 1/2 pan")
        assert "starts in" not in driver.shown


async def test_an_empty_field_says_how_to_measure(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        assert "Ctrl+R measures" not in driver.shown
        await driver.tab_to("fasteners")
        assert "Ctrl+R measures a thread" in driver.shown


async def test_two_lines_that_are_alike_both_stay(brake: Book) -> None:
    """And each keeps what else is known of it."""
    drum = codes(brake)[0]
    one, other = parse_fasteners("M6x20 hex; M6x20 hex")
    with brake.change("one is back, one is lost") as transaction:
        changed = (replace(one, back=1), replace(other, short=1))
        transaction.put(replace(transaction.records.parts[drum], fasteners=changed))
    async with at_the_bench(brake) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+e")
        await driver.tab_to("fasteners")
        await driver.write("; M8x20 hex")
        await driver.press("enter")
        lines = brake.records.parts[drum].fasteners
        assert [(line.back, line.short) for line in lines] == [(1, 0), (0, 1), (0, 0)]


def test_tools_are_named_shortly() -> None:
    """Unthreaded things and unknown sizes need none."""
    said = {
        text: tool_words(parse_fastener(text), None)
        for text in ("bolt M8x40", "M5x12 pan", "M6x20 socket", "cotter pin 3.2x32")
    }
    assert said == {
        "bolt M8x40": ["spanner 13 mm"],
        "M5x12 pan": ["slot 1.2 mm"],
        "M6x20 socket": ["hex key 5 mm"],
        "cotter pin 3.2x32": [],
    }


def test_the_year_of_the_machine_decides_the_hexagon() -> None:
    """M10: 17 mm by DIN 931, 16 mm by ISO 4014."""
    bolt = parse_fastener("M10x30 hex")
    assert (tool_words(bolt, 1967), tool_words(bolt, None)) == (
        ["spanner 17 mm"],
        ["spanner 16 mm"],
    )


def test_a_thread_from_elsewhere_has_no_hints() -> None:
    """A spelling that no table holds is passed over."""
    odd = replace(parse_fastener("M6x20 hex"), thread="left over")
    assert str(Hints(threads={"M5x0.8": "TP-001-N"}).words(odd)) == ""


async def test_a_warning_never_stands_in_the_way(brake: Book) -> None:
    """The part is written down all the same."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="cover", fasteners="2x #10-32 x 3/4 pan")
        await driver.press("enter")
        assert brake.records.parts[codes(brake)[-1]].fasteners[0].thread == "#10-32 UNF"
