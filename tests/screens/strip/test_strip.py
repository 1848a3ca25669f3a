"""Strip: one pass for each part, nothing typed twice, nothing typed lost."""

from __future__ import annotations

from pathlib import Path

from tagbench.book import Book
from tagbench.book.operations.tagging import reserve_spare
from tagbench.screens.strip.screen import StripScreen
from tagbench.screens.widgets.big_code import BigCode
from tests.screens.driver import ScreenDriver, at_the_bench


def codes(book: Book) -> list[str]:
    """The codes of the parts, in removal order."""
    return [part.code for part in book.records.parts_of("TP")]


async def test_a_second_part_takes_one_pass(brake: Book) -> None:
    """After the first part, name, fasteners and Enter are enough for the next one."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Chain drive", bin="Box 4", name="chain")
        await driver.press("enter")

        await driver.write("rear sprocket")
        await driver.press("tab")
        await driver.write("6x M8x1.25x20 hex 8.8")
        await driver.press("ctrl+o", "enter")

        chain, sprocket = (brake.records.parts[code] for code in codes(brake)[-2:])
        assert (sprocket.name, sprocket.assembly) == ("rear sprocket", "Chain drive")
        assert sprocket.bin == chain.bin != ""
        assert sprocket.behind == (chain.code,)
        assert sprocket.fasteners[0].quantity == 6


async def test_the_code_is_shown_large_and_the_form_is_cleared(brake: Book) -> None:
    """The code can be copied onto the bag; where from and which bin stay."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Engine", bin="Box 1", name="clutch cover", note="oily")
        await driver.press("enter")
        assert driver.screen.query_one(BigCode).code == codes(brake)[-1]
        assert driver.field("assembly") == "Engine"
        assert driver.field("bin") == "Box 1"
        assert driver.field("name") == driver.field("note") == ""
        assert driver.app.focused is not None
        assert driver.app.focused.id == "name"
        assert brake.records.tags[codes(brake)[-1]].queued is not None


async def test_a_part_that_was_taken_back_leaves_no_code_to_be_written(brake: Book) -> None:
    """The large code goes with it."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="clutch cover")
        await driver.press("enter", "ctrl+t", "enter")
        assert driver.screen.query_one(BigCode).code == ""


async def test_the_last_part_of_the_assembly_is_offered_as_behind(brake: Book) -> None:
    """The offer follows the assembly in the form."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Front wheel / Brake")
        assert f"backing plate {codes(brake)[-1]}" in driver.shown
        await driver.press("ctrl+o")
        assert driver.field("behind") == codes(brake)[-1]
        assert "= backing plate" in driver.shown


async def test_fasteners_are_understood_as_one_types(brake: Book) -> None:
    """Each fastener is said back beneath the field, and the one that is not understood too."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(fasteners="2 × 1/4-20 x 3/4 hex grade 5; nyloc M8; blurb")
        assert "= 2x 1/4-20 UNC x 3/4 hex grade 5" in driver.shown
        assert "= nyloc M8x1.25  (self-locking" in driver.shown
        assert "= “blurb”" in driver.shown


async def test_what_is_not_understood_is_kept_word_for_word_at_once(brake: Book) -> None:
    """Nothing is refused and the typed text is never lost."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="felt ring", fasteners="2 wobbly clips")
        await driver.press("enter")
        kept = brake.records.parts[codes(brake)[-1]].fasteners[0]
        assert (kept.quantity, kept.kind, kept.words) == (2, "clip", "wobbly")


async def test_a_word_with_two_readings_is_chosen_with_one_key(brake: Book) -> None:
    """Ctrl+Y takes the readings in turn, best first, and the record says which was chosen."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="cover", fasteners="1 1/4 UNC")
        assert "1 of 1/4-20 UNC" in driver.shown
        await driver.press("ctrl+y", "enter")
        kept = brake.records.parts[codes(brake)[-1]].fasteners[0]
        assert (kept.quantity, kept.thread, kept.words) == (1, "1/4-20 UNC", "")
        assert kept.chosen == ("“1 1/4 UNC”: 1 of 1/4-20 UNC",)


async def test_a_form_without_a_name_is_refused(brake: Book) -> None:
    """One sentence, and what was typed is still there."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Engine")
        await driver.press("enter")
        assert driver.said == "Say in a word or two what it is."
        assert driver.field("assembly") == "Engine"


async def refused(driver: ScreenDriver, book: Book, **fields: str) -> str:
    """Fills the form and tries to save it; gives the refusal."""
    await driver.press("f2")
    await driver.fill(name="hub", **fields)
    await driver.press("enter")
    assert len(codes(book)) == 3
    assert driver.field("name") == "hub"
    return driver.said


async def test_a_wrong_check_character_is_refused_with_the_likely_code(brake: Book) -> None:
    """The likely code is named, nothing typed is lost."""
    good = codes(brake)[0]
    wrong = good[:-1] + ("A" if good[-1] != "A" else "B")
    async with at_the_bench(brake) as driver:
        assert good in await refused(driver, brake, behind=wrong)
        assert driver.field("behind") == wrong


async def test_a_file_that_is_no_picture_is_refused(brake: Book, tmp_path: Path) -> None:
    """The record is not written without the picture."""
    text = tmp_path / "photo.jpg"
    text.write_text("no picture")
    async with at_the_bench(brake) as driver:
        assert "is not a picture" in await refused(driver, brake, photo=str(text))
        assert driver.field("photo") == str(text)


async def test_a_picture_is_completed_from_the_disk_and_copied(brake: Book, picture: Path) -> None:
    """The card lists what lies there; the original stays where it is."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="hub", photo=f"{picture.parent.parent}/")
        await driver.press("ctrl+p")
        await driver.write("pic")
        await driver.press("tab")
        assert driver.field("typed") == f"{picture.parent}/"
        await driver.press("enter")
        assert driver.field("photo") == str(picture)
        await driver.press("enter")
        (photo,) = brake.records.parts[codes(brake)[-1]].photos
        assert (brake.photos / photo.file).read_bytes() == picture.read_bytes()


async def test_a_scanned_spare_tag_takes_the_form(brake: Book) -> None:
    """The part gets the code of the tag that is already on its bag."""
    (spare,) = reserve_spare(brake, 1)
    async with at_the_bench(brake) as driver:
        await driver.scan(spare.code)
        assert driver.at(StripScreen)
        assert driver.screen.query_one(BigCode).code == spare.code
        await driver.write("speedometer drive")
        await driver.press("enter")
        assert brake.records.parts[spare.code].name == "speedometer drive"


async def test_a_spare_tag_can_be_let_go(brake: Book) -> None:
    """Then the part gets the next free code."""
    (spare,) = reserve_spare(brake, 1)
    async with at_the_bench(brake) as driver:
        await driver.scan(spare.code)
        await driver.press("ctrl+n")
        await driver.write("speedometer drive")
        await driver.press("enter")
        assert spare.code not in brake.records.parts
        assert len(codes(brake)) == 4


async def test_the_fasteners_of_the_last_part_can_be_taken_again(brake: Book) -> None:
    """The other shoe has the same screws."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="cover left", fasteners="3x M6x1x20 hex")
        await driver.press("enter")
        await driver.write("cover right")
        await driver.press("ctrl+f", "enter")
        one, other = (brake.records.parts[code] for code in codes(brake)[-2:])
        assert one.fasteners[0].thread == other.fasteners[0].thread == "M6x1"


async def test_a_bin_is_chosen_from_the_list(brake: Book) -> None:
    """A few letters narrow the list; the whole path goes into the field."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "ctrl+b")
        await driver.write("bag")
        await driver.press("enter")
        assert driver.field("bin") == "Shelf A / Box 2 / Bag 7"


async def test_cautions_are_said_when_an_old_brake_is_taken_off(brake: Book) -> None:
    """The usual caution, and the line that defers to the maker's manual."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Front wheel / Brake", name="brake shoe")
        await driver.press("tab")
        assert "asbestos" in driver.said
        assert "maker's manual" in driver.said


async def test_the_first_part_makes_the_machine(empty: Book) -> None:
    """Nothing has to be set up before the first part."""
    async with at_the_bench(empty) as driver:
        await driver.press("f2")
        await driver.fill(name="front wheel")
        await driver.press("enter")
        assert list(empty.records.machines) == ["A"]
        assert next(iter(empty.records.parts)).startswith("A-001-")
