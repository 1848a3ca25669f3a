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
from tests.phone.conftest import Bench, PhoneClient
from tests.screens.driver import SMALL, ScreenDriver, at_the_bench


def free_port() -> int:
    """A port of this computer that nobody answers at."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return int(probe.getsockname()[1])


def server_of(driver: ScreenDriver) -> PhoneServer:
    """The running server."""
    server = driver.app.phone.server
    assert server is not None
    return server


async def switch_on(driver: ScreenDriver, *rows: str) -> PhoneServer:
    """By keys: the phone screen, then the row `rows` keys further down the card."""
    await driver.press("f10", "ctrl+o", "home", *rows, "enter")
    await driver.until(lambda: driver.app.phone.server is not None)
    await driver.settle()
    return server_of(driver)


def digits(driver: ScreenDriver) -> str:
    """The six digits that stand large on the pairing card."""
    card = driver.at(PairDialog)
    return "".join(one.code for one in card.query(BigCode))


@asynccontextmanager
async def paired_phone(
    book: Book, name: str = "Pocket", size: tuple[int, int] = SMALL
) -> AsyncIterator[tuple[ScreenDriver, PhoneClient]]:
    """The screens on Bench, and a phone that was paired there with the digits."""
    answer_at(book, "", free_port(), "")
    async with at_the_bench(book, size) as driver:
        phone = PhoneClient(Bench(await switch_on(driver)))
        try:
            await driver.press("ctrl+n")
            answer = await phone.post("/", data={"code": digits(driver), "name": name})
            assert answer.status == 303
            await driver.until(lambda: not isinstance(driver.screen, PairDialog))
            await driver.press("escape")
            yield driver, phone
        finally:
            await phone.session.close()
