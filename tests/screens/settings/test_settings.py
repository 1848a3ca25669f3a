"""Settings: measured against the range, and measured again after other work."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part, take_off_again
from tagbench.book.operations.settings import SettingForm, add_setting, measure
from tagbench.screens.settings.cards import SettingDialog
from tagbench.screens.settings.screen import SettingsScreen
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import clutch


async def measured(driver: ScreenDriver, text: str) -> None:
    """Writes a value down for the setting under the cursor."""
    await driver.press("enter")
    await driver.write(text)
    await driver.press("enter")


@pytest.mark.parametrize(
    ("text", "state"),
    [("4 mm", "inside"), ("2", "✗ too low"), ("6 mm", "✗ too high"), ("1/8 in", "inside")],
)
async def test_a_value_is_inside_low_or_high(empty: Book, text: str, state: str) -> None:
    """Against 3-5 mm; another unit is converted (1/8 in is 3.175 mm, by the inch of 25.4 mm)."""
    fit_part(empty, clutch(empty).hub)
    async with at_the_bench(empty) as driver:
        await driver.press("f9")
        assert "not measured" in driver.shown
        await measured(driver, text)
        line = next(line for line in driver.shown.splitlines() if "] clutch free play" in line)
        assert line.rstrip().endswith(state)


async def test_the_card_says_it_while_one_types(empty: Book) -> None:
    """Before anything is written down; nonsense is said to be that."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "enter")
        await driver.write("6")
        assert "6 mm: ✗ over the range 3-5 mm" in driver.shown
        await driver.press("ctrl+u")
        await driver.write("much")
        await driver.press("enter")
        assert driver.said
        assert empty.records.settings["1"].measured is None


async def test_a_value_outside_stays_open(empty: Book) -> None:
    """It is written down all the same; the head line counts it."""
    fit_part(empty, clutch(empty).hub)
    async with at_the_bench(empty) as driver:
        await driver.press("f9")
        await measured(driver, "6")
        assert "1 of 1 still to be seen to" in driver.shown
        await measured(driver, "4")
        assert "0 of 1 still to be seen to" in driver.shown


async def test_refitting_a_part_re_opens_its_setting(empty: Book) -> None:
    """The hub came off and went on again: the free play is to be measured again, and why."""
    codes = clutch(empty)
    fit_part(empty, codes.hub, FitForm(torqued={1: 44}))
    measure(empty, 1, "4 mm")
    async with at_the_bench(empty, LARGE) as driver:
        await driver.press("f9")
        assert "inside" in driver.shown
        take_off_again(empty, codes.hub)
        fit_part(empty, codes.hub)
        driver.app.book_changed()
        await driver.settle()
        assert "measure again" in driver.shown
        assert f"Clutch hub {codes.hub}" in driver.shown
        assert "went on again" in driver.shown


async def test_rechecking_by_hand_wants_a_reason(empty: Book) -> None:
    """R, then why."""
    fit_part(empty, clutch(empty).hub)
    measure(empty, 1, "4 mm")
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "r", "enter")
        assert "why it must be measured again" in driver.said
        await driver.write("new cable")
        await driver.press("enter")
        driver.at(SettingsScreen)
        assert "measure again: new cable" in driver.shown


async def test_a_new_setting_with_a_part_that_is_scanned(empty: Book) -> None:
    """The form says how the range is understood and which parts re-open it."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "n")
        await driver.fill(what="chain slack", range="20-30 mm", assembly="Chain drive")
        assert "= from 20 to 30 mm" in driver.shown
        await driver.tab_to("after")
        await driver.scan(codes.cover)
        driver.at(SettingDialog)
        assert "measured again when these go on: Outer cover" in driver.shown
        driver.clock.now += 1.0
        await driver.press("enter")
        setting = empty.records.settings["2"]
        assert (setting.what, setting.low, setting.unit) == ("chain slack", 20, "mm")
        assert setting.after == (codes.cover,)
        assert "- Chain drive   (1)" in driver.shown


async def test_a_bad_range_keeps_the_form_open(empty: Book) -> None:
    """Nothing typed is lost."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "n")
        await driver.fill(what="points gap", range="about right")
        await driver.press("enter")
        driver.at(SettingDialog)
        assert driver.said
        assert driver.field("what") == "points gap"
        assert len(empty.records.settings) == 1


async def test_a_setting_is_changed_and_keeps_what_was_measured(empty: Book) -> None:
    """A wider range brings it inside."""
    clutch(empty)
    measure(empty, 1, "6 mm")
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "e")
        await driver.tab_to("range")
        await driver.press("end", "ctrl+u")
        await driver.write("3-7 mm")
        await driver.press("enter")
        setting = empty.records.settings["1"]
        assert (setting.high, setting.measured) == (7.0, 6.0)
        assert setting.after


async def test_a_setting_is_taken_away_only_after_a_question(empty: Book) -> None:
    """D, then Enter."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "d", "escape")
        assert empty.records.settings
        await driver.press("d", "enter")
        assert not empty.records.settings
        assert "No settings yet" in driver.shown


async def test_settings_stand_under_their_assemblies_and_fold(empty: Book) -> None:
    """Enter on a heading."""
    clutch(empty)
    add_setting(empty, SettingForm("points gap", "0.35-0.45 mm", "Electrics"))
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "up", "enter")
        assert "+ Electrics   (1)" in driver.shown
        assert "] points gap" not in driver.shown
        assert "] clutch free play" in driver.shown


async def test_the_settings_are_printed(empty: Book, tmp_path: Path) -> None:
    """As plain text here."""
    clutch(empty)
    target = tmp_path / "settings.txt"
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "p", "ctrl+u")
        await driver.write(str(target))
        await driver.press("enter")
        await driver.until(target.exists)
    assert "clutch free play" in target.read_text(encoding="utf-8")


async def test_without_a_machine_there_is_nothing_to_measure(empty: Book) -> None:
    """And no key does harm."""
    async with at_the_bench(empty) as driver:
        await driver.press("f9", "enter", "r", "e", "d", "p")
        driver.at(SettingsScreen)
        assert "No settings yet" in driver.shown
