"""A word with two readings is offered with one key, and the record says which was chosen."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.records import Fastener
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


async def written(driver: ScreenDriver, book: Book, text: str, *keys: str) -> Fastener:
    """Writes a part down with these fasteners, pressing keys behind them."""
    await driver.press("f2")
    await driver.fill(name="stay", fasteners=text)
    await driver.press(*keys, "enter")
    part = max(book.records.parts.values(), key=lambda one: one.order)
    assert part.name == "stay"
    return part.fasteners[0]


async def test_the_best_reading_is_offered_first_and_taken_with_one_key(brake: Book) -> None:
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(name="stay", fasteners="2x 8mm bolt")
        assert "“8mm” Ctrl+Y: M8x1.25 / M8x1 /" in " ".join(driver.shown.split())
        assert "thread not yet known" in driver.shown
        await driver.press("ctrl+y")
        assert "[M8x1.25] / M8x1 /" in " ".join(driver.shown.split())
        assert "thread not yet known" not in driver.shown


async def test_the_record_says_which_reading_was_chosen(brake: Book) -> None:
    async with at_the_bench(brake, LARGE) as driver:
        fastener = await written(driver, brake, "2x 8mm bolt", "ctrl+y")
        assert fastener.thread == "M8x1.25"
        assert fastener.chosen == ("“8mm”: M8x1.25",)
        assert fastener.words == ""


async def test_the_next_press_takes_the_next_reading(brake: Book) -> None:
    async with at_the_bench(brake, LARGE) as driver:
        fastener = await written(driver, brake, "2x 8mm bolt", "ctrl+y", "ctrl+y")
        assert fastener.thread == "M8x1"
        assert fastener.chosen == ("“8mm”: M8x1",)


async def test_each_of_several_words_can_be_chosen_another_way(brake: Book) -> None:
    """Once all are chosen the key acts on the one before the cursor, and says so beside it."""
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(name="stay", fasteners="2 bolts each side M8x20; 2x 8mm bolt")
        assert "? “each side” Ctrl+Y: 4 / 2 in all" in driver.shown
        assert "? “8mm”: M8x1.25 / M8x1" in driver.shown
        await driver.press("ctrl+y", "ctrl+y", "ctrl+y")
        assert "? “each side”: [4] / 2 in all" in driver.shown
        assert "? “8mm” Ctrl+Y: M8x1.25 / [M8x1]" in driver.shown
        await driver.press("home")
        assert "? “each side” Ctrl+Y: [4] / 2 in all" in driver.shown
        await driver.press("ctrl+y", "enter")
        first, other = max(brake.records.parts.values(), key=lambda one: one.order).fasteners
        assert (first.quantity, first.chosen) == (2, ("“each side”: 2 in all",))
        assert (other.thread, other.chosen) == ("M8x1", ("“8mm”: M8x1",))


async def test_what_nobody_chose_stays_a_word_and_an_open_question(brake: Book) -> None:
    async with at_the_bench(brake, LARGE) as driver:
        fastener = await written(driver, brake, "2x 8mm bolt")
        assert (fastener.thread, fastener.words, fastener.chosen) == ("", "8mm", ())
        assert "to be measured" in driver.said


async def test_a_good_line_beside_one_not_understood_is_kept(brake: Book) -> None:
    """And the words not understood stand in their own line, word for word."""
    async with at_the_bench(brake, LARGE) as driver:
        await written(driver, brake, "4x M5x12 pan; 2 thingamajigs, bent")
        part = max(brake.records.parts.values(), key=lambda one: one.order)
        good, other = part.fasteners
        assert (good.quantity, good.thread, good.length) == (4, "M5x0.8", 12)
        assert other.quantity == 2
        assert "thingamajigs" in other.words


async def test_a_remark_is_no_fastener_and_goes_to_the_note(brake: Book) -> None:
    """`bent, get new` counts no piece; Strip says where it goes before it is written down."""
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(name="stay", fasteners="bent, get new")
        assert "no fastener: “bent, get new” goes to Note" in " ".join(driver.shown.split())
        await driver.press("enter")
        part = max(brake.records.parts.values(), key=lambda one: one.order)
        assert (part.fasteners, part.note) == ((), "bent, get new")
