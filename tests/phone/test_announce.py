"""`NAME.local` on the network: what is announced, and what is said when it cannot be.

Nothing is sent here: multicast DNS goes to every device near, so the sending is replaced.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest
import zeroconf

from tagbench.book import Book
from tagbench.errors import BadInput, TagbenchError
from tagbench.phone.addresses import local_name
from tagbench.phone.announce import Announcer, announcement
from tagbench.phone.events import AddressChanged, PhoneEvent
from tagbench.phone.server import PhoneServer
from tagbench.records import replace


class Network:
    """Stands for the network: keeps what was announced on it."""

    announced: list[Any] = []
    closed = 0
    fails: Exception | None = None

    def __init__(self, interfaces: list[str], ip_version: object) -> None:
        self.interfaces = interfaces

    async def async_register_service(self, info: Any) -> None:
        if Network.fails:
            raise Network.fails
        Network.announced.append((self.interfaces, info))

    async def async_unregister_all_services(self) -> None:
        Network.announced.clear()

    async def async_close(self) -> None:
        Network.closed += 1


@pytest.fixture(autouse=True)
def network(monkeypatch: pytest.MonkeyPatch) -> type[Network]:
    monkeypatch.setattr("zeroconf.asyncio.AsyncZeroconf", Network)
    monkeypatch.setattr(Network, "announced", [])
    monkeypatch.setattr(Network, "closed", 0)
    monkeypatch.setattr(Network, "fails", None)
    return Network


def test_the_records_say_where_the_page_is() -> None:
    """RFC 6762 and 6763: an address record for NAME.local and a service record with the port."""
    info = announcement("garage", ["192.168.1.20", "10.0.0.2"], 8017)
    assert info.type == "_http._tcp.local."
    assert info.server == "garage.local."
    assert [one.name for one in info.dns_addresses()] == ["garage.local."] * 2
    assert info.parsed_addresses() == ["192.168.1.20", "10.0.0.2"]
    assert (info.dns_service().port, info.dns_service().server) == (8017, "garage.local.")


async def test_it_answers_on_the_networks_of_its_addresses_until_closed(
    network: type[Network],
) -> None:
    announcer = Announcer()
    await announcer.open("garage", ["192.168.1.20"], 8017)
    [(interfaces, info)] = network.announced
    assert (interfaces, info.port) == (["192.168.1.20"], 8017)
    await announcer.close()
    assert (network.announced, network.closed) == ([], 1)


async def test_a_name_that_is_taken_is_told_and_all_is_closed(network: type[Network]) -> None:
    network.fails = zeroconf.NonUniqueNameException()
    with pytest.raises(TagbenchError, match=r"garage\.local could not be announced"):
        await Announcer().open("garage", ["192.168.1.20"], 8017)
    assert network.closed == 1


async def test_without_what_it_needs_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tagbench.phone.announce.can_announce", lambda: False)
    with pytest.raises(BadInput, match="zeroconf, which is not here"):
        await Announcer().open("garage", ["192.168.1.20"], 8017)


async def test_the_server_announces_only_on_the_home_network(
    book: Book, network: type[Network]
) -> None:
    alone = PhoneServer(book, port=0, announce=True)
    await alone.start()
    assert (alone.name, network.announced) == ("", [])
    await alone.stop()


def test_the_announced_name_comes_first_in_the_addresses(book: Book) -> None:
    server = PhoneServer(book, host="home", port=8017, announce=True)
    assert server.urls[0] == f"http://{local_name()}.local:8017/"
    assert server.address == f"{local_name()}.local:8017"


@pytest.fixture
def numbers(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The addresses that the network has given out to this computer."""
    given = ["192.168.7.7"]
    monkeypatch.setattr("tagbench.phone.addresses.home_addresses", lambda: list(given))
    monkeypatch.setattr("tagbench.phone.server.home_addresses", lambda: list(given))
    monkeypatch.setattr("tagbench.phone.server.LOOK_SECONDS", 0.02)
    return given


async def test_on_the_home_network_the_name_is_announced_unless_that_was_declined(
    book: Book, network: type[Network], numbers: list[str]
) -> None:
    server = PhoneServer(book, host="home", port=0)
    await server.start()
    assert server.address == f"{local_name()}.local:{server.port}"
    assert len(network.announced) == 1
    await server.stop()
    with book.change("used by its number") as transaction:
        desk = transaction.records.desk
        transaction.put(replace(desk, phone_host="0.0.0.0", phone_address="192.168.7.7:8017"))
    assert PhoneServer(book).name == ""


async def test_where_no_name_can_be_had_the_number_is_used(
    book: Book, network: type[Network], numbers: list[str]
) -> None:
    network.fails = zeroconf.NonUniqueNameException()
    server = PhoneServer(book, host="home", port=0)
    await server.start()
    assert server.address == f"192.168.7.7:{server.port}"
    await server.stop()
    asked_for = PhoneServer(book, host="home", port=0, announce=True)
    with pytest.raises(TagbenchError, match="could not be announced"):
        await asked_for.start()


async def until(true: Callable[[], bool]) -> None:
    async with asyncio.timeout(60):
        while not true():
            await asyncio.sleep(0.01)


async def test_another_number_is_told_and_new_tags_carry_it(
    book: Book, network: type[Network], numbers: list[str]
) -> None:
    heard: list[PhoneEvent] = []
    server = PhoneServer(book, host="home", port=0, announce=False)
    server.listen(heard.append)
    await server.start()
    server.remember()
    numbers[:] = ["192.168.7.99"]
    await until(lambda: bool(heard))
    now = f"192.168.7.99:{server.port}"
    assert heard == [AddressChanged(f"192.168.7.7:{server.port}", now)]
    assert book.records.desk.phone_address == now
    numbers.clear()  # no network for a while: nothing is told, nothing forgotten
    await asyncio.sleep(0.1)
    assert len(heard) == 1
    await server.stop()


async def test_the_name_stays_when_the_number_changes(
    book: Book, network: type[Network], numbers: list[str]
) -> None:
    heard: list[PhoneEvent] = []
    server = PhoneServer(book, host="home", port=0, announce=True)
    server.listen(heard.append)
    await server.start()
    numbers[:] = ["192.168.7.99"]
    await until(lambda: network.closed == 1 and len(network.announced) == 1)
    assert network.announced[0][1].parsed_addresses() == ["192.168.7.99"]
    assert heard == []
    await server.stop()
