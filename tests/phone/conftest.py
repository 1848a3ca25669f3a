"""A small book, its phone server on the loopback address, and phones that talk to it."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from aiohttp import ClientResponse, ClientSession, CookieJar, TCPConnector
from yarl import URL

from tagbench.book import Book, Transaction
from tagbench.phone.events import PhoneEvent
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.pairing import Pairing
from tagbench.phone.server import PhoneServer
from tagbench.records import Bin, CareStep, Fastener, Machine, Part, Torque

AGENT = "Pocket/1.0 (Linux) Mobile"


@dataclass(frozen=True)
class Codes:
    """The codes in the book of these tests."""

    plate: str
    """Brake plate: deepest, clean, to be used again, so ready; two fastener lines."""
    shoes: str
    """Brake shoes: held up, still dirty and undecided."""
    wheel: str
    """Front wheel: outermost."""
    bag: str
    """The bag with the plate and the shoes."""
    shelf: str
    """The shelf with the bag."""
    spare: str
    """A spare tag."""


def fill(book: Book) -> Codes:
    """Writes the machine, three parts, two bins and a spare tag."""
    with book.change("filled the book") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        transaction.put(_chosen(transaction))
        shelf = Bin(code=transaction.new_code("BIN"), name="Shelf A", kind="shelf")
        bag = Bin(code=transaction.new_code("BIN"), name="Front brake", kept_in=shelf.code)
        transaction.put(shelf)
        transaction.put(bag)
        wheel = Part(
            code=transaction.new_code("TP"), name="Front wheel", assembly="Front wheel", order=1
        )
        shoes = Part(
            code=transaction.new_code("TP"),
            name="Brake shoes",
            assembly="Front wheel / Brake",
            quantity=2,
            order=2,
            bin=bag.code,
            behind=(wheel.code,),
        )
        plate = _plate(transaction, bag.code, shoes.code)
        for part in (wheel, shoes, plate):
            transaction.put(part)
        spare = transaction.new_code("TP")
        transaction.put(_spare(transaction, spare))
    return Codes(plate.code, shoes.code, wheel.code, bag.code, shelf.code, spare)


def _chosen(transaction: Transaction) -> Any:
    from tagbench.records import replace

    return replace(transaction.records.desk, machine="TP")


def _spare(transaction: Transaction, code: str) -> Any:
    from tagbench.records import replace

    return replace(transaction.records.tags[code], kind="spare", printed=transaction.now)


def _plate(transaction: Transaction, bag: str, shoes: str) -> Part:
    screws = Fastener(
        quantity=4,
        kind="screw",
        thread="M5x0.8",
        length=12,
        head="pan",
        place="round the rim",
        torque=Torque(low=4.0, high=5.0, source="maker's manual, page 12"),
    )
    pin = Fastener(quantity=1, kind="cotter pin", diameter=3.2, length=32, single_use=True)
    return Part(
        code=transaction.new_code("TP"),
        name="Brake plate",
        assembly="Front wheel / Brake",
        position="left",
        order=3,
        sits_how="slot at 6 o'clock, witness mark outwards",
        bin=bag,
        behind=(shoes,),
        fasteners=(screws, pin),
        care=(CareStep(step="degreased", with_what="kerosene", at=transaction.now),),
        verdict="reuse",
        note="one thread is tight",
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "book"


@pytest.fixture
def book(folder: Path) -> Iterator[Book]:
    with Book(folder) as opened:
        yield opened


@pytest.fixture
def codes(book: Book) -> Codes:
    return fill(book)


@pytest.fixture
def limits() -> PhoneLimits:
    """The limits of the server; a test may override this fixture."""
    return PhoneLimits()


@dataclass
class Bench:
    """The server as the bench sees it."""

    server: PhoneServer
    events: list[PhoneEvent] = field(default_factory=list)

    @property
    def origin(self) -> str:
        """`http://127.0.0.1:PORT`."""
        return self.server.urls[0].rstrip("/")


@pytest.fixture
async def bench(book: Book, codes: Codes, limits: PhoneLimits) -> AsyncIterator[Bench]:
    """A running server on a free port of this computer."""
    server = PhoneServer(book, host="", port=0, limits=limits)
    server.pairing = Pairing(wait_seconds=0.0)
    running = Bench(server)
    server.listen(running.events.append)
    await server.start()
    yield running
    await server.stop()


def pairing_path(bench: Bench) -> str:
    """The path of the link in a fresh invitation's symbol."""
    return URL(bench.server.pairing_url(bench.server.invite())).path


class PhoneClient:
    """A phone's browser: keeps its cookie, reads form tokens out of pages, sends forms."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.session = ClientSession(
            cookie_jar=CookieJar(unsafe=True),
            connector=TCPConnector(limit=0),
            headers={"User-Agent": AGENT},
        )

    async def get(self, path: str, **how: Any) -> ClientResponse:
        """One page, its body read, redirects not followed."""
        return await self._sent("GET", path, **how)

    async def post(self, path: str, **how: Any) -> ClientResponse:
        """One form sent."""
        return await self._sent("POST", path, **how)

    async def _sent(self, method: str, path: str, **how: Any) -> ClientResponse:
        how.setdefault("allow_redirects", False)
        async with self.session.request(method, self.bench.origin + path, **how) as response:
            await response.read()
            return response

    async def page(self, path: str, status: int = 200) -> str:
        """The text of a page."""
        response = await self.get(path)
        assert response.status == status
        return await response.text()

    async def token(self, code: str) -> str:
        """The form token on a part's page."""
        found = re.search(r'name="form" value="([0-9a-f]+)"', await self.page(f"/{code}"))
        assert found is not None
        return found[1]

    async def send(self, path: str, **fields: str) -> ClientResponse:
        """A small form sent as the page would send it."""
        code = path.split("/")[1]
        return await self.post(path, data={"form": await self.token(code), **fields})

    async def pair(self) -> None:
        """Pairs with the link of a fresh invitation."""
        response = await self.get(pairing_path(self.bench))
        assert response.status == 303


@pytest.fixture
async def stranger(bench: Bench) -> AsyncIterator[PhoneClient]:
    """A phone that is not paired."""
    phone = PhoneClient(bench)
    yield phone
    await phone.session.close()


@pytest.fixture
async def phone(bench: Bench) -> AsyncIterator[PhoneClient]:
    """A paired phone; what pairing told the bench is forgotten again."""
    paired = PhoneClient(bench)
    await paired.pair()
    bench.events.clear()
    yield paired
    await paired.session.close()


def now() -> datetime:
    """Local time with offset."""
    return datetime.now().astimezone()
