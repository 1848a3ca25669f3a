"""What is typed on other keyboards, and what is pasted."""

from __future__ import annotations

import pytest
from textual import events

from labels.scanning.layouts import letter_by_place
from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.screens.app.scanning import keyboard_language
from tagbench.screens.care.screen import CleanScreen
from tagbench.screens.care.steps import StepDialog
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.settings.screen import SettingsScreen
from tagbench.screens.widgets.field import Field
from tests.screens.conftest import BRAKE
from tests.screens.driver import ScreenDriver, at_the_bench


async def paste(driver: ScreenDriver, text: str) -> None:
    """The terminal sends it as one piece."""
    driver.app.post_message(events.Paste(text))
    await driver.settle()


# Keyboards in another script


@pytest.mark.parametrize(
    ("sign", "language", "letter"),
    [
        ("в", "ru", "d"),
        ("В", "ru", "D"),
        ("ш", "", "i"),
        ("і", "uk", "s"),
        ("ш", "bg", "t"),
        ("δ", "el", "d"),
        ("ς", "el", "w"),
        ("ש", "he", ""),
    ],
)
def test_a_letter_has_its_place(sign: str, language: str, letter: str) -> None:
    """The tables are those that undo a wrongly set layout in a scan (xkeyboard-config)."""
    assert letter_by_place(sign, language) == letter


def test_the_locale_says_which_layout_it_is() -> None:
    """LC_ALL before LC_CTYPE before LANG."""
    assert keyboard_language({"LANG": "bg_BG.UTF-8"}) == "bg"
    assert keyboard_language({"LANG": "de_DE.UTF-8", "LC_ALL": "el_GR"}) == "el"
    assert keyboard_language({}) == ""


@pytest.mark.sampled(3)
@pytest.mark.parametrize("sign", ["d", "в", "δ", "D", "В"])
async def test_letters_act_by_their_place_on_other_keyboards(brake: Book, sign: str) -> None:
    """`d` on Clean, on a Latin, a Russian and a Greek keyboard, capitals locked or not."""
    async with at_the_bench(brake) as driver:
        await driver.press("f5")
        driver.at(CleanScreen)
        await driver.write(sign)
        await driver.let_a_second_pass()
        assert driver.at(StepDialog)["step"].value == "degreased"


async def test_a_script_that_is_not_known_is_told_the_list(brake: Book) -> None:
    """Nothing is written, and the way to all actions is named."""
    async with at_the_bench(brake) as driver:
        await driver.press("f5")
        await driver.write("ש")
        await driver.let_a_second_pass()
        assert "Ctrl+G" in driver.said


async def test_what_is_typed_into_a_field_keeps_its_script(brake: Book) -> None:
    """Only letters that are keys are put in their place."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("вал")
        assert driver.field("words") == "вал"


# Pastes


async def test_several_lines_are_joined_where_a_list_is_taken(brake: Book) -> None:
    """Fasteners, line under line."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.tab_to("fasteners")
        await paste(driver, "4x M5x0.8x12 pan\n2x M6x20 hex\n\ncotter pin 3.2x32\n")
        assert driver.field("fasteners") == "4x M5x0.8x12 pan; 2x M6x20 hex; cotter pin 3.2x32"


async def test_elsewhere_it_is_said_what_was_left_out(brake: Book) -> None:
    """A name is one line."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.tab_to("name")
        await paste(driver, "hub nut\nleft side\n")
        assert driver.field("name") == "hub nut"
        assert "first of 2 lines" in driver.said


async def test_a_pasted_code_acts_like_a_scan(brake: Book) -> None:
    """In a field, in a list and with the address before it; the field is left as it was."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        for text in (code, f"HTTP://GARAGE.LOCAL:8017/{code}\n"):
            await driver.press("f2")
            await driver.tab_to("name")
            await driver.write("hub")
            await paste(driver, text)
            assert driver.at(PartScreen).code == code
            await driver.press("escape")
            assert driver.field("name").startswith("hub")
            await driver.press("escape")
        await driver.press("f9")
        await paste(driver, code)
        assert driver.at(PartScreen).code == code


async def test_a_pasted_code_goes_where_a_code_is_taken(brake: Book) -> None:
    """The field Behind takes it instead of opening the part."""
    strip_part(brake, StripForm(name="shoe", assembly=BRAKE))
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.tab_to("behind")
        driver.screen.query_one("#behind-field", Field).value = ""
        await paste(driver, code)
        assert code in driver.field("behind")


async def test_a_paste_into_a_list_writes_nothing(brake: Book) -> None:
    """Letters of a paste are no keys."""
    async with at_the_bench(brake) as driver:
        await driver.press("f5")
        before = brake.revision
        await paste(driver, "dil\ndil")
        assert brake.revision == before
        await driver.press("f9")
        driver.at(SettingsScreen)
        await paste(driver, "anything")
        assert brake.revision == before
