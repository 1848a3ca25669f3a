"""What was understood of a long note in a low terminal: nothing is cut off without a sign."""

from __future__ import annotations

import re

import pytest

from tagbench.book import Book
from tagbench.screens.strip.screen import StripScreen
from tagbench.screens.widgets.part_form import PartForm
from tagbench.screens.widgets.understood import Understood
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench

LOW = (80, 24)
LINES = (
    ("4x M5x12 pan", "= 4x M5x0.8x12 pan"),
    ("2 bolts each side M8x20", "= 2x M8x1.25x20 bolt (each side)"),
    ("3x M6 washers", "= 3x washer M6"),
    ("cotter pin 3.2x32", "= cotter pin 3.2x32"),
    ("2x M6x20 hex", "= 2x M6x1x20 hex"),
    ("nyloc M8", "= nyloc M8x1.25"),
    ("spring", "= spring"),
    ("2x M4x10 pan", "= 2x M4x0.7x10 pan"),
    ("circlip 20", "= circlip 20"),
    ("4x M10x30 hex", "= 4x M10x1.5x30 hex"),
    ("key 5x5x20", "= key 5x5x20"),
    ("bent, get new", "= no fastener: “bent, get new”"),
)
"""What is typed, and how the line begins that says what was understood."""
NOTE = "; ".join(typed for typed, _ in LINES)
QUESTION = "? “each side” Ctrl+Y: 4 / 2 in all"


def understood(driver: ScreenDriver) -> list[str]:
    """The rows of it that are in sight of the person."""
    field, rows = driver.screen.query_one(Understood), driver.shown.split("\n")
    assert is_in_the_form(driver)
    place = field.region
    return [rows[y][place.x : place.right].strip() for y in range(place.y, place.bottom)]


def is_in_the_form(driver: ScreenDriver) -> bool:
    """Whether all of it lies inside the form; while that scrolls it may not."""
    form, field = driver.screen.query_one(PartForm), driver.screen.query_one(Understood)
    return form.region.contains_region(field.region)


def hidden(driver: ScreenDriver) -> int:
    """How many lines the last row says are hidden; 0 where it says nothing of the kind."""
    last = understood(driver)[-1]
    return sum(map(int, re.findall(r"[0-9]+", last))) if last.startswith("…") else 0


async def typed(driver: ScreenDriver, note: str) -> None:
    """Opens Strip and types a note into Fasteners."""
    await driver.press("f2")
    await driver.fill(fasteners=note)


def has_focus(driver: ScreenDriver, name: str) -> bool:
    return driver.app.focused is not None and driver.app.focused.id == name


@pytest.mark.parametrize("size", [SMALL, LOW, LARGE], ids=["80x23", "80x24", "120x36"])
async def test_a_note_of_five_lines_is_all_in_sight(brake: Book, size: tuple[int, int]) -> None:
    """With its question beneath the line that it is about."""
    async with at_the_bench(brake, size) as driver:
        await typed(driver, "; ".join(one for one, _ in LINES[:5]))
        rows = understood(driver)
        assert [any(row.startswith(said) for row in rows) for _, said in LINES[:5]] == [True] * 5
        assert rows[rows.index("= 2x M8x1.25x20 bolt (each side)") + 1] == QUESTION
        assert hidden(driver) == 0


@pytest.mark.parametrize("size", [SMALL, LOW], ids=["80x23", "80x24"])
async def test_what_is_hidden_is_counted_and_one_key_shows_it(
    brake: Book, size: tuple[int, int]
) -> None:
    """The question stays, and so does the line that is typed; ↑ goes through the others."""
    async with at_the_bench(brake, size) as driver:
        await typed(driver, NOTE)
        rows = understood(driver)
        assert rows[0] == QUESTION
        assert rows[-2].startswith(LINES[-1][1])
        assert rows[-1] == f"… and {hidden(driver)} more lines above: ↑ shows them"
        told = [row for row in rows[1:-1] if row.startswith("=")]
        assert hidden(driver) == len(LINES) - len(told) > 0
        seen = set(told)
        while "↑" in understood(driver)[-1]:
            await driver.press("up")
            assert has_focus(driver, "fasteners")
            assert understood(driver)[0] == QUESTION
            seen |= set(understood(driver))
        assert understood(driver)[-1] == f"… and {hidden(driver)} more lines: ↓ shows them"
        for _, said in LINES:
            assert any(row.startswith(said) for row in seen), said


async def test_the_arrows_leave_the_field_once_all_was_shown(brake: Book) -> None:
    """And at once where nothing is hidden; Tab leaves it in any case."""
    async with at_the_bench(brake, LOW) as driver:
        await typed(driver, NOTE)
        await driver.press("down")
        assert has_focus(driver, "position"), "what is hidden is above"
        await driver.press("up", "home")
        assert has_focus(driver, "fasteners")
        assert is_in_the_form(driver), "one that is gone back to at once as well"
        assert "↓ shows them" in understood(driver)[-1]
        for _ in LINES:
            if "↓" not in understood(driver)[-1]:
                break
            await driver.press("down")
            assert has_focus(driver, "fasteners")
        await driver.press("down")
        assert has_focus(driver, "position")
        await driver.press("shift+tab", "home", "tab")
        assert has_focus(driver, "position"), "Tab does not go through the lines"
        await driver.press("up", "end", "ctrl+u", "up")
        assert has_focus(driver, "name")


async def test_beside_the_field_it_says_where_the_keys_are(brake: Book) -> None:
    """The count stays, the arrows are those of the other field."""
    async with at_the_bench(brake, LOW) as driver:
        await typed(driver, NOTE)
        count = hidden(driver)
        await driver.press("tab")
        form = driver.at(StripScreen).form
        assert f"… and {count} more lines: ↑ ↓ in the field" in driver.shown or form.scroll_y
        await driver.press("down")
        assert has_focus(driver, "quantity")


async def test_what_belongs_to_the_cursor_is_in_sight_wherever_it_goes(brake: Book) -> None:
    """With the tool of that fastener behind it."""
    async with at_the_bench(brake, LOW) as driver:
        await typed(driver, NOTE)
        await driver.press("home")
        assert any("= 4x M5x0.8x12 pan   slot" in row for row in understood(driver))
        await driver.press("end")
        assert any(row.startswith(LINES[-1][1]) for row in understood(driver))


async def test_all_fasteners_of_the_piece_at_the_cursor_are_told_of(brake: Book) -> None:
    """One piece may hold several; the pieces behind it are not taken for them."""
    async with at_the_bench(brake, LARGE) as driver:
        await typed(driver, "4x M6x20 hex with nut; M8x30 hex")
        last = next(row for row in understood(driver) if "M8x1.25x30" in row)
        assert "spanner 13 mm" in last
        assert "spanner" not in understood(driver)[0]


async def test_cautions_below_leave_the_count_in_sight(brake: Book) -> None:
    """Four lines of them make the form lower; what does not fit now is counted anew."""
    async with at_the_bench(brake, LOW) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Front wheel / Brake", name="brake shoe", fasteners=NOTE)
        assert "asbestos" in driver.said
        assert understood(driver)[0] == QUESTION
        before = hidden(driver)
        await driver.press("up")
        assert understood(driver)[0] == QUESTION
        assert hidden(driver) == before > 0


async def test_each_question_is_asked_in_turn_and_how_many_come_is_told(brake: Book) -> None:
    """One key answers the first; the next one takes its place at the top."""
    async with at_the_bench(brake, LOW) as driver:
        await typed(driver, f"{NOTE}; 3 screws or 4 M5x10; 2x 8mm bolt; clips")
        assert understood(driver)[0] == QUESTION
        asked = []
        for more in (["? then 2 more questions"], ["? then 1 more question"], []):
            rows = understood(driver)
            asked.append(rows[0])
            assert [row for row in rows if row.startswith("? then")] == more
            await driver.press("ctrl+y")
        assert len(set(asked)) == 3
        await driver.press("tab")
        await driver.fill(name="cover")
        await driver.press("enter")
        part = max(brake.records.parts.values(), key=lambda one: one.order)
        assert [words for line in part.fasteners for words in line.chosen][:1] == [
            "“each side”: 4 in all"
        ]


@pytest.mark.parametrize("size", [LOW, LARGE], ids=["80x24", "120x36"])
async def test_the_fields_below_only_give_way_while_one_types(
    brake: Book, size: tuple[int, int]
) -> None:
    """They never jump back under the eyes; an empty form is as it was."""
    async with at_the_bench(brake, size) as driver:
        await driver.press("f2")
        below = driver.screen.query_one("#side-and-quantity")
        await driver.tab_to("fasteners")
        first = below.virtual_region.y
        places = [first]
        for letter in "2 long M6x45 at 12 and 6, 3 short M6x25 else, washers":
            await driver.write(letter)
            places.append(below.virtual_region.y)
        assert places == sorted(places)
        assert places[-1] > first
        await driver.press("tab")
        assert below.virtual_region.y == places[-1]
        await driver.press("shift+tab", "ctrl+u")
        assert below.virtual_region.y == first


async def test_a_remark_among_fasteners_is_in_the_note_and_not_lost(brake: Book) -> None:
    """What Strip says of it is what is saved."""
    async with at_the_bench(brake, LOW) as driver:
        await typed(driver, "4x M5x12 pan; bent, get new; spring")
        assert "= no fastener: “bent, get new” goes to Note" in understood(driver)
        await driver.fill(note="left one only")
        await driver.tab_to("name")
        await driver.write("cover")
        await driver.press("enter")
        part = max(brake.records.parts.values(), key=lambda one: one.order)
        assert [line.kind for line in part.fasteners] == ["screw", "spring"]
        assert part.note == "left one only; bent, get new"


async def test_a_remark_in_the_fasteners_goes_to_the_note_by_one_key(brake: Book) -> None:
    """And comes back by the next one; what it was taken for stays to be seen."""
    async with at_the_bench(brake, LARGE) as driver:
        await typed(driver, "ask Mum where the odd one goes")
        assert "Ctrl+Y: only a remark / a thing in the bag" in " ".join(understood(driver))
        await driver.press("ctrl+y")
        rows = understood(driver)
        assert rows[0] == "= no fastener: “ask Mum where the odd one goes” goes to Note"
        assert "[only a remark] / a thing in the bag" in " ".join(rows)
        form = driver.at(StripScreen).form
        assert form.fasteners.read() == ()
        assert form.fasteners.note("") == "ask Mum where the odd one goes"
        await driver.press("ctrl+y")
        assert "only a remark / [a thing in the bag]" in " ".join(understood(driver))
        (thing,) = form.fasteners.read()
        assert thing.words == "ask Mum where the odd one goes"
