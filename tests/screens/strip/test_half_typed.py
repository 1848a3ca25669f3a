"""What was half-typed is offered, put off or thrown away, and typing never goes into the question.

After a crash; what was put off is offered again, from Bench with the form or card that it is of.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from textual.css.query import NoMatches

from tagbench.book import Book
from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.care.gasket import GasketDialog
from tagbench.screens.count.screen import CountScreen
from tagbench.screens.part.edit import EditDialog
from tagbench.screens.part.made_of import MadeOfDialog
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.left_over import LeftOverDialog
from tagbench.screens.shared.unsaved import UnsavedDialog
from tagbench.screens.strip.screen import StripScreen
from tests.screens.app.test_bursts import at_once
from tests.screens.conftest import NOW
from tests.screens.driver import ScreenDriver, at_the_bench

PISTON = {"name": "piston", "note": "stuck"}


def half_typed(book: Book, form: str = "strip", fields: Mapping[str, str] | None = None) -> None:
    Autosave(book.folder).save(form, UnsavedForm(NOW, dict(fields or PISTON)))


def kept(book: Book, form: str = "strip") -> Mapping[str, str]:
    """What would be offered."""
    found = Autosave(book.folder).latest(form)
    return found[1].fields if found is not None else {}


async def test_escape_only_puts_it_off(brake: Book) -> None:
    """It says where it is; Ctrl+O on Bench offers it again, and so does the next start."""
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        driver.at(UnsavedDialog)
        assert "Esc Later" in driver.shown
        await driver.press("escape")
        assert driver.field("name") == ""
        assert "“piston” is kept" in driver.said
        assert kept(brake) == PISTON
        await driver.press("escape", "ctrl+o")
        driver.at(UnsavedDialog)
        await driver.press("enter")
        driver.at(StripScreen)
        assert (driver.field("name"), driver.field("note")) == ("piston", "stuck")
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        driver.at(UnsavedDialog)


async def test_throwing_away_has_a_key_of_its_own(brake: Book) -> None:
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        assert "Ctrl+D Throw it away" in driver.shown
        await driver.press("ctrl+d")
        driver.at(StripScreen)
        assert kept(brake) == {}
        await driver.press("escape")
        assert "half-typed" not in driver.shown


async def test_what_was_put_off_outlasts_the_next_part(brake: Book) -> None:
    """The form is typed in, kept against a crash, and saved; then the old words are offered."""
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "escape")
        await driver.write("hub nut")
        await driver.until(lambda: kept(brake).get("name") == "hub nut")
        await driver.press("enter")
        assert kept(brake) == PISTON
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "enter")
        assert driver.field("name") == "piston"
        await driver.press("enter")
        assert kept(brake) == {}


async def test_go_on_leaves_what_is_typed_now_alone(brake: Book) -> None:
    """What was put off is offered once that was saved."""
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "escape")
        await driver.write("hub nut")
        await driver.until(lambda: kept(brake).get("name") == "hub nut")
        await driver.press("escape", "ctrl+o")
        assert driver.at(StripScreen).form["name"].value == "hub nut"
        await driver.press("enter")
        assert kept(brake) == PISTON
        await driver.press("escape", "ctrl+o")
        driver.at(UnsavedDialog)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("gap", [0.0, 0.02, 0.3])
@pytest.mark.parametrize("before", ["", "↓↑"])
async def test_typing_that_goes_on_lands_in_the_form(brake: Book, before: str, gap: float) -> None:
    """The letters that come with the question are none of its keys; nothing is lost either way."""
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        driver.at(UnsavedDialog)
        await at_once(driver, f"{before}hub nut⇥2x M5x12 pan", gap)
        driver.at(StripScreen)
        assert driver.field("name") == "hub nut"
        assert driver.field("fasteners") == "2x M5x12 pan"
        await driver.press("enter")
        assert kept(brake) == PISTON


async def test_a_scan_opens_its_record_and_puts_it_off(brake: Book) -> None:
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.scan(next(iter(brake.records.parts)))
        driver.at(PartScreen)
        await driver.press("escape")
        assert driver.field("name") == ""
        assert kept(brake) == PISTON


async def test_a_paste_goes_into_the_form_too(brake: Book) -> None:
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await paste(driver, "hub nut")
        driver.at(StripScreen)
        assert driver.field("name") == "hub nut"


async def paste(driver: ScreenDriver, text: str) -> None:
    from textual.events import Paste

    driver.app.post_message(Paste(text))
    await driver.settle()


async def test_what_is_brought_back_is_gone_on_with(brake: Book) -> None:
    """Typing does not replace it, as it does what the form put in itself."""
    half_typed(brake)
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "enter")
        await driver.write(" ring")
        assert driver.field("name") == "piston ring"


@pytest.mark.sampled(2)
@pytest.mark.parametrize(
    ("form", "fields", "card"),
    [
        ("edit {}", {"note": "half a sen"}, EditDialog),
        ("made of {}", {"own-parts": "2 balls"}, MadeOfDialog),
        ("gasket {}", {"thickness": "0.5"}, GasketDialog),
        ("left over", {"typed": "M6 bolt"}, LeftOverDialog),
    ],
)
async def test_go_on_opens_the_card_that_was_half_typed(
    brake: Book, form: str, fields: Mapping[str, str], card: type[EditDialog]
) -> None:
    """And the card offers what was typed in it."""
    code = next(iter(brake.records.parts))
    half_typed(brake, form.format(code), fields)
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+o")
        driver.at(UnsavedDialog)
        await driver.press("enter")
        assert card.__name__ in str(driver.at(card))
        for name, text in fields.items():
            assert driver.field(name) == text


async def test_part_says_where_its_half_typed_words_are(brake: Book) -> None:
    """However one came to it, until they are brought back and saved."""
    code, other = list(brake.records.parts)[:2]
    half_typed(brake, f"made of {code}", {"own-parts": "2 balls"})
    half_typed(brake, f"edit {other}", {"note": "half a sen"})
    async with at_the_bench(brake) as driver:
        await driver.app.open_code(code)
        await driver.settle()
        assert f"M: what {code} is made of" in driver.shown
        assert "Ctrl+E: edit" not in driver.shown
        await driver.press("m", "enter", "enter")
        driver.at(PartScreen)
        assert "not saved" not in driver.shown


async def test_go_on_says_which_card_it_cannot_open(brake: Book) -> None:
    """A reading is one of several rows."""
    code = next(iter(brake.records.parts))
    half_typed(brake, f"reading {code} bore", {"values": "39.9"})
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+o")
        assert "INSPECT" in driver.shown
        assert f"Half-typed: reading of {code}" in driver.said


async def test_go_on_waits_until_it_is_known_what_was_going_on(brake: Book) -> None:
    """Ctrl+O that was pressed before the book was read is no refusal."""
    half_typed(brake, "left over", {"typed": "M6 bolt"})
    async with at_the_bench(brake) as driver:
        bench = driver.at(BenchScreen)
        going, bench.going = bench.going, None
        await driver.press("ctrl+o")
        assert "Looking for what was going on" in driver.said
        assert going is not None
        bench.show_going_on(going, "")
        await driver.settle()
        driver.at(UnsavedDialog)
        await driver.press("escape", "escape")
        driver.at(CountScreen)


async def test_go_on_that_waits_is_dropped_by_another_key(brake: Book) -> None:
    half_typed(brake, "left over", {"typed": "M6 bolt"})
    async with at_the_bench(brake) as driver:
        bench = driver.at(BenchScreen)
        going, bench.going = bench.going, None
        await driver.press("ctrl+o", "f2")
        assert going is not None
        bench.show_going_on(going, "")
        await driver.settle()
        driver.at(StripScreen)


async def test_a_form_that_is_taken_down_with_the_app_is_not_read(
    brake: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was typed may be due to be written while the screens are taken down."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="piston")
        screen = driver.app.screen
        assert isinstance(screen, StripScreen)
        await screen.query("#part-form").remove()
        with monkeypatch.context() as going_down:
            going_down.setattr(driver.app, "_running", False)
            screen._write_typed()
        with pytest.raises(NoMatches):
            screen.typed_fields()
