"""The phone screen: off until it is asked for, pairing, paired phones, tags with an old address."""

from __future__ import annotations

import re
import socket
import sys
from datetime import timedelta

import pytest
from aiohttp import ClientConnectionError, ClientSession

from tagbench.book import Book
from tagbench.book.operations.phones import answer_at, pair, rename
from tagbench.book.operations.tagging import queued
from tagbench.phone import addresses
from tagbench.records import Phone, replace
from tagbench.screens.phone.cards import PairDialog
from tagbench.screens.phone.screen import PhoneScreen, seen_words
from tagbench.screens.shared.confirm import ConfirmDialog
from tagbench.screens.widgets.big_code import SymbolView
from tagbench.screens.widgets.rows import Rows
from tests.phone.conftest import Bench, PhoneClient
from tests.screens.conftest import NOW
from tests.screens.driver import LARGE, SMALL, at_the_bench
from tests.screens.paired_phone import digits, free_port, paired_phone, server_of, switch_on


@pytest.fixture
def at_home(monkeypatch: pytest.MonkeyPatch) -> None:
    """This computer in a home network; the address is for documents only (RFC 5737)."""
    monkeypatch.setattr(addresses, "_address_in_use", lambda: iter(["192.0.2.17"]))
    monkeypatch.setattr(addresses, "_addresses_by_name", lambda: iter([]))


async def test_it_is_off_and_not_even_loaded_until_it_is_asked_for(brake: Book) -> None:
    """Also when it was on the evening before."""
    answer_at(brake, "", free_port(), "")
    aiohttp = sys.modules.pop("tagbench.phone.server", None)
    async with at_the_bench(brake) as driver:
        await driver.press("f10")
        assert driver.app.phone.server is None
        assert "Off" in driver.shown
        assert "phone on" not in driver.shown
        assert "tagbench.phone.server" not in sys.modules
        await driver.press("ctrl+n")
        assert "is off; Ctrl+O" in driver.said
    if aiohttp is not None:
        sys.modules["tagbench.phone.server"] = aiohttp


async def test_this_computer_only_is_what_enter_chooses_at_first(brake: Book) -> None:
    """The home network must be gone to with the cursor; the title tells on every screen."""
    port = free_port()
    answer_at(brake, "", port, "")
    async with at_the_bench(brake) as driver:
        await driver.press("f10", "ctrl+o", "enter")
        await driver.until(lambda: driver.app.phone.server is not None)
        assert server_of(driver).urls == [f"http://127.0.0.1:{port}/"]
        await driver.settle()
        assert f"http://127.0.0.1:{port}/" in driver.shown
        for screen in ("escape", "f2", "f3"):
            await driver.press(screen)
            assert "phone on" in driver.shown.splitlines()[0]


async def test_the_server_ends_with_the_switch_and_with_the_screens(brake: Book) -> None:
    """Nobody answers any more, and the book is whole."""
    answer_at(brake, "", free_port(), "")
    async with ClientSession() as session:
        async with at_the_bench(brake) as driver:
            [url] = (await switch_on(driver)).urls
            async with session.get(url) as answer:
                assert answer.status == 403
            await driver.press("ctrl+o")
            await driver.until(lambda: "no longer answered" in driver.said)
            with pytest.raises(ClientConnectionError):
                await session.get(url)
            await switch_on(driver)
            async with session.get(url) as answer:
                assert answer.status == 403
        with pytest.raises(ClientConnectionError):
            await session.get(url)


async def test_a_port_in_use_is_told_and_nothing_is_remembered(brake: Book) -> None:
    """With another port to try."""
    answer_at(brake, "", free_port(), "")
    before = brake.records.desk
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        async with at_the_bench(brake) as driver:
            await driver.press("f10", "ctrl+o", "tab", *["backspace"] * 5)
            await driver.write(str(port))
            await driver.press("enter")
            await driver.until(lambda: f"Port {port} is in use" in driver.said)
            assert driver.app.phone.server is None
            assert brake.records.desk == before


async def test_the_port_can_be_chosen_and_is_remembered(brake: Book) -> None:
    """So that printed tags keep working."""
    port = free_port()
    async with at_the_bench(brake) as driver:
        await driver.press("f10", "ctrl+o", "tab", *["backspace"] * 5, "enter")
        assert "Type the port" in driver.said
        await driver.write("80")
        await driver.press("enter")
        assert "1024 to 65535" in driver.said
        await driver.press("backspace", "backspace")
        await driver.write(str(port))
        await driver.press("enter")
        await driver.until(lambda: driver.app.phone.server is not None)
        assert brake.records.desk.phone_port == port


async def test_a_phone_is_paired_with_the_digits_and_listed(brake: Book) -> None:
    """The card closes by itself, the name is shown as it is, and can be changed."""
    async with paired_phone(brake, name="Ann's [b]phone[/]") as (driver, _):
        await driver.press("f10")
        assert "Ann's [b]phone[/]" in driver.shown
        assert "19:30" in driver.shown
        await driver.press("enter")
        await driver.press(*["backspace"] * 20)
        await driver.write("Old phone")
        await driver.press("enter")
        assert "is now called Old phone" in driver.said
        assert [one.name for one in brake.records.phones.values()] == ["Old phone"]


async def test_a_phone_that_is_taken_away_sees_nothing_any_more(brake: Book) -> None:
    """After a question."""
    async with paired_phone(brake) as (driver, phone):
        assert (await phone.get("/")).status == 200
        await driver.press("f10", "ctrl+r")
        assert driver.at(ConfirmDialog)
        await driver.press("enter")
        assert "no longer paired" in driver.said
        assert (await phone.get("/")).status == 403
        assert not brake.records.phones


async def test_the_symbol_on_the_card_pairs_in_one_scan(brake: Book, at_home: None) -> None:
    """What an independent reader (zxing-cpp) reads off the card is the link that pairs."""
    import zxingcpp
    from PIL import Image

    answer_at(brake, "", free_port(), "")
    async with at_the_bench(brake) as driver:
        server = await switch_on(driver, "down")
        await driver.press("ctrl+n")
        symbol = driver.at(PairDialog).query_one(SymbolView)
        lines = str(symbol.content).splitlines()
        dots = [[one in half for one in line] for line in lines for half in ("█▀", "█▄")]
        image = Image.new("L", (len(dots[0]), len(dots)), 255)
        image.putdata([0 if dark else 255 for row in dots for dark in row])
        large = image.resize((image.width * 6, image.height * 6), Image.Resampling.NEAREST)
        [link] = [found.text for found in zxingcpp.read_barcodes(large)]
        assert link.startswith(f"HTTP://192.0.2.17:{server.port}/PAIR/")
        phone = PhoneClient(Bench(server))
        async with phone.session.get(link.replace("192.0.2.17", "127.0.0.1")) as answer:
            assert answer.status == 200
        await phone.session.close()
        await driver.until(lambda: "Paired: phone" in driver.said)
        assert driver.at(PhoneScreen)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_symbol_digits_and_time_left_fit_beside_each_other(
    brake: Book, at_home: None, size: tuple[int, int]
) -> None:
    """The whole symbol with its quiet zone, also in a terminal of 80 × 23."""
    answer_at(brake, "", free_port(), "")
    async with at_the_bench(brake, size) as driver:
        await switch_on(driver, "down")
        await driver.press("ctrl+n")
        symbol = driver.screen.query_one(SymbolView)
        assert symbol.display
        assert driver.screen.region.contains_region(symbol.region)
        assert symbol.size.height >= 18
        assert re.search(r"\b[45]:\d\d left", driver.shown)
        assert len(digits(driver)) == 6


async def test_a_closed_card_pairs_nobody(brake: Book) -> None:
    """The digits end with the card, and an older card's digits with the next one."""
    answer_at(brake, "", free_port(), "")
    async with at_the_bench(brake) as driver:
        phone = PhoneClient(Bench(await switch_on(driver)))
        await driver.press("ctrl+n")
        first = digits(driver)
        await driver.press("ctrl+n")
        second = digits(driver)
        assert (await phone.post("/", data={"code": first})).status == 403 or first == second
        await driver.press("escape")
        assert (await phone.post("/", data={"code": second})).status == 403
        await phone.session.close()
        assert not brake.records.phones


async def test_digits_that_were_guessed_at_are_told_to_be_used_up(brake: Book) -> None:
    """And Ctrl+N gives new ones."""
    answer_at(brake, "", free_port(), "")
    async with at_the_bench(brake) as driver:
        server = await switch_on(driver)
        await driver.press("ctrl+n")
        server.pairing.close()  # as five wrong tries do
        await driver.until(lambda: "no longer good" in driver.shown)
        await driver.press("ctrl+n")
        assert re.search(r"\b[45]:\d\d left", driver.shown)


async def test_tags_with_an_older_address_are_offered_to_be_printed_anew(
    brake: Book, at_home: None
) -> None:
    """When the address changes, with their number; Escape leaves it for Ctrl+P."""
    answer_at(brake, "0.0.0.0", 8017, "garage.local:8017")
    with brake.change("printed") as transaction:
        for tag in queued(transaction.records)[:2]:
            transaction.put(replace(tag, queued=None, printed=NOW, address="garage.local:8017"))
    before = len(queued(brake.records))
    port = free_port()
    answer_at(brake, "0.0.0.0", port, "garage.local:8017")
    async with at_the_bench(brake) as driver:
        await switch_on(driver, "down")
        assert "2 printed tags carry garage.local:8017" in driver.shown
        await driver.press("escape")
        assert "phone on, 2 old tags" in driver.shown
        assert len(queued(brake.records)) == before
        await driver.press("ctrl+p")
        assert "Queued 2 tags" in driver.said
        assert len(queued(brake.records)) == before + 2
        assert f"Printed with 192.0.2.17:{port}" in driver.shown


def test_when_a_phone_was_last_here() -> None:
    """Today by the clock, earlier by the day."""
    phone = Phone(id=1, name="Pocket", token_hash="0", paired=NOW, seen=NOW)
    assert seen_words(phone, NOW) == "19:30"
    assert seen_words(phone, NOW + timedelta(days=1)) == "yesterday 19:30"
    assert seen_words(phone, NOW + timedelta(days=9)) == "3 Nov 2025"
    assert seen_words(phone, NOW + timedelta(days=400)) == "3 Nov 2025"
    assert seen_words(replace(phone, seen=None), NOW) == "never yet"


async def test_many_phones_are_listed_the_latest_first(brake: Book) -> None:
    """Also while it is off."""
    pair(brake, "First", "a")
    pair(brake, "Second", "b")
    async with at_the_bench(brake) as driver:
        await driver.press("f10")
        shown = driver.shown
        assert "First" in shown
        assert "Second" in shown


async def test_phones_are_drawn_again_only_when_something_changed(
    brake: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The look every two seconds writes nothing to the terminal; another name is shown at once."""
    pair(brake, "Anna's phone", "x" * 32)
    shown: list[list[Phone]] = []
    async with at_the_bench(brake) as hands:
        await hands.press("f10")
        screen = hands.at(PhoneScreen)
        rows = screen.query_one("#phones", Rows)
        monkeypatch.setattr(rows, "show", lambda phones: shown.append(list(phones)))
        for _ in range(3):
            screen._show_phones()
        assert not shown
        rename(brake, 1, "the other phone")
        screen._show_phones()
        assert [[phone.name for phone in phones] for phones in shown] == [["the other phone"]]
