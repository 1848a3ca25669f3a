"""The bench follows the phone: what it opens comes up here, but never while one types."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import edit
from tagbench.book.operations.tagging import reserve_spare
from tagbench.screens.app.help import HelpDialog
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.find.bin import BinScreen
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.strip.screen import StripScreen
from tests.phone.test_actions import jpeg, send_photos
from tests.screens.driver import ScreenDriver
from tests.screens.paired_phone import paired_phone


def code(book: Book, name: str) -> str:
    """The code of the part with that name."""
    return next(part.code for part in book.records.parts.values() if part.name == name)


def offered(hands: ScreenDriver) -> bool:
    """Whether the last line of the screen offers what a phone opened."""
    return "F12" in hands.shown.splitlines()[-1]


async def test_a_tag_that_is_opened_comes_up_with_a_quiet_notice(brake: Book) -> None:
    """On the same part page when the next one is opened."""
    async with paired_phone(brake, name="Ann [b]") as (hands, phone):
        drum, plate = code(brake, "brake drum"), code(brake, "backing plate")
        await phone.page(f"/{drum}")
        await hands.until(lambda: isinstance(hands.screen, PartScreen))
        await hands.until(lambda: hands.said == f"Ann [b] opened {drum} brake drum.")
        await phone.page(f"/{plate}")
        await hands.until(lambda: hands.at(PartScreen).code == plate)
        assert len(hands.app.screen_stack) == 2


async def test_parts_and_bins_in_turn_do_not_pile_up(brake: Book) -> None:
    """Escape leads back to where the person was."""
    async with paired_phone(brake) as (hands, phone):
        drum, bin_code = code(brake, "brake drum"), min(brake.records.bins)
        for _ in range(3):
            await phone.page(f"/{drum}")
            await hands.until(lambda: isinstance(hands.screen, PartScreen))
            await phone.page(f"/{bin_code}")
            await hands.until(lambda: isinstance(hands.screen, BinScreen))
        await hands.settle()
        assert len(hands.app.screen_stack) == 2
        await hands.press("escape")
        assert hands.at(BenchScreen)


async def test_it_waits_while_something_is_being_typed(brake: Book) -> None:
    """The field and the screen stay; one key in the footer opens it, and then it is gone."""
    async with paired_phone(brake) as (hands, phone):
        drum = code(brake, "brake drum")
        await hands.press("f3")
        await hands.write("back")
        await phone.page(f"/{drum}")
        await hands.until(lambda: offered(hands))
        assert f"Pocket: {drum}" in hands.shown
        assert hands.at(FindScreen)
        assert hands.field("words") == "back"
        await hands.write("ing")
        assert hands.field("words") == "backing"
        await hands.press("f12")
        assert hands.at(PartScreen).code == drum
        assert not offered(hands)
        await hands.press("escape")
        assert hands.field("words") == "backing"
        assert not offered(hands)


async def test_it_does_not_wait_for_an_empty_field(brake: Book) -> None:
    """Nothing was typed, so nothing is disturbed."""
    async with paired_phone(brake) as (hands, phone):
        await hands.press("f3")
        await phone.page(f"/{code(brake, 'brake drum')}")
        await hands.until(lambda: isinstance(hands.screen, PartScreen))


async def test_it_waits_behind_a_card(brake: Book) -> None:
    """The footer offers it once the card is closed."""
    async with paired_phone(brake) as (hands, phone):
        drum = code(brake, "brake drum")
        await hands.press("f1")
        await phone.page(f"/{drum}")
        await hands.until(lambda: hands.app.phone.following.waiting is not None)
        assert hands.at(HelpDialog)
        await hands.press("escape")
        assert offered(hands)
        await hands.press("f12")
        assert hands.at(PartScreen).code == drum


async def test_the_last_of_several_waits(brake: Book) -> None:
    """The one in the hand."""
    async with paired_phone(brake) as (hands, phone):
        await hands.press("f3")
        await hands.write("x")
        for name in ("brake drum", "backing plate"):
            await phone.page(f"/{code(brake, name)}")
        plate = code(brake, "backing plate")
        await hands.until(lambda: plate in hands.shown.splitlines()[-1])
        await hands.press("f12")
        assert hands.at(PartScreen).code == plate


async def test_a_spare_tag_waits_in_any_case(brake: Book) -> None:
    """Its form is open on the phone; here it opens the strip form when asked for."""
    [spare] = reserve_spare(brake, 1)
    async with paired_phone(brake) as (hands, phone):
        await phone.page(f"/{spare.code}")
        await hands.until(lambda: offered(hands))
        assert hands.at(BenchScreen)
        await hands.press("f12")
        assert hands.at(StripScreen).spare == spare.code


async def test_nothing_waits_at_first(brake: Book) -> None:
    """The key says so."""
    async with paired_phone(brake) as (hands, _):
        await hands.press("f12")
        assert "No phone has opened" in hands.said


@pytest.mark.parametrize("typing", [False, True])
async def test_what_a_phone_changes_is_shown_at_once(brake: Book, typing: bool) -> None:
    """A step ticked there is ticked here; the notice keeps quiet while one types."""
    async with paired_phone(brake) as (hands, phone):
        drum = code(brake, "brake drum")
        await hands.press("f3")
        if typing:
            await hands.write("drum")
        else:
            await phone.page(f"/{drum}")
            await hands.until(lambda: isinstance(hands.screen, PartScreen))
        answer = await phone.send(f"/{drum}/care", step="degreased")
        assert answer.status == 303
        await hands.until(lambda: hands.screen._seen == (brake, brake.revision))  # type: ignore[attr-defined]
        await hands.settle()
        assert ("Pocket: " in hands.said) is not typing
        if not typing:
            hands.screen.query_one("#facts").scroll_end(animate=False)
            await hands.settle()
            assert "[x] degreased" in hands.shown


async def test_a_photo_from_the_phone_is_on_the_part_page_at_once(brake: Book) -> None:
    """Where there was none before."""
    async with paired_phone(brake) as (hands, phone):
        drum = code(brake, "brake drum")
        await phone.page(f"/{drum}")
        await hands.until(lambda: "no picture yet" in hands.shown)
        answer = await send_photos(phone, f"/{drum}/photos", jpeg())
        assert answer.status == 303
        await hands.until(lambda: "no picture yet" not in hands.shown)
        assert brake.records.parts[drum].photos


async def test_what_the_bench_changes_is_on_the_page_when_it_is_loaded_again(brake: Book) -> None:
    """The other way round."""
    async with paired_phone(brake) as (_, phone):
        drum = code(brake, "brake drum")
        assert "witness mark" not in await phone.page(f"/{drum}")
        edit(brake, drum, sits_how="witness mark outwards")
        assert "witness mark outwards" in await phone.page(f"/{drum}")
