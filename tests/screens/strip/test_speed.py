"""Strip at the speed of the driver: how many keys a bag takes, and what outlasts a crash."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.records import Part
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.fit_cards import LinesDialog
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.pickers import WhichPartDialog
from tagbench.screens.shared.unsaved import UnsavedDialog
from tagbench.screens.strip.screen import StripScreen
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.conftest import NOW
from tests.screens.driver import ScreenDriver, at_the_bench

BRAKE, SHELF = "Front wheel / Brake", "Shelf A / Box 2 / Bag 7"


class Counted:
    """A driver whose keys are counted."""

    def __init__(self, driver: ScreenDriver) -> None:
        self.driver = driver
        self.keys = 0
        self.scans = 0

    async def press(self, *keys: str) -> None:
        self.keys += len(keys)
        await self.driver.press(*keys)

    async def write(self, text: str) -> None:
        self.keys += len(text)
        await self.driver.write(text)

    async def scan(self, code: str) -> None:
        self.scans += 1
        await self.driver.scan(code)


@contextmanager
def counting(driver: ScreenDriver, keys: int) -> Iterator[Counted]:
    """Counts the keys pressed within, which may be so many at most."""
    counted = Counted(driver)
    yield counted
    assert counted.keys <= keys, f"{counted.keys} keys instead of {keys}"


def latest(book: Book) -> Part:
    return max(book.records.parts.values(), key=lambda part: part.order)


@pytest.fixture
def begun(empty: Book) -> Book:
    """A machine from whose rear brake something has come off into a bag."""
    add(empty, "Tarnbrook Packman", "TP")
    strip_part(empty, StripForm(name="brake drum", assembly="Rear wheel / Brake", bin=SHELF))
    return empty


async def test_the_first_bag_with_full_details_takes_forty_keys(begun: Book) -> None:
    """From, bag, name, fasteners, side, quantity, how it sits, what came off first."""
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        with counting(driver, 40) as counted:
            await counted.press("pagedown", "up", "up")
            await counted.write("Fro")
            await counted.press("right", "tab", "tab")
            await counted.write("brake sh")
            await counted.press("right", "tab")
            await counted.write("2x m6x20")
            await counted.press("tab")
            await counted.write("l")
            await counted.press("right", "tab", "2", "tab")
            await counted.write("pu")
            await counted.press("right", "ctrl+o", "enter")
        part = latest(begun)
        assert part.assembly == "Front wheel"
        assert begun.records.bins[part.bin].name == "Bag 8"
        assert (part.name, part.position, part.quantity) == ("brake shoe", "left", 2)
        assert part.fasteners[0].quantity == 2
        assert part.sits_how == "punch mark up"
        assert len(part.behind) == 1


async def test_the_next_part_of_the_same_bag_takes_twelve_keys(begun: Book) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        with counting(driver, 12) as counted:
            await counted.write("brake sp")
            await counted.press("ctrl+o", "enter")
        part, before = latest(begun), sorted(begun.records.parts.values(), key=lambda p: p.order)[0]
        assert (part.assembly, part.bin) == (before.assembly, before.bin)
        assert part.behind == (before.code,)


async def test_the_next_bag_takes_one_key(begun: Book) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        with counting(driver, 1) as counted:
            await counted.press("pagedown")
        assert driver.field("bin") == "Shelf A / Box 2 / Bag 8"
        await driver.press("pageup")
        assert driver.field("bin") == SHELF


async def test_the_same_again_on_the_other_side_takes_two_keys(begun: Book) -> None:
    form = StripForm(
        name="brake shoe",
        assembly=BRAKE,
        position="left",
        quantity=2,
        fasteners=parse_fasteners("2x M6x20 hex"),
        sits_how="long end up",
    )
    strip_part(begun, form)
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        with counting(driver, 2) as counted:
            await counted.press("ctrl+f", "enter")
        part = latest(begun)
        assert (part.name, part.position, part.quantity) == ("brake shoe", "right", 2)
        assert part.assembly == BRAKE
        assert [line.thread for line in part.fasteners] == ["M6x1"]
        assert part.sits_how == "long end up"
        assert part.twin == begun.records.parts[part.twin].code


async def test_scan_snug_torque_takes_five_keys_and_two_scans(begun: Book) -> None:
    from tagbench.book.operations.care import tick_off

    form = StripForm(
        name="axle clamp", assembly=BRAKE, fasteners=parse_fasteners("2x M8x25 hex 20-25 N·m")
    )
    clamp = strip_part(begun, form).code
    for step in ("degreased", "reuse"):
        tick_off(begun, [clamp], step)
    async with at_the_bench(begun) as driver:
        await driver.press("f7")
        with counting(driver, 5) as counted:
            await counted.scan(clamp)
            await counted.press("s")
            await counted.scan(clamp)
            await counted.press("t")
            await driver.until(lambda: isinstance(driver.screen, LinesDialog))
            await counted.write("22")
            await counted.press("enter")
        await driver.until(lambda: not isinstance(driver.screen, FitDialog | LinesDialog))
        part = begun.records.parts[clamp]
        assert (part.fitted, part.fasteners[0].torqued) == ("fitted", 22)
        assert counted.scans == 2


# Context


async def test_from_and_bin_come_back_after_a_restart(begun: Book) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        assert (driver.field("assembly"), driver.field("bin")) == ("Rear wheel / Brake", SHELF)
        assert driver.app.focused is not None and driver.app.focused.id == "name"


async def test_what_is_prefilled_is_replaced_by_typing_and_what_was_typed_is_not(
    begun: Book,
) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.tab_to("assembly")
        await driver.write("Eng")
        assert driver.field("assembly") == "Eng"
        await driver.press("tab", "shift+tab")
        await driver.write("ine")
        assert driver.field("assembly") == "Engine"


async def test_a_refusal_goes_when_something_else_is_typed(begun: Book) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2", "enter")
        assert "Say in a word or two what it is." in driver.said
        await driver.write("n")
        assert driver.said == ""


# What came off first


async def test_what_came_off_first_is_named_by_name_or_short_code(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        for typed in ("drum", "1", "tp 1", "tp-1", drum.lower()):
            await driver.fill(name="nut", behind=typed)
            assert f"= brake drum {drum}" in driver.shown
            await driver.press("enter")
            assert latest(begun).behind == (drum,)


async def test_what_came_off_first_is_chosen_from_the_list(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.tab_to("behind")
        await driver.press("ctrl+b")
        driver.at(WhichPartDialog)
        await driver.press("enter")
        assert driver.field("behind") == drum


async def test_the_last_part_is_offered_across_assemblies(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Engine", name="piston")
        assert f"Ctrl+O: brake drum {drum}" in driver.shown


# Scans


async def test_a_scan_in_behind_is_added_and_elsewhere_opens_the_record(begun: Book) -> None:
    first = latest(begun).code
    second = strip_part(begun, StripForm(name="spring", assembly=BRAKE)).code
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.fill(name="nut", behind=first)
        await driver.scan(second)
        assert driver.field("behind") == f"{first}; {second}"
        await driver.scan(second)
        assert driver.field("behind") == f"{first}; {second}"
        await driver.tab_to("note")
        await driver.write("half")
        await driver.scan(second)
        driver.at(PartScreen)
        await driver.press("escape")
        driver.at(StripScreen)
        assert driver.field("note") == "half"
        assert driver.field("name") == "nut"


async def test_a_bag_scanned_in_the_bin_field_is_taken(begun: Book) -> None:
    bag = latest(begun).bin
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.fill(bin="Tin")
        await driver.scan(bag)
        assert driver.field("bin") == bag
        await driver.fill(name="nut")
        await driver.press("enter")
        assert latest(begun).bin == bag


# A crash


async def wait_for_file(driver: ScreenDriver, book: Book) -> UnsavedForm:
    saved = Autosave(book.folder)
    await driver.until(lambda: saved.load("strip") is not None)
    unsaved = saved.load("strip")
    assert unsaved is not None
    return unsaved


async def test_a_half_typed_form_is_written_aside_and_offered_on_return(begun: Book) -> None:
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Engine", name="piston rin", fasteners="circlip", note="stuck")
        unsaved = await wait_for_file(driver, begun)
        await driver.until(lambda: unsaved.fields.get("note") == "stuck" or _again(begun, unsaved))
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        driver.at(UnsavedDialog)
        assert "piston rin" in driver.shown
        await driver.press("enter")
        assert driver.field("assembly") == "Engine"
        assert driver.field("name") == "piston rin"
        assert driver.field("fasteners") == "circlip"
        assert driver.field("note") == "stuck"
        await driver.press("enter")
        assert latest(begun).name == "piston rin"
        await driver.until(lambda: Autosave(begun.folder).load("strip") is None)


def _again(book: Book, unsaved: UnsavedForm) -> bool:
    now = Autosave(book.folder).load("strip")
    return now is not None and now.fields.get("note") == "stuck"


async def test_what_is_offered_stays_on_the_disk_until_it_is_answered(begun: Book) -> None:
    """A second crash while the question stands loses nothing."""
    saved = UnsavedForm(NOW, {"name": "piston"})
    Autosave(begun.folder).save("strip", saved)
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        driver.at(UnsavedDialog)
        strip = driver.app.screen_stack[-2]
        assert isinstance(strip, StripScreen)
        strip._write_typed()
        assert Autosave(begun.folder).load("strip") == saved
        await driver.press("enter")
        assert driver.field("name") == "piston"


async def test_a_disk_that_refuses_is_said_once_and_stops_nothing(begun: Book) -> None:
    (Path(begun.folder) / "unsaved").write_text("in the way")
    async with at_the_bench(begun) as driver:
        await driver.press("f2")
        await driver.write("nut")
        await driver.until(lambda: "not kept until Enter" in driver.said)
        await driver.press("enter")
        assert latest(begun).name == "nut"


async def test_a_half_typed_change_of_a_part_is_offered_on_its_card(begun: Book) -> None:
    """Only what was typed comes back; what else is in the book meanwhile stays."""
    drum = latest(begun).code
    async with at_the_bench(begun) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+e")
        await driver.fill(note="half a sen")
        saved = Autosave(begun.folder)
        await driver.until(lambda: saved.load(f"edit {drum}") is not None)
    async with at_the_bench(begun) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+e")
        driver.at(UnsavedDialog)
        driver.clock.now += 1.0
        await driver.press("enter")
        assert driver.field("note") == "half a sen"
        assert driver.field("name") == "brake drum"
        await driver.press("enter")
        assert begun.records.parts[drum].note == "half a sen"
        assert saved.load(f"edit {drum}") is None


async def test_a_card_closed_with_escape_offers_nothing(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+e")
        await driver.fill(note="half")
        saved = Autosave(begun.folder)
        await driver.until(lambda: saved.load(f"edit {drum}") is not None)
        await driver.press("escape")
        assert saved.load(f"edit {drum}") is None
