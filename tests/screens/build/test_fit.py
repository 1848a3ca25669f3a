"""Fit: the card says all there is to know, each ending has a key, and mistakes are stopped."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.machines import edit_machine
from tagbench.book.operations.photos import attach
from tagbench.book.operations.stock import count_stock
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.records import Units
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.fit_cards import LinesDialog, RefusedDialog
from tagbench.screens.build.screen import BuildScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import clutch, go_to_build


async def scan_to_fit(driver: ScreenDriver, code: str) -> None:
    """Opens the fit card with the scanner."""
    await go_to_build(driver)
    await driver.scan(code)
    driver.at(FitDialog)


def open_keys(book: Book) -> list[str]:
    """The names of the open lines of the count."""
    return [line.key for line in open_lines(machine_count(book.records, "TP"))]


async def test_the_card_says_all_that_is_to_be_known(empty: Book) -> None:
    """What it goes on after, sits how, where it is, its fasteners, its torque."""
    codes = clutch(empty)
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.cover)
        for words in (
            "Outer cover",
            "Engine / Clutch",
            "dowels stay in",
            f"[ ] Inner cover {codes.inner}",
            "in Box 2, on Shelf A",
            "1: 3 × M6x1x25 cheese",
            "torque 7–9 N·m",
            "Leave for now",
        ):
            assert words in driver.shown


async def test_a_ready_part_is_said_to_be_ready(empty: Book) -> None:
    """In words."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        assert "ready: nothing stands in the way" in driver.shown


async def test_every_reason_stands_on_the_card(empty: Book) -> None:
    """Too early, and held up besides."""
    codes = clutch(empty, clean=False)
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.cover)
        assert "It would shut in Clutch hub, Inner cover." in driver.shown
        assert "not degreased" in driver.shown
        assert "not decided: reuse or replace" in driver.shown


async def test_the_torque_is_in_the_unit_of_the_person(empty: Book) -> None:
    """20-25 N·m in pound-feet: 1 lbf·ft = 1.3558 N·m (NIST SP 811, 2008, appendix B.8)."""
    codes = clutch(empty)
    edit_machine(empty, "TP", units=Units(torque="lbf·ft"))
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.lever)
        assert "torque 20–25 N·m (14.8–18.4 lbf·ft)" in driver.shown


async def test_stages_round_a_circle_are_given(empty: Book) -> None:
    """Three screws with a torque: crosswise in stages, then once round."""
    codes = clutch(empty)
    async with at_the_bench(empty, (120, 50)) as driver:
        await scan_to_fit(driver, codes.cover)
        assert "Snug all by hand, then crosswise to 30 %." in driver.shown
        assert "Go once round at the full torque" in driver.shown


async def test_a_castle_nut_is_never_turned_back(empty: Book) -> None:
    """Begin low, on to the next slot, a new cotter pin (AC 43.13-1B, 7-40 and 7-127)."""
    clutch(empty)
    pin = "castle nut M12x1.25 (clamps), 45-55 N·m"
    axle = strip_part(empty, StripForm(name="axle nut", fasteners=parse_fasteners(pin))).code
    async with at_the_bench(empty, (120, 50)) as driver:
        await scan_to_fit(driver, axle)
        assert "Begin at the low figure, 45 N·m" in driver.shown
        assert "Never turn the nut back to a slot." in driver.shown
        assert "Fit a new cotter pin" in driver.shown


async def test_cautions_are_on_the_card(empty: Book) -> None:
    """A brake drum: what warns, and who has the last word."""
    clutch(empty)
    drum = strip_part(empty, StripForm(name="brake drum", assembly="Front wheel / Brake")).code
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, drum)
        assert "! Brakes, steering, wheels" in driver.shown
        assert "Follow the maker's manual and local rules" in driver.shown


async def test_the_picture_is_on_the_card(empty: Book, picture: Path) -> None:
    """In half blocks where the terminal has nothing better."""
    codes = clutch(empty)
    attach(empty, [(picture, codes.hub)])
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.until(lambda: "▀▀▀▀" in driver.shown)


async def test_snug(empty: Book) -> None:
    """One key; the part is on, its torque is still open."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("s")
        driver.at(BuildScreen)
        assert empty.records.parts[codes.hub].fitted == "snug"
        assert "not torqued yet" in driver.said


async def test_torqued_to_a_figure(empty: Book) -> None:
    """Typed in another unit, kept in that of the range: 32 lbf·ft is 43.4 N·m."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("t")
        await driver.write("32 lbf·ft")
        await driver.press("enter")
        hub = empty.records.parts[codes.hub]
        assert hub.fitted == "fitted"
        assert hub.fasteners[0].torqued == pytest.approx(43.386, abs=0.001)


async def test_a_torque_outside_the_range_is_stopped(empty: Book) -> None:
    """Escape goes back to the card; nothing is written down."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("t")
        await driver.write("60")
        await driver.press("enter")
        driver.at(RefusedDialog)
        assert "60 N·m is over the range 40-48 N·m" in driver.shown
        assert "Esc Go back" in driver.shown  # it is on the machine, so nothing is left off
        await driver.press("escape")
        driver.at(FitDialog)
        assert "Nothing is written down" in driver.said
        assert empty.records.parts[codes.hub].fitted == "off"


async def test_a_torque_outside_is_recorded_anyway_with_the_reason(empty: Book) -> None:
    """Without a reason it is not; with one it stays on the open list."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("t")
        await driver.write("60")
        await driver.press("enter", "enter")
        assert "Say why" in driver.said
        await driver.write("later bulletin")
        await driver.press("enter")
        (override,) = empty.records.parts[codes.hub].overrides
        assert (override.what, override.why) == ("torque", "later bulletin")
        assert f"override:{codes.hub}/1" in open_keys(empty)


async def test_a_range_is_no_torque_that_was_reached(empty: Book) -> None:
    """The card for it stays open and says so."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("t")
        await driver.write("40-48")
        await driver.press("enter")
        driver.at(LinesDialog)
        assert "is a range" in driver.said


async def test_burying_is_stopped_with_the_names_and_the_cost(empty: Book) -> None:
    """Escape leaves the part off."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.lever)
        await driver.press("f")
        driver.at(RefusedDialog)
        for words in (
            f"Inner cover {codes.inner}",
            f"Outer cover {codes.cover}",
            "Fit these first:",
            "If it went on now, it would have to come off.",
        ):
            assert words in driver.shown
        assert "Esc Leave it off" in driver.shown
        await driver.press("escape", "escape")
        assert empty.records.parts[codes.lever].fitted == "off"


async def test_fitting_anyway_is_recorded_and_stays_open(empty: Book) -> None:
    """With the names of what was left out."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.inner)
        await driver.press("s")
        await driver.write("trial fit")
        await driver.press("enter")
        (override,) = empty.records.parts[codes.inner].overrides
        assert (override.what, override.codes, override.why) == (
            "buried",
            (codes.hub,),
            "trial fit",
        )
        assert f"override:{codes.inner}/1" in open_keys(empty)
        fit_part(empty, codes.hub, FitForm(anyway=True))
        assert f"override:{codes.inner}/1" not in open_keys(empty)


async def test_missing_fasteners_hold_the_part_up(empty: Book) -> None:
    """Written down at once; the card leaves it off."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.inner)
        await driver.press("m")
        await driver.write("1")
        await driver.press("enter")
        driver.at(FitDialog)
        assert "✗ 1 missing" in driver.shown
        assert "short of 1 of" in driver.shown
        await driver.press("escape")
        assert empty.records.parts[codes.inner].fasteners[0].short == 1


async def test_a_part_goes_on_short_when_that_was_just_said(empty: Book) -> None:
    """Out = back + missing: one of two is back, one is lost."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.inner)
        await driver.press("m")
        await driver.write("1")
        await driver.press("enter", "f")
        inner = empty.records.parts[codes.inner]
        assert inner.fitted == "fitted"
        assert (inner.fasteners[0].back, inner.fasteners[0].short) == (1, 1)
        assert f"lost:{codes.inner}/1" in open_keys(empty)


async def test_more_than_there_are_cannot_be_missing(empty: Book) -> None:
    """The sentence says how many there are."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.inner)
        await driver.press("m")
        await driver.write("3")
        await driver.press("enter")
        assert "between 0 and 2" in driver.said
        assert empty.records.parts[codes.inner].fasteners[0].short == 0


async def test_new_ones_are_taken_from_the_drawer(empty: Book) -> None:
    """Said before the part goes on; the stock is one less afterwards."""
    codes = clutch(empty)
    washers = count_stock(empty, "tab washer 14.5", 3)
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("n")
        assert "The new one lies ready." in driver.shown
        await driver.press("f")
        assert empty.records.parts[codes.hub].fasteners[1].renewed
        assert empty.records.stock[str(washers.id)].quantity == 2
        assert f"renew:{codes.hub}/2" not in open_keys(empty)


async def test_new_ones_of_several_lines_are_marked_one_by_one(empty: Book) -> None:
    """Only the second one is new."""
    clutch(empty)
    two = "circlip 20; cotter pin 3.2x22"
    wheel = strip_part(empty, StripForm(name="wheel", fasteners=parse_fasteners(two))).code
    edit(empty, wheel, fasteners=tuple(single_use(empty, wheel)))
    tick_off(empty, [wheel], "degreased")
    tick_off(empty, [wheel], "reuse")
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, wheel)
        await driver.press("n", "space", "enter", "s")
        assert [line.renewed for line in empty.records.parts[wheel].fasteners] == [False, True]


def single_use(book: Book, code: str) -> list[object]:
    """The lines of a part, all single-use."""
    from tagbench.records import replace

    return [replace(line, single_use=True) for line in book.records.parts[code].fasteners]


async def test_new_ones_on_the_machine_are_written_down_at_once(empty: Book) -> None:
    """The part stays snug."""
    codes = clutch(empty)
    fit_part(empty, codes.hub, FitForm(snug=True))
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("n")
        hub = empty.records.parts[codes.hub]
        assert (hub.fitted, hub.fasteners[1].renewed) == ("snug", True)
        driver.at(FitDialog)


async def test_coming_off_again(empty: Book) -> None:
    """Its torque is to be given again."""
    codes = clutch(empty)
    fit_part(empty, codes.hub, FitForm(torqued={1: 44}))
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        assert "torqued to 44 N·m" in driver.shown
        await driver.press("o", "o")
        hub = empty.records.parts[codes.hub]
        assert (hub.fitted, hub.fasteners[0].torqued) == ("off", None)
        assert "Off again: Clutch hub." in driver.said


async def test_leaving_for_now_changes_nothing(empty: Book) -> None:
    """Neither do F1 and a look at the links."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        before = empty.revision
        await driver.press("f1", "escape", "k", "escape", "escape")
        driver.at(BuildScreen)
        assert empty.revision == before


async def test_scanning_the_next_tag_turns_the_card(empty: Book) -> None:
    """What was said about the part before is forgotten; its code is not typed as keys."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("n")
        await driver.scan(codes.inner)
        assert driver.at(FitDialog).code == codes.inner
        await driver.scan(codes.hub)
        assert "lies ready" not in driver.shown
        assert all(empty.records.parts[code].fitted == "off" for code in codes)


async def test_a_letter_from_the_keyboard_works(empty: Book) -> None:
    """Kept back for a moment, since a scanner types letters too; capitals as well."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.write("S")
        assert empty.records.parts[codes.hub].fitted == "off"
        driver.clock.now += 1.0
        await driver.until(lambda: empty.records.parts[codes.hub].fitted != "off")
        assert empty.records.parts[codes.hub].fitted == "snug"


async def test_an_extension_changes_the_setting(empty: Book) -> None:
    """Wrench 400 mm, 100 mm straight on: 40-48 N·m × 400 / 500 (US Army TM 9-254, ch. 4)."""
    codes = clutch(empty)
    async with at_the_bench(empty, LARGE) as driver:
        await scan_to_fit(driver, codes.hub)
        await driver.press("w")
        await driver.fill(scale="10-80 N·m", wrench="400 mm", extension="100 mm")
        await driver.press("enter")
        assert "Set the wrench to 32–38.4 N·m." in driver.shown
        assert empty.records.machines["TP"].wrench_high == 80
        await driver.scan(codes.inner)
        await driver.scan(codes.hub)
        assert "Set the wrench" not in driver.shown


async def test_another_unit_is_remembered(empty: Book) -> None:
    """For the machine, from the card of the wrench."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, codes.lever)
        await driver.press("w", "ctrl+u")
        await driver.write("ft-lb")
        await driver.press("enter")
        assert empty.records.machines["TP"].units.torque == "lbf·ft"
        assert "14.8–18.4 lbf·ft" in driver.shown


async def test_what_is_not_there_is_said(empty: Book) -> None:
    """No fasteners, nothing that is used once, no picture."""
    clutch(empty)
    bare = strip_part(empty, StripForm(name="dowel")).code
    async with at_the_bench(empty) as driver:
        await scan_to_fit(driver, bare)
        for key, words in (("t", "no fasteners"), ("m", "none can be missing"), ("n", "once")):
            await driver.press(key)
            assert words in driver.said
        await driver.press("v")
        assert "no picture" in driver.said


async def test_the_card_opens_from_the_page_of_a_part(empty: Book) -> None:
    """Found by its words, fitted from there."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await driver.scan(codes.hub)
        driver.at(PartScreen)
        await driver.press("ctrl+f", "s")
        driver.at(PartScreen)
        assert empty.records.parts[codes.hub].fitted == "snug"
        assert "snug" in driver.shown
