"""Starting, stopping, being told, remembering."""

from __future__ import annotations

import asyncio
import re
import socket

import pytest
from aiohttp import ClientConnectionError, ClientSession

from tagbench.book import Book
from tagbench.errors import BadInput, TagbenchError
from tagbench.phone.addresses import local_name
from tagbench.phone.events import PhoneEvent, PhonePaired
from tagbench.phone.server import PhoneServer
from tests.phone.conftest import Bench, Codes, PhoneClient


async def test_it_is_off_until_it_is_started_and_after_it_is_stopped(book: Book) -> None:
    server = PhoneServer(book, port=0)
    assert server.running is False
    [address] = await server.start()
    running: bool = server.running
    assert running
    async with ClientSession() as session:
        async with session.get(address) as answer:
            assert answer.status == 403
        await server.stop()
        assert not server.running
        with pytest.raises(ClientConnectionError):
            await session.get(address)


async def test_it_can_be_started_again(book: Book) -> None:
    server = PhoneServer(book, port=0)
    for _ in range(3):
        [address] = await server.start()
        async with ClientSession() as session, session.get(address) as answer:
            assert answer.status == 403
        await server.stop()


async def test_starting_twice_or_stopping_twice_does_no_harm(book: Book) -> None:
    server = PhoneServer(book, port=0)
    assert await server.start() == await server.start()
    await server.stop()
    await server.stop()


async def test_nothing_is_written_by_starting_it(book: Book) -> None:
    server = PhoneServer(book, port=0)
    await server.start()
    await server.stop()
    assert not book.folder.exists()


async def test_by_default_only_this_computer_is_answered(book: Book) -> None:
    server = PhoneServer(book, port=0)
    await server.start()
    assert server.urls == [f"http://127.0.0.1:{server.port}/"]
    assert server.address == ""
    assert server._server is not None
    assert [one.getsockname()[0] for one in server._server.sockets] == ["127.0.0.1"]
    await server.stop()


async def test_a_port_in_use_is_told(book: Book) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        server = PhoneServer(book, port=port)
        with pytest.raises(TagbenchError, match=f"Port {port} is in use by another program"):
            await server.start()
        assert not server.running


@pytest.mark.parametrize("host", ["192.0.2.77", "banana.invalid"])
async def test_a_host_that_is_not_here_is_told(book: Book, host: str) -> None:
    """RFC 5737: nobody's address; RFC 2606: nobody's name. The port is not spoken of."""
    server = PhoneServer(book, host=host, port=0)
    said = f"{host} is not a name or an address of this computer: use home"
    with pytest.raises(BadInput, match=re.escape(said)):
        await server.start()


async def test_a_port_for_the_system_only_is_refused(book: Book) -> None:
    with pytest.raises(BadInput, match="from 1024 to 65535"):
        await PhoneServer(book, port=80).start()


async def test_host_port_and_address_are_remembered(book: Book, codes: Codes) -> None:
    server = PhoneServer(book, host="home", port=8123, announce=True)
    server.remember()
    desk = book.records.desk
    assert (desk.phone_host, desk.phone_port) == ("0.0.0.0", 8123)
    assert desk.phone_address == f"{local_name()}.local:8123"
    again = PhoneServer(book)
    assert (again.host, again.port, again.address) == ("0.0.0.0", 8123, desk.phone_address)
    revision = book.revision
    again.remember()
    assert book.revision == revision


async def test_a_listener_can_stop_listening(bench: Bench) -> None:
    heard: list[PhoneEvent] = []
    end = bench.server.listen(heard.append)
    first = PhoneClient(bench)
    await first.pair()
    end()
    second = PhoneClient(bench)
    await second.pair()
    for phone in (first, second):
        await phone.session.close()
    assert [type(event) for event in heard] == [PhonePaired]
    assert len(bench.events) == 2


async def test_stopping_ends_the_invitation(book: Book) -> None:
    server = PhoneServer(book, port=0)
    await server.start()
    server.invite()
    await server.stop()
    assert server.pairing.invitation is None


async def test_last_visits_are_written_down_in_the_end_and_are_no_step_of_undo(
    bench: Bench, phone: PhoneClient, book: Book, codes: Codes
) -> None:
    revision = book.revision
    await phone.page("/")
    assert book.revision == revision
    await bench.server.stop()
    [one] = book.records.phones.values()
    assert one.seen is not None
    assert book.undo().words == "filled the book"


HELD_S = 1.5
"""So long a change keeps the book; a loop that waited for it would stand still as long."""


async def test_the_event_loop_never_waits_for_the_book(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    """The screens run on the same loop, so it must keep turning while phones are served."""
    longest = 0.0
    done = False

    async def watch() -> None:
        nonlocal longest
        loop = asyncio.get_running_loop()
        while not done:
            before = loop.time()
            await asyncio.sleep(0.005)
            longest = max(longest, loop.time() - before - 0.005)

    watching = asyncio.create_task(watch())
    with book.change("a slow change elsewhere"):
        pages = asyncio.gather(*(phone.get(f"/{codes.plate}") for _ in range(5)))
        await asyncio.sleep(HELD_S)
    await pages
    done = True
    await watching
    assert longest < HELD_S


async def test_the_log_names_the_phone_and_no_token(
    phone: PhoneClient, codes: Codes, caplog: pytest.LogCaptureFixture, bench: Bench
) -> None:
    caplog.set_level("DEBUG")
    await phone.page(f"/{codes.plate}")
    await phone.send(f"/{codes.plate}/short", line="1", short="1")
    invitation = bench.server.invite()
    other = PhoneClient(bench)
    await other.get(f"/pair/{invitation.secret}")
    await other.get("/nothing", headers={"Cookie": f"tagbench_phone={'t' * 43}"})
    await other.session.close()
    said = "\n".join(record.getMessage() for record in caplog.records)
    assert f"the phone phone opened {codes.plate}" in said
    assert "the phone phone: Brake plate" in said
    for secret in (
        invitation.secret,
        invitation.code,
        "t" * 43,
        *(cookie.value for cookie in phone.session.cookie_jar),
        await phone.token(codes.plate),
    ):
        assert secret not in said


async def test_on_the_home_network_its_own_names_are_answered_and_no_others(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tagbench.phone.addresses.home_addresses", lambda: ["192.168.7.7"])
    monkeypatch.setattr("tagbench.phone.server.home_addresses", lambda: ["192.168.7.7"])
    server = PhoneServer(book, host="home", port=0, announce=False)
    await server.start()
    assert server.urls == [f"http://192.168.7.7:{server.port}/"]
    assert server.address == f"192.168.7.7:{server.port}"
    async with ClientSession() as session:
        for host, status in (
            ("192.168.7.7", 403),
            (f"{local_name()}.local", 403),
            ("127.0.0.1", 403),
            ("192.168.7.8", 421),
            ("evil.example", 421),
        ):
            named = {"Host": f"{host}:{server.port}"}
            url = f"http://127.0.0.1:{server.port}/"
            async with session.get(url, headers=named) as answer:
                assert answer.status == status
    await server.stop()


async def test_a_stranger_from_the_internet_is_cut_off(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tagbench.phone.connections.address_of", lambda _: "11.12.13.14")
    server = PhoneServer(book, port=0)
    [address] = await server.start()
    async with ClientSession() as session:
        with pytest.raises(ClientConnectionError):
            await session.get(address)
    await server.stop()
