"""What arrives at once, a second's typing or a paste, does the same as one key after the other."""

from __future__ import annotations

import pytest
from textual.keys import _character_to_key

from tagbench.book import Book
from tagbench.screens.buy.cards import WantDialog
from tagbench.screens.buy.screen import BuyScreen
from tagbench.screens.strip.screen import StripScreen
from tests.screens.driver import ScreenDriver, at_the_bench

KEYS = {
    "→": "right",
    "←": "left",
    "↓": "down",
    "↑": "up",
    "⏎": "enter",
    "⇥": "tab",
    "⌫": "backspace",
}


async def at_once(driver: ScreenDriver, text: str, gap: float = 0.0) -> None:
    """Sends every key before the first one is acted on; arrows, Tab and Enter by their signs."""
    driver.clock.now += 2.0
    for sign in text:
        key = KEYS.get(sign)
        character = {"enter": "\r", "tab": "\t"}.get(key or "", None if key else sign)
        driver._send(key or _character_to_key(sign), character, gap)
    await driver.settle()
    await driver.let_a_second_pass()


@pytest.mark.sampled(4)
@pytest.mark.parametrize("gap", [0.0, 0.001, 0.02])
@pytest.mark.parametrize("between", ["⇥", "↓"])
async def test_the_texts_of_several_fields_land_in_theirs(
    brake: Book, gap: float, between: str
) -> None:
    """Tab and ↓, however fast they come."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await at_once(driver, between.join(["hub nut", "2x M5x12 pan", "left", "2"]), gap)
        fields = [driver.field(name) for name in ("name", "fasteners", "position", "quantity")]
        assert fields == ["hub nut", "2x M5x12 pan", "left", "2"]


async def test_arrows_within_a_text_and_back(brake: Book) -> None:
    """← and ⌫ act on what came before them, ↑ goes back to the field before."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await at_once(driver, "hub nt←u→s⌫⇥4x M6↑, big")
        assert driver.field("name") == "hub nut, big"
        assert driver.field("fasteners") == "4x M6"


async def test_enter_in_the_middle_saves_what_came_before_it(brake: Book) -> None:
    """Two parts in one burst are two parts."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await at_once(driver, "hub nut⇥4x M6x20⏎axle⇥2x M8⏎")
        driver.at(StripScreen)
        *_, nut, axle = sorted(brake.records.parts.values(), key=lambda part: part.order)
        assert (nut.name, nut.fasteners[0].thread) == ("hub nut", "M6x1")
        assert (axle.name, axle.fasteners[0].thread) == ("axle", "M8x1.25")
        assert driver.field("name") == ""


async def test_a_letter_that_opens_a_card_and_what_is_for_its_field(brake: Book) -> None:
    """A adds a want on Buy; the words behind it belong to the card."""
    async with at_the_bench(brake) as driver:
        await driver.press("f6")
        driver.at(BuyScreen)
        await at_once(driver, "afelt seal")
        driver.at(WantDialog)
        assert driver.field("what") == "felt seal"


async def test_a_code_among_typing_that_comes_at_once_stays_typing(brake: Book) -> None:
    """A paste of a sentence with a code in it is text, to the last character."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.tab_to("note")
        await at_once(driver, f"see {code} and the bag")
        assert driver.field("note") == f"see {code} and the bag"


async def test_a_scan_and_what_is_typed_right_behind_it(brake: Book) -> None:
    """The scan is added in Behind; what follows goes on in the form."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="nut")
        await driver.tab_to("behind")
        await driver.scan(code)
        await at_once(driver, "⇥⇥⇥left over")
        assert driver.field("behind") == code
        assert "left over" in (driver.field("note"), driver.field("number"), driver.field("photo"))
