"""`NAME.local` on the network: what is announced, and what is said when it cannot be.

Nothing is sent here: multicast DNS goes to every device near, so the sending is replaced.
"""

from __future__ import annotations

from typing import Any

import pytest

from tagbench.book import Book
from tagbench.errors import BadInput, TagbenchError
from tagbench.phone.addresses import local_name
from tagbench.phone.announce import Announcer, announcement
from tagbench.phone.server import PhoneServer

zeroconf = pytest.importorskip("zeroconf", reason="the extra tagbench[network] is not installed")


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


async def test_without_the_extra_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tagbench.phone.announce.can_announce", lambda: False)
    with pytest.raises(BadInput, match=r"tagbench\[network\]"):
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
