"""A phone in somebody's pocket: switched on and paired at the screens, then used over HTTP."""

from __future__ import annotations

import socket
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from tagbench.book import Book
from tagbench.book.operations.phones import answer_at
from tagbench.phone.server import PhoneServer
from tagbench.screens.phone.cards import PairDialog
from tagbench.screens.widgets.big_code import BigCode
from tests.phone.conftest import Bench, Phone
from tests.screens.driver import SMALL, ScreenDriver, at_the_bench


def free_port() -> int:
    """A port of this computer that nobody answers at."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return int(probe.getsockname()[1])


def server_of(hands: ScreenDriver) -> PhoneServer:
    """The running server."""
    server = hands.app.phone.server
    assert server is not None
    return server


async def switch_on(hands: ScreenDriver, *rows: str) -> PhoneServer:
    """By keys: the phone screen, then the row `rows` keys further down the card."""
    await hands.press("f10", "ctrl+o", "home", *rows, "enter")
    await hands.until(lambda: hands.app.phone.server is not None)
    await hands.settle()
    return server_of(hands)


def digits(hands: ScreenDriver) -> str:
    """The six digits that stand large on the pairing card."""
    card = hands.at(PairDialog)
    return "".join(one.code for one in card.query(BigCode))


@asynccontextmanager
async def paired_phone(
    book: Book, name: str = "Pocket", size: tuple[int, int] = SMALL
) -> AsyncIterator[tuple[ScreenDriver, Phone]]:
    """The screens on Bench, and a phone that was paired there with the digits."""
    answer_at(book, "", free_port(), "")
    async with at_the_bench(book, size) as hands:
        phone = Phone(Bench(await switch_on(hands)))
        try:
            await hands.press("ctrl+n")
            answer = await phone.post("/", data={"code": digits(hands), "name": name})
            assert answer.status == 303
            await hands.until(lambda: not isinstance(hands.screen, PairDialog))
            await hands.press("escape")
            yield hands, phone
        finally:
            await phone.session.close()
