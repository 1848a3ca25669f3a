"""Strip at the speed of the hands: how many keys a bag takes, and what outlasts a crash."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip
from tagbench.records import Part
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.fit_cards import LinesDialog
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.confirm import ConfirmDialog
from tagbench.screens.shared.pickers import WhichPartDialog
from tagbench.screens.strip.screen import StripScreen
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.conftest import NOW
from tests.screens.driver import ScreenDriver, at_the_bench

BRAKE, SHELF = "Front wheel / Brake", "Shelf A / Box 2 / Bag 7"


class Counted:
    """A pair of hands whose keys are counted."""

    def __init__(self, hands: ScreenDriver) -> None:
        self.hands = hands
        self.keys = 0
        self.scans = 0

    async def press(self, *keys: str) -> None:
        self.keys += len(keys)
        await self.hands.press(*keys)

    async def write(self, text: str) -> None:
        self.keys += len(text)
        await self.hands.write(text)

    async def scan(self, code: str) -> None:
        self.scans += 1
        await self.hands.scan(code)


@contextmanager
def counting(hands: ScreenDriver, keys: int) -> Iterator[Counted]:
    """Counts the keys pressed within, which may be so many at most."""
    counted = Counted(hands)
    yield counted
    assert counted.keys <= keys, f"{counted.keys} keys instead of {keys}"


def latest(book: Book) -> Part:
    return max(book.records.parts.values(), key=lambda part: part.order)


@pytest.fixture
def begun(empty: Book) -> Book:
    """A machine from whose rear brake something has come off into a bag."""
    add(empty, "Tarnbrook Packman", "TP")
    strip(empty, StripForm(name="brake drum", assembly="Rear wheel / Brake", bin=SHELF))
    return empty


async def test_the_first_bag_with_full_details_takes_forty_keys(begun: Book) -> None:
    """From, bag, name, fasteners, side, quantity, how it sits, what came off first."""
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        with counting(hands, 40) as counted:
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
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        with counting(hands, 12) as counted:
            await counted.write("brake sp")
            await counted.press("ctrl+o", "enter")
        part, before = latest(begun), sorted(begun.records.parts.values(), key=lambda p: p.order)[0]
        assert (part.assembly, part.bin) == (before.assembly, before.bin)
        assert part.behind == (before.code,)


async def test_the_next_bag_takes_one_key(begun: Book) -> None:
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        with counting(hands, 1) as counted:
            await counted.press("pagedown")
        assert hands.field("bin") == "Shelf A / Box 2 / Bag 8"
        await hands.press("pageup")
        assert hands.field("bin") == SHELF


async def test_the_same_again_on_the_other_side_takes_two_keys(begun: Book) -> None:
    form = StripForm(
        name="brake shoe",
        assembly=BRAKE,
        position="left",
        quantity=2,
        fasteners=parse_fasteners("2x M6x20 hex"),
        sits_how="long end up",
    )
    strip(begun, form)
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        with counting(hands, 2) as counted:
            await counted.press("ctrl+f", "enter")
        part = latest(begun)
        assert (part.name, part.position, part.quantity) == ("brake shoe", "right", 2)
        assert part.assembly == BRAKE
        assert [line.thread for line in part.fasteners] == ["M6x1"]
        assert part.sits_how == "long end up"
        assert part.twin == begun.records.parts[part.twin].code


async def test_scan_snug_torque_takes_five_keys_and_two_scans(begun: Book) -> None:
    from tagbench.book.operations.care import mark

    form = StripForm(
        name="axle clamp", assembly=BRAKE, fasteners=parse_fasteners("2x M8x25 hex 20-25 N·m")
    )
    clamp = strip(begun, form).code
    for step in ("degreased", "reuse"):
        mark(begun, [clamp], step)
    async with at_the_bench(begun) as hands:
        await hands.press("f7")
        with counting(hands, 5) as counted:
            await counted.scan(clamp)
            await counted.press("s")
            await counted.scan(clamp)
            await counted.press("t")
            await hands.until(lambda: isinstance(hands.screen, LinesDialog))
            await counted.write("22")
            await counted.press("enter")
        await hands.until(lambda: not isinstance(hands.screen, FitDialog | LinesDialog))
        part = begun.records.parts[clamp]
        assert (part.fitted, part.fasteners[0].torqued) == ("fitted", 22)
        assert counted.scans == 2


# Context


async def test_from_and_bin_come_back_after_a_restart(begun: Book) -> None:
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        assert (hands.field("assembly"), hands.field("bin")) == ("Rear wheel / Brake", SHELF)
        assert hands.app.focused is not None and hands.app.focused.id == "name"


async def test_what_is_prefilled_is_replaced_by_typing_and_what_was_typed_is_not(
    begun: Book,
) -> None:
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.tab_to("assembly")
        await hands.write("Eng")
        assert hands.field("assembly") == "Eng"
        await hands.press("tab", "shift+tab")
        await hands.write("ine")
        assert hands.field("assembly") == "Engine"


async def test_a_refusal_goes_when_something_else_is_typed(begun: Book) -> None:
    async with at_the_bench(begun) as hands:
        await hands.press("f2", "enter")
        assert "Say in a word or two what it is." in hands.said
        await hands.write("n")
        assert hands.said == ""


# What came off first


async def test_what_came_off_first_is_named_by_name_or_short_code(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        for typed in ("drum", "1", "tp 1", "tp-1", drum.lower()):
            await hands.fill(name="nut", behind=typed)
            assert f"= brake drum {drum}" in hands.shown
            await hands.press("enter")
            assert latest(begun).behind == (drum,)


async def test_what_came_off_first_is_chosen_from_the_list(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.tab_to("behind")
        await hands.press("ctrl+b")
        hands.at(WhichPartDialog)
        await hands.press("enter")
        assert hands.field("behind") == drum


async def test_the_last_part_is_offered_across_assemblies(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.fill(assembly="Engine", name="piston")
        assert f"Ctrl+O: brake drum {drum}" in hands.shown


# Scans


async def test_a_scan_in_behind_is_added_and_elsewhere_opens_the_record(begun: Book) -> None:
    first = latest(begun).code
    second = strip(begun, StripForm(name="spring", assembly=BRAKE)).code
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.fill(name="nut", behind=first)
        await hands.scan(second)
        assert hands.field("behind") == f"{first}; {second}"
        await hands.scan(second)
        assert hands.field("behind") == f"{first}; {second}"
        await hands.tab_to("note")
        await hands.write("half")
        await hands.scan(second)
        hands.at(PartScreen)
        await hands.press("escape")
        hands.at(StripScreen)
        assert hands.field("note") == "half"
        assert hands.field("name") == "nut"


async def test_a_bag_scanned_in_the_bin_field_is_taken(begun: Book) -> None:
    bag = latest(begun).bin
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.fill(bin="Tin")
        await hands.scan(bag)
        assert hands.field("bin") == bag
        await hands.fill(name="nut")
        await hands.press("enter")
        assert latest(begun).bin == bag


# A crash


async def wait_for_file(hands: ScreenDriver, book: Book) -> UnsavedForm:
    saved = Autosave(book.folder)
    await hands.until(lambda: saved.load("strip") is not None)
    unsaved = saved.load("strip")
    assert unsaved is not None
    return unsaved


async def test_a_half_typed_form_is_written_aside_and_offered_on_return(begun: Book) -> None:
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.fill(assembly="Engine", name="piston rin", fasteners="circlip", note="stuck")
        unsaved = await wait_for_file(hands, begun)
        await hands.until(lambda: unsaved.fields.get("note") == "stuck" or _again(begun, unsaved))
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        hands.at(ConfirmDialog)
        assert "piston rin" in hands.shown
        await hands.press("enter")
        assert hands.field("assembly") == "Engine"
        assert hands.field("name") == "piston rin"
        assert hands.field("fasteners") == "circlip"
        assert hands.field("note") == "stuck"
        await hands.press("enter")
        assert latest(begun).name == "piston rin"
        await hands.until(lambda: Autosave(begun.folder).load("strip") is None)


def _again(book: Book, unsaved: UnsavedForm) -> bool:
    now = Autosave(book.folder).load("strip")
    return now is not None and now.fields.get("note") == "stuck"


async def test_a_half_typed_form_that_is_not_wanted_is_gone(begun: Book) -> None:
    Autosave(begun.folder).save("strip", UnsavedForm(NOW, {"name": "piston"}))
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        hands.at(ConfirmDialog)
        await hands.press("escape")
        assert hands.field("name") == ""
        assert Autosave(begun.folder).load("strip") is None


async def test_a_disk_that_refuses_is_said_once_and_stops_nothing(begun: Book) -> None:
    (Path(begun.folder) / "unsaved").write_text("in the way")
    async with at_the_bench(begun) as hands:
        await hands.press("f2")
        await hands.write("nut")
        await hands.until(lambda: "not kept until Enter" in hands.said)
        await hands.press("enter")
        assert latest(begun).name == "nut"


async def test_a_half_typed_change_of_a_part_is_offered_on_its_card(begun: Book) -> None:
    """Only what was typed comes back; what else is in the book meanwhile stays."""
    drum = latest(begun).code
    async with at_the_bench(begun) as hands:
        await hands.scan(drum)
        await hands.press("ctrl+e")
        await hands.fill(note="half a sen")
        saved = Autosave(begun.folder)
        await hands.until(lambda: saved.load(f"edit {drum}") is not None)
    async with at_the_bench(begun) as hands:
        await hands.scan(drum)
        await hands.press("ctrl+e")
        hands.at(ConfirmDialog)
        hands.clock.now += 1.0
        await hands.press("enter")
        assert hands.field("note") == "half a sen"
        assert hands.field("name") == "brake drum"
        await hands.press("enter")
        assert begun.records.parts[drum].note == "half a sen"
        assert saved.load(f"edit {drum}") is None


async def test_a_card_closed_with_escape_offers_nothing(begun: Book) -> None:
    drum = latest(begun).code
    async with at_the_bench(begun) as hands:
        await hands.scan(drum)
        await hands.press("ctrl+e")
        await hands.fill(note="half")
        saved = Autosave(begun.folder)
        await hands.until(lambda: saved.load(f"edit {drum}") is not None)
        await hands.press("escape")
        assert saved.load(f"edit {drum}") is None
