"""Speed of the phone page on a book of 10 000 parts, against a bare aiohttp handler."""

from __future__ import annotations

import asyncio
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Coroutine, Iterator
from pathlib import Path
from typing import Any, TypeVar

import pytest
from aiohttp import ClientSession, CookieJar, web

from tagbench.book import Book
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.server import PhoneServer
from tagbench.records import CareStep, Fastener, Machine, Part, Torque, replace
from tagbench.rules.find.index import Index
from tests.bench.rows import TABLE, Row, Wanted, reached

pytestmark = pytest.mark.bench

PARTS = 10_000
SHARE = 0.3
"""At least this share of the bare handler's throughput: it looks nobody up, checks no host, counts
no rate and sets no header."""
ROUNDS, SECONDS, CONNECTIONS = 5, 1.0, 8


def part(code: str, number: int, behind: tuple[str, ...]) -> Part:
    """A part with all that a page shows."""
    return Part(
        code=code,
        name=f"backing plate {number}",
        assembly=f"Front wheel / Brake {number % 40}",
        position="left",
        order=number,
        behind=behind,
        care=(CareStep(step="degreased", with_what="kerosene"),),
        fasteners=(
            Fastener(
                quantity=4,
                thread="M5x0.8",
                length=12,
                head="pan",
                torque=Torque(low=4, high=5, source="maker's manual"),
            ),
            Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True),
        ),
        sits_how="long side up, witness mark outwards",
    )


@pytest.fixture(scope="module")
def codes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Book, list[str]]]:
    """A book of 10 000 parts, each behind the one before."""
    with Book(tmp_path_factory.mktemp("big") / "book") as book:
        written: list[str] = []
        with book.change("many parts") as transaction:
            transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
            for number in range(1, PARTS + 1):
                made = part(transaction.new_code("TP"), number, tuple(written[-1:]))
                transaction.put(made)
                written.append(made.code)
        yield book, written


T = TypeVar("T")

QUICK_MS = 20.0
"""The longest that the first page of a kind may take, once the server has started."""
PAGES_A_SECOND = 300.0


class Loop:
    """An event loop in a thread of its own."""

    def __init__(self) -> None:
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()

    def run(self, work: Coroutine[Any, Any, T]) -> T:
        """Runs something on it and waits."""
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(60)

    def stop(self) -> None:
        """Ends it."""
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()


@pytest.fixture
def loop() -> Iterator[Loop]:
    running = Loop()
    yield running
    running.stop()


async def paired(server: PhoneServer) -> tuple[str, str]:
    """The address of a running server and the token of a phone paired with it."""
    await server.start()
    jar = CookieJar(unsafe=True)
    async with ClientSession(cookie_jar=jar) as session:
        async with session.get(server.pairing_url(server.invite())) as answer:
            assert answer.status == 200
        [cookie] = jar
        return server.urls[0], cookie.value


async def constant(text: str) -> tuple[web.AppRunner, int]:
    """A bare aiohttp server whose every answer is this page."""

    async def answer(_: web.Request) -> web.Response:
        return web.Response(text=text, content_type="text/html")

    app = web.Application()
    app.router.add_get("/{code}", answer)
    runner = web.AppRunner(app, access_log=None)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    return runner, runner.addresses[0][1]


async def page_of(address: str, code: str, token: str) -> str:
    """The page of a part as the phone gets it."""
    cookies = {"tagbench_phone": token}
    async with ClientSession(cookies=cookies) as session, session.get(address + code) as answer:
        assert answer.status == 200
        return await answer.text()


def answers_a_second(port: int, code: str, token: str) -> float:
    """What the load process counts."""
    request = (
        f"GET /{code} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n"
        f"Accept: text/html\r\nCookie: tagbench_phone={token}\r\n\r\n"
    )
    script = Path(__file__).with_name("phone_load.py")
    done = subprocess.run(
        [sys.executable, str(script), str(port), str(CONNECTIONS), str(SECONDS)],
        input=request.encode(),
        capture_output=True,
        check=True,
    )
    return float(done.stdout)


def test_a_part_page_has_a_third_of_the_throughput_of_a_constant_page(
    codes: tuple[Book, list[str]], loop: Loop
) -> None:
    book, written = codes
    code = written[PARTS // 2]
    server = PhoneServer(book, host="", port=0, limits=PhoneLimits(phone_burst=10**9))
    address, token = loop.run(paired(server))
    text = loop.run(page_of(address, code, token))
    assert code in text
    peer, peer_port = loop.run(constant(text))
    ours, theirs = [], []
    for _ in range(ROUNDS):
        theirs.append(answers_a_second(peer_port, code, token))
        ours.append(answers_a_second(server.port, code, token))
    loop.run(peer.cleanup())
    loop.run(server.stop())
    mine, other = statistics.median(ours), statistics.median(theirs)
    wanted = Wanted(least=SHARE * other)
    reached(
        TABLE.add(Row("a part's page", "constant page", PARTS, mine, other, "a second", wanted))
    )


async def milliseconds(address: str, path: str, token: str) -> float:
    """How long one page takes over a connection that is open already."""
    loop = asyncio.get_running_loop()
    async with ClientSession(cookies={"tagbench_phone": token}) as session:
        async with session.get(address + "favicon.ico"):
            pass
        begun = loop.time()
        async with session.get(address + path) as answer:
            await answer.read()
            assert answer.status == 200
        return (loop.time() - begun) * 1000


async def settled(server: PhoneServer, address: str, token: str) -> None:
    """Waits until the first pages have been worked out."""
    for _ in range(300):
        if await milliseconds(address, "find?words=settled", token) < QUICK_MS * 2:
            return
        await asyncio.sleep(0.1)


def by_the_index_alone(book: Book) -> float:
    """What questions of the same kind take in the index, without any server, milliseconds."""
    index = Index(book.records)
    took = []
    for number in range(300, 311):
        begun = time.perf_counter()
        index.find(f"backing plate {number}", 20)
        took.append((time.perf_counter() - begun) * 1000)
    return statistics.median(took)


def test_next_and_find_are_quick_on_a_big_book(codes: tuple[Book, list[str]], loop: Loop) -> None:
    book, written = codes
    with book.change("chose the machine") as transaction:
        transaction.put(replace(transaction.records.desk, machine="TP"))
    server = PhoneServer(book, host="", port=0, limits=PhoneLimits(phone_burst=10**9))
    address, token = loop.run(paired(server))
    loop.run(settled(server, address, token))
    first = {path: loop.run(milliseconds(address, path, token)) for path in ("", "count")}
    finds = [
        loop.run(milliseconds(address, f"find?words=backing+plate+{number}", token))
        for number in range(200, 211)
    ]
    alone = by_the_index_alone(book)
    slowest = TABLE.add(
        Row("first page on the phone", "none", PARTS, first[""], 0, wanted=Wanted(most=QUICK_MS))
    )
    # On a busy machine the index alone takes longer too: then at most twice that.
    most = Wanted(most=max(QUICK_MS, 2 * alone))
    finds_row = TABLE.add(
        Row("find on the phone", "index alone", PARTS, min(finds), alone, wanted=most)
    )
    rates = [
        TABLE.add(
            Row(f"phone page /{path.split('?')[0]}", "none", PARTS,
                answers_a_second(server.port, path, token), 0, "a second",
                Wanted(least=PAGES_A_SECOND))
        )
        for path in ("", "find?words=backing", written[77], "count")
    ]  # fmt: skip
    reached(slowest, finds_row, *rates)
    loop.run(server.stop())
