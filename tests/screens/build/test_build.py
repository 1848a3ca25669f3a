"""Build: the lists, every reason, the evening's plan, the way back to a part, its links."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.stock import count_stock
from tagbench.book.operations.strip import edit
from tagbench.records import replace
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.lay_out import LayOutDialog
from tagbench.screens.build.links import LinksDialog
from tagbench.screens.build.screen import BuildScreen
from tagbench.screens.part.screen import PartScreen
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import caught_up, clutch, go_to_build


def line_with(driver: ScreenDriver, words: str) -> str:
    """The line of the screen that has these words in it."""
    return next(line for line in driver.shown.splitlines() if words in line)


async def test_only_the_deepest_part_is_ready(empty: Book) -> None:
    """Four parts in a row: the hub goes on first, the others wait for the one beneath."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        assert "Ready 1" in driver.shown
        assert codes.hub in driver.shown
        assert "in Box 2" in line_with(driver, codes.hub)
        await driver.press("right", "right")
        assert "▸Held up 3" in driver.shown
        assert f"after {codes.inner}" in line_with(driver, "Outer cover")


async def test_every_reason_is_given_and_not_only_the_first(empty: Book) -> None:
    """A dirty part without a verdict that goes on after another one: three reasons, in full."""
    codes = clutch(empty, clean=False)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("right", "right")
        assert f"after {codes.hub}, dirty, undecided" in line_with(driver, codes.inner)
        await driver.press("down")
        for reason in (
            f"goes on after Clutch hub {codes.hub}",
            "not degreased",
            "not decided: reuse or replace",
        ):
            assert reason in driver.shown


async def test_tonight_goes_on_from_step_to_step(empty: Book) -> None:
    """Nothing is missing, so all four can go on tonight, deepest first."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("right")
        assert "▸Tonight 4" in driver.shown
        shown = driver.shown
        places = [shown.index(f"{n}.  {code}") for n, code in enumerate(reversed(codes), 1)]
        assert places == sorted(places)


async def test_tonight_stops_at_what_is_not_here(empty: Book) -> None:
    """A dirty inner cover keeps all further out from going on."""
    codes = clutch(empty, clean=False)
    tick_off(empty, [codes.hub, codes.cover, codes.lever], "degreased")
    tick_off(empty, codes, "reuse")
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        assert "Tonight 1" in driver.shown


async def test_by_assembly_and_as_one_list(empty: Book) -> None:
    """A makes headings, Enter folds one, A makes one list again."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("a")
        assert "- Engine / Clutch   (1)" in driver.shown
        await driver.press("up", "enter")
        assert "+ Engine / Clutch   (1)" in driver.shown
        assert codes.hub not in driver.shown
        await driver.press("a")
        assert codes.hub in driver.shown


async def test_what_is_on_says_what_is_open_about_it(empty: Book) -> None:
    """A fitted hub without its torque, its washer not renewed."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press(*["right"] * 3)
        assert "fitted, 2 open" in line_with(driver, codes.hub)
        assert "not torqued yet, 40–48 N·m" in driver.shown
        assert "not renewed: tab washer 14.5" in driver.shown


async def test_scanning_a_tag_opens_its_fit_card(empty: Book) -> None:
    """Whatever list is open."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.scan(codes.cover)
        driver.at(FitDialog)
        assert "Outer cover" in driver.shown


async def test_the_lists_follow_what_was_done(empty: Book) -> None:
    """The hub goes on: the inner cover is ready, and the notice line says what is still open."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("enter", "s")
        await caught_up(driver, "Held up 2")
        assert codes.inner in line_with(driver, "Inner cover")
        assert "not torqued yet, 40–48 N·m" in driver.said


async def test_what_to_lay_out_for_the_next_steps(empty: Book) -> None:
    """Bag, tools, torques and single-use items with what the drawer has."""
    clutch(empty)
    count_stock(empty, "tab washer 14.5", 3)
    async with at_the_bench(empty, LARGE) as driver:
        await go_to_build(driver)
        await driver.press("l")
        driver.at(LayOutDialog)
        for words in (
            "The next 4 steps",
            "Box 2, on Shelf A",
            "spanner 13 mm",
            "torque wrench",
            "Clutch hub, nut M14x1.5: 40–48 N·m",
            "1 × tab washer 14.5 mm (3 in stock)",
            "step 1        Clutch hub",
        ):
            assert words in driver.shown


async def test_a_plan_warns_before_anything_is_fitted(empty: Book) -> None:
    """Only the outer cover is marked: that would shut in the inner one and the hub."""
    codes = clutch(empty)
    async with at_the_bench(empty, LARGE) as driver:
        await go_to_build(driver)
        await driver.press(*["right"] * 4, "down", "down", "space", "l")
        assert "1 step of your plan" in driver.shown
        assert "✗ too early" in driver.shown
        assert "would shut in Clutch hub" in driver.shown
        assert all(empty.records.parts[code].fitted == "off" for code in codes)


async def test_a_plan_counts_what_goes_on_before(empty: Book) -> None:
    """With hub and inner cover marked as well there is nothing to warn of; marks outlast lists."""
    clutch(empty)
    async with at_the_bench(empty, LARGE) as driver:
        await go_to_build(driver)
        await driver.press("space", *["right"] * 4, "down", "space", "space", "l")
        assert "3 steps of your plan" in driver.shown
        assert "too early" not in driver.shown


async def test_the_way_back_to_a_part_and_what_it_undoes(empty: Book) -> None:
    """In order, with what becomes unfitted, unsnugged and unsettled."""
    codes = clutch(empty)
    for code in reversed(codes[1:]):
        torqued = {1: 44.0} if code == codes.hub else {}
        fit_part(
            empty,
            code,
            FitForm(snug=code == codes.cover, torqued=torqued, renewed=[2] * bool(torqued)),
        )
    async with at_the_bench(empty, LARGE) as driver:
        await go_to_build(driver)
        await driver.press(*["right"] * 3, "down", "r")
        assert f"Getting back to {codes.hub}" in driver.shown
        for words in (
            f"take off      1. Outer cover {codes.cover}",
            f"              2. Inner cover {codes.inner}",
            "unfitted      Inner cover",
            "unsnugged     Outer cover",
            "torque again: Clutch hub",
        ):
            assert words in driver.shown
        await driver.press("w")
        await caught_up(driver, "On 1")
        states = {code: empty.records.parts[code].fitted for code in codes}
        assert [states[code] for code in codes] == ["off", "off", "off", "fitted"]


async def test_a_shut_in_part_is_got_back_to(empty: Book) -> None:
    """The inner cover was left out: the outer one comes off, the inner one stays off."""
    codes = clutch(empty)
    fit_part(empty, codes.hub)
    fit_part(empty, codes.cover, FitForm(anyway=True, why="forgot"))
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press(*["right"] * 4, "down", "r")
        assert f"1. Outer cover {codes.cover}" in driver.shown
        await driver.press("o")
        assert "Off again: Outer cover." in driver.said
        assert empty.records.parts[codes.cover].fitted == "off"


async def test_links_are_drawn_further_and_nearer(empty: Book) -> None:
    """One link away first, more with the arrow."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("k")
        assert f"▶ {codes.hub}" in driver.shown
        assert f"├─ {codes.inner}" in driver.shown
        assert codes.lever not in driver.shown
        await driver.press("ctrl+o", "ctrl+o")
        assert f"├───── {codes.lever}" in driver.shown
        await driver.press("ctrl+p")
        assert codes.lever not in driver.shown


async def test_links_are_changed_by_typing_or_scanning(empty: Book) -> None:
    """A scanned part is added to what had to come off first."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("k")
        await driver.scan(codes.lever)
        driver.at(LinksDialog)
        named = f"came off first: Inner cover {codes.inner}, Kick start lever {codes.lever}"
        assert named in driver.shown
        driver.clock.now += 1.0
        await driver.press("enter")
        assert empty.records.parts[codes.hub].behind == (codes.inner, codes.lever)
        assert "saved" in driver.said


async def test_a_loop_is_refused_and_spelled_out(empty: Book) -> None:
    """Lever behind hub, hub behind inner cover, and so on round to the lever."""
    codes = clutch(empty)
    async with at_the_bench(empty, LARGE) as driver:
        await go_to_build(driver)
        await driver.press(*["right"] * 4, "end", "k")
        await driver.write(codes.hub)
        await driver.press("enter")
        driver.at(LinksDialog)
        assert "That would make a loop" in driver.said
        for name in ("Kick start lever", "Clutch hub", "Inner cover", "Outer cover"):
            assert name in driver.said
        assert empty.records.parts[codes.lever].behind == ()


async def test_a_part_without_links_can_go_on_at_any_time(empty: Book) -> None:
    """Said so in the drawing."""
    codes = clutch(empty)
    edit(empty, codes.hub, behind=())
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("k")
        assert "no links" in driver.shown


@pytest.mark.parametrize(
    ("ending", "begins"), [("txt", "Build sheet"), ("html", "<!DOCTYPE html>"), ("csv", "step,")]
)
async def test_the_order_is_printed(empty: Book, tmp_path: Path, ending: str, begins: str) -> None:
    """As plain text, as a page, and as a table."""
    clutch(empty)
    target = tmp_path / f"sheet.{ending}"
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("p", "ctrl+u")
        await driver.write(str(target))
        await driver.press("enter")
        await driver.until(lambda: "build sheet is in" in driver.said)
    text = target.read_text(encoding="utf-8-sig")
    assert text.casefold().startswith(begins.casefold())
    assert text.index("Clutch hub") < text.index("Kick start lever")


async def test_a_file_is_written_over_only_after_a_question(empty: Book, tmp_path: Path) -> None:
    """And a form that is none is refused before."""
    clutch(empty)
    target = tmp_path / "sheet.txt"
    target.write_text("mine")
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("p", "ctrl+u")
        await driver.write(str(target.with_suffix(".doc")))
        await driver.press("enter")
        assert "End the file name" in driver.said
        await driver.press("ctrl+u")
        await driver.write(str(target))
        await driver.press("enter", "escape")
        assert target.read_text() == "mine"
        await driver.press("enter", "enter")
        await driver.until(lambda: isinstance(driver.screen, BuildScreen))
    assert "Clutch hub" in target.read_text()


async def test_the_page_of_a_part_is_one_key_away(empty: Book) -> None:
    """O on the row."""
    codes = clutch(empty)
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        await driver.press("o")
        assert driver.at(PartScreen).code == codes.hub


async def test_an_empty_book_has_nothing_to_build(empty: Book) -> None:
    """No key does harm, and the last one was told why it does nothing."""
    async with at_the_bench(empty) as driver:
        await driver.press("f7", "r", "k", "l", "a", "right", "enter", "space")
        driver.at(BuildScreen)
        assert driver.said == "There is nothing here."  # to Enter; the others found no part


async def test_a_loop_that_is_in_the_book_is_spelled_out(empty: Book) -> None:
    """Written by another program or an import; the rest can be built all the same."""
    codes = clutch(empty)
    with empty.change("a loop") as transaction:
        lever = transaction.records.parts[codes.lever]
        transaction.put(replace(lever, behind=(codes.hub,)))
    async with at_the_bench(empty) as driver:
        await go_to_build(driver)
        words = " ".join(driver.shown.split())
        assert f"Kick start lever {codes.lever} is behind Clutch hub {codes.hub}" in words
        assert "take one of these links out" in words
