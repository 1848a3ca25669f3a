"""Requests that mean harm: nothing leaks, nothing falls over, the memory stays bounded."""

from __future__ import annotations

import asyncio
import contextlib
import io
import re
import resource
import socket
from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from aiohttp import ClientError, FormData
from hypothesis import HealthCheck, given, settings, strategies as st
from PIL import Image

from tagbench.book import Book
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.server import PhoneServer
from tests.examples import examples
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_pictures import png_that_says

DAWDLES = 300
"""A client that dawdles gives up after so many bytes: half a minute, where half a second is let."""
QUICK = PhoneLimits(headers_seconds=0.5, idle_seconds=0.5, form_seconds=0.5, stall_seconds=0.5)


@pytest.fixture
def limits() -> PhoneLimits:
    """As usual, but what is left of a refused upload is not waited for."""
    return PhoneLimits(linger_seconds=0.2)


async def raw(bench: Bench, data: bytes, seconds: float = 20.0) -> bytes:
    """What the server answers to these very bytes, until it closes or is quiet."""
    reader, writer = await asyncio.open_connection("127.0.0.1", bench.server.port)
    try:
        writer.write(data)
        await writer.drain()
        async with asyncio.timeout(seconds):
            return await reader.read(1 << 20)
    except (TimeoutError, ConnectionError):
        return b""
    finally:
        writer.close()
        with contextlib.suppress(ConnectionError):
            await writer.wait_closed()


def request_line(path: str, bench: Bench, cookie: str = "", method: str = "GET") -> bytes:
    """One request as bytes, the path as it is."""
    host = f"127.0.0.1:{bench.server.port}"
    head = f"{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n"
    return f"{head}Cookie: tagbench_phone={cookie}\r\n\r\n".encode("utf-8", "surrogateescape")


def cookie_of(phone: PhoneClient) -> str:
    [cookie] = phone.session.cookie_jar
    return cookie.value


def no_detail(text: str) -> None:
    """No trace of how the program is made in an answer."""
    for word in ("Traceback", 'File "', "/site-packages/", "tagbench/phone", "Error:", ".py"):
        assert word not in text


TRAVERSALS = [
    "/../../../../etc/passwd",
    "/..%2f..%2f..%2fetc%2fpasswd",
    "/%2e%2e/%2e%2e/etc/passwd",
    "/%252e%252e%252fetc%252fpasswd",
    "/..%5c..%5cbook.json",
    "/..%c0%afbook.json",
    "/%c0%ae%c0%ae/book.json",
    "/%uff0e%uff0e/book.json",
    "/\uff0e\uff0e/book.json",
    "/....//....//book.json",
    "/.%00./book.json",
    "/CODE/photo/..%2f..%2fbook.json",
    "/CODE/photo/1%00.jpg",
    "/CODE/photo/%2e%2e%2f%2e%2e%2fbook.json",
    "/CODE/photo/-1",
    "/CODE/photo/0",
    "/CODE/photo/\u0661",
    "/CODE/../book.json",
    "/photos/CODE-1.jpg",
    "/book.json",
    "/./book.json",
    "/file:///etc/passwd",
    "//etc/passwd",
    "http://127.0.0.1/etc/passwd",
    "http://evil.example/etc/passwd",
    "*",
    "/%",
    "/%zz",
    "/?words=../../etc/passwd",
    "/;/etc/passwd",
]


@pytest.mark.parametrize("path", TRAVERSALS)
async def test_no_path_reaches_the_file_system(
    path: str, phone: PhoneClient, bench: Bench, book: Book, codes: Codes
) -> None:
    (book.folder / "photos").mkdir(exist_ok=True)
    (book.folder / "photos" / f"{codes.plate}-1.jpg").write_bytes(b"root:secret picture")
    sent = path.replace("CODE", codes.plate)
    answer = (await raw(bench, request_line(sent, bench, cookie_of(phone)))).decode("latin-1")
    assert re.match(r"HTTP/1\.[01] (200|303|400|403|404|405|421) ", answer)
    assert "root:" not in answer
    assert '"revision"' not in answer
    assert "token_hash" not in answer
    no_detail(answer)


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8017",
        "127.0.0.1.evil.example",
        "localhost@evil.example",
        "",
        "127.0.0.1",
        "127.0.0.1:1",
        "[::1",
        "\x00",
        "a" * 5000,
    ],
)
async def test_a_wrong_host_is_refused_before_anything_else(
    host: str, phone: PhoneClient, bench: Bench, codes: Codes
) -> None:
    sent = (
        f"GET /{codes.plate} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n"
        f"Cookie: tagbench_phone={cookie_of(phone)}\r\n\r\n"
    )
    answer = (await raw(bench, sent.encode("latin-1"))).decode("latin-1")
    assert re.match(r"HTTP/1\.[01] (400|421) ", answer)
    assert "Brake" not in answer
    no_detail(answer)


async def test_no_host_or_two_hosts_are_refused(phone: PhoneClient, bench: Bench) -> None:
    good = f"127.0.0.1:{bench.server.port}"
    for lines in ("", f"Host: {good}\r\nHost: evil.example\r\n", f"Host: {good}\r\n Host: x\r\n"):
        sent = f"GET / HTTP/1.1\r\n{lines}Connection: close\r\n\r\n"
        answer = (await raw(bench, sent.encode())).decode("latin-1")
        assert re.match(r"HTTP/1\.[01] (400|421) ", answer)
    answer = (await raw(bench, b"GET / HTTP/1.0\r\n\r\n")).decode("latin-1")
    assert re.match(r"HTTP/1\.[01] 421 ", answer)


async def test_a_change_needs_the_token_of_this_very_phone(
    phone: PhoneClient, stranger: PhoneClient, codes: Codes, book: Book
) -> None:
    await stranger.pair()
    foreign = await stranger.token(codes.plate)
    revision = book.revision
    for page in ("care", "fit", "short", "photos"):
        for form in ({}, {"form": ""}, {"form": "0" * 64}, {"form": foreign}, {"form": "é"}):
            fields = {"step": "lubed", "how": "fitted", "line": "1", "short": "1", **form}
            answer = await phone.post(f"/{codes.plate}/{page}", data=fields)
            assert answer.status == 403
            no_detail(await answer.text())
    assert book.revision == revision


async def test_another_site_cannot_send_a_form(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    revision, token = book.revision, await phone.token(codes.plate)
    for headers in (
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": phone.bench.origin.replace("http:", "https:")},
        {"Origin": phone.bench.origin + "0"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ):
        data = {"form": token, "step": "lubed"}
        answer = await phone.post(f"/{codes.plate}/care", data=data, headers=headers)
        assert answer.status == 403
    assert book.revision == revision


def picture(side: int = 60) -> bytes:
    out = io.BytesIO()
    Image.effect_noise((side, side), 60).save(out, "JPEG")
    return out.getvalue()


def upload(token: str, *photos: bytes) -> FormData:
    form = FormData()
    form.add_field("form", token)
    for number, photo in enumerate(photos):
        form.add_field("photo", photo, filename=f"{number}.jpg", content_type="image/jpeg")
    return form


async def test_a_photo_before_the_token_is_not_taken(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    form = FormData()
    form.add_field("photo", picture(), filename="a.jpg", content_type="image/jpeg")
    form.add_field("form", await phone.token(codes.plate))
    answer = await phone.post(f"/{codes.plate}/photos", data=form)
    assert answer.status == 403
    assert not book.records.parts[codes.plate].photos


async def endless(size: int, sent: list[int]) -> AsyncIterator[bytes]:
    block = bytes(256 * 1024)
    while sent[0] < size:
        sent[0] += len(block)
        yield block


def multipart_head(token: str) -> bytes:
    return (
        f'--x\r\nContent-Disposition: form-data; name="form"\r\n\r\n{token}\r\n'
        '--x\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
    ).encode()


async def test_an_upload_of_a_gigabyte_that_says_so_is_refused_unread(
    phone: PhoneClient, codes: Codes
) -> None:
    token, sent = await phone.token(codes.plate), [0]
    headers = {
        "Content-Type": "multipart/form-data; boundary=x",
        "Content-Length": str(1 << 30),
    }
    answer = await phone.post(
        f"/{codes.plate}/photos", data=endless(1 << 30, sent), headers=headers
    )
    assert answer.status == 413
    assert sent[0] < 64 << 20
    assert token


async def test_an_upload_of_a_gigabyte_in_pieces_is_refused_early(
    phone: PhoneClient, codes: Codes, tmp_path: Path
) -> None:
    token, sent = await phone.token(codes.plate), [0]
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss

    async def body() -> AsyncIterator[bytes]:
        yield multipart_head(token)
        async for block in endless(1 << 30, sent):
            yield block

    headers = {"Content-Type": "multipart/form-data; boundary=x"}
    try:
        answer = await phone.post(f"/{codes.plate}/photos", data=body(), headers=headers)
        assert answer.status == 413
    except ClientError:
        pass  # the server hung up while the rest was still being sent: refused as well
    assert sent[0] < 1 << 29
    grown_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert grown_kib < 64 * 1024


async def test_a_small_form_that_never_ends_is_cut(phone: PhoneClient, codes: Codes) -> None:
    sent = [0]
    headers = {"Content-Type": "application/x-www-form-urlencoded"}
    with contextlib.suppress(ClientError):
        answer = await phone.post(
            f"/{codes.plate}/care", data=endless(1 << 28, sent), headers=headers
        )
        assert answer.status == 413
    assert sent[0] < 1 << 27


async def test_a_decompression_bomb_is_refused_and_nothing_kept(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    form = upload(await phone.token(codes.plate), picture(), png_that_says(60_000, 60_000))
    answer = await phone.post(f"/{codes.plate}/photos", data=form)
    assert answer.status == 409
    assert "Photo 2" in await answer.text()
    assert not book.records.parts[codes.plate].photos
    assert not list(book.photos.glob("*")) if book.photos.exists() else True


async def test_a_squeezed_body_is_not_unpacked(phone: PhoneClient, codes: Codes) -> None:
    headers = {
        "Content-Type": "application/x-www-form-urlencoded",
        "Content-Encoding": "gzip",
    }
    answer = await phone.post(f"/{codes.plate}/care", data=b"\x1f\x8b" + bytes(50), headers=headers)
    assert answer.status == 415


async def test_too_many_photos_or_fields_are_refused(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    token = await phone.token(codes.plate)
    answer = await phone.post(f"/{codes.plate}/photos", data=upload(token, *[picture()] * 13))
    assert answer.status == 413
    fields = {"form": token, **{f"f{number}": "x" for number in range(60)}}
    assert (await phone.post(f"/{codes.plate}/care", data=fields)).status == 400
    many = FormData(default_to_multipart=True)
    for name, value in fields.items():
        many.add_field(name, value)
    assert (await phone.post(f"/{codes.plate}/photos", data=many)).status == 413
    long = {"form": token, "step": "x" * 5000}
    assert (await phone.post(f"/{codes.plate}/care", data=long)).status == 413
    assert not book.records.parts[codes.plate].photos


async def test_five_hundred_scans_at_once_are_all_answered(
    phone: PhoneClient, codes: Codes, bench: Bench
) -> None:
    answers = await asyncio.gather(
        *(
            phone.get(f"/{code}")
            for code in [codes.plate, codes.shoes, codes.bag, codes.spare] * 125
        )
    )
    assert [answer.status for answer in answers] == [200] * 500
    assert len(bench.events) == 500
    assert (await phone.get("/")).status == 200


async def test_five_hundred_strangers_at_once_are_slowed_and_learn_nothing(
    stranger: PhoneClient, phone: PhoneClient, codes: Codes
) -> None:
    answers = await asyncio.gather(*(stranger.get(f"/{codes.plate}") for _ in range(500)))
    assert {answer.status for answer in answers} == {403, 429}
    assert sum(answer.status == 403 for answer in answers) < 80
    # The paired phone at the same address is not slowed.
    assert (await phone.get("/")).status == 200


class TestSlowClients:
    """Clients that dawdle are cut off."""

    @pytest.fixture
    def limits(self) -> PhoneLimits:
        return QUICK

    async def cut_off(self, bench: Bench, first: bytes, byte: bytes) -> bool:
        """Sends `first`, then a byte every tenth of a second; whether that is ended for it."""
        reader, writer = await asyncio.open_connection("127.0.0.1", bench.server.port)
        try:
            writer.write(first)
            for _ in range(DAWDLES):
                writer.write(byte)
                await writer.drain()
                with contextlib.suppress(TimeoutError):
                    async with asyncio.timeout(0.1):
                        if not await reader.read(4096):
                            return True
        except ConnectionError:
            return True
        finally:
            writer.close()
        return False

    async def test_a_byte_at_a_time_in_the_headers(self, bench: Bench) -> None:
        assert await self.cut_off(bench, b"GET / HTTP/1.1\r\nHost: ", b"a")

    async def test_a_connection_that_says_nothing(self, bench: Bench) -> None:
        assert await self.cut_off(bench, b"", b"")

    async def test_a_byte_at_a_time_in_a_form(
        self, bench: Bench, phone: PhoneClient, codes: Codes
    ) -> None:
        head = request_line(f"/{codes.plate}/care", bench, cookie_of(phone), "POST")[:-2]
        head += b"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 9999\r\n\r\n"
        assert await self.cut_off(bench, head, b"a")

    async def test_a_byte_at_a_time_in_a_photo(
        self, bench: Bench, phone: PhoneClient, codes: Codes
    ) -> None:
        body = multipart_head(await phone.token(codes.plate))
        head = request_line(f"/{codes.plate}/photos", bench, cookie_of(phone), "POST")[:-2]
        head += b"Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 99999\r\n\r\n"
        assert await self.cut_off(bench, head + body, b"a")

    async def test_a_client_that_never_reads_its_answers(
        self, bench: Bench, phone: PhoneClient, codes: Codes
    ) -> None:
        sock = socket.socket()
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        sock.setblocking(False)
        loop = asyncio.get_running_loop()
        await loop.sock_connect(sock, ("127.0.0.1", bench.server.port))
        one = request_line(f"/{codes.plate}", bench, cookie_of(phone)).replace(
            b"close", b"keep-alive"
        )
        # Cut off: sending on fails.
        with pytest.raises(ConnectionError):
            async with asyncio.timeout(60):
                while True:
                    await loop.sock_sendall(sock, one * 20)
        sock.close()

    async def test_the_others_are_answered_meanwhile(
        self, bench: Bench, phone: PhoneClient
    ) -> None:
        slow = [
            asyncio.create_task(self.cut_off(bench, b"GET / HTTP/1.1\r\n", b"a")) for _ in range(50)
        ]
        await asyncio.sleep(0.1)
        assert (await phone.get("/")).status == 200
        assert all(await asyncio.gather(*slow))


class TestFewConnections:
    """With all connections taken, the longest-waiting one gives way."""

    @pytest.fixture
    def limits(self) -> PhoneLimits:
        return PhoneLimits(connections=10)

    async def test_silent_connections_do_not_lock_a_phone_out(
        self, bench: Bench, stranger: PhoneClient
    ) -> None:
        held = [await asyncio.open_connection("127.0.0.1", bench.server.port) for _ in range(40)]
        assert (await stranger.get("/")).status == 403
        reads = [asyncio.create_task(reader.read(1)) for reader, _ in held]
        async with asyncio.timeout(30):
            while sum(read.done() for read in reads) < 30:
                await asyncio.sleep(0.01)
        for read, (_, writer) in zip(reads, held, strict=True):
            if read.done() and read.exception() is None:
                assert read.result() == b""
            read.cancel()
            writer.close()


class TestNoRequests:
    """Bytes of all kinds; one that says nothing in them is waited for a second only."""

    @pytest.fixture
    def limits(self) -> PhoneLimits:
        return PhoneLimits(headers_seconds=1.0)

    @pytest.mark.parametrize(
        "sent",
        [
            b"\r\n\r\n",
            b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
            b"GET\r\n\r\n",
            b"GET / HTTP/9.9\r\n\r\n",
            b"GET / HTTP/1.1\r\nHost\r\n\r\n",
            b"GET / HTTP/1.1\r\n" + b"X: y\r\n" * 5000 + b"\r\n",
            b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n\r\n",
            b"POST / HTTP/1.1\r\nContent-Length: -5\r\n\r\n",
            b"POST / HTTP/1.1\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
            b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
            b"XYZ / HTTP/1.1\r\n\r\n",
            bytes(range(256)) * 20,
        ],
    )
    async def test_what_is_no_request_gets_a_bare_answer(
        self, sent: bytes, bench: Bench, stranger: PhoneClient
    ) -> None:
        answer = (await raw(bench, sent)).decode("latin-1")
        no_detail(answer)
        assert "aiohttp" not in answer
        assert "Python" not in answer
        assert (await stranger.get("/")).status == 403


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data", b"--x--"),
        ("multipart/form-data; boundary=", b"----"),
        ("multipart/form-data; boundary=x", b""),
        ("multipart/form-data; boundary=x", b"no boundary at all"),
        ("multipart/form-data; boundary=x", b"--x\r\n\r\n\r\n--x--\r\n"),
        ("multipart/form-data; boundary=x", b"--x\r\n" + b"A: b\r\n" * 4000 + b"\r\n--x--"),
        (
            "multipart/form-data; boundary=x",
            b"--x\r\nContent-Disposition: \xff\xfe\r\n\r\na\r\n--x--",
        ),
        (
            "multipart/form-data; boundary=x",
            b"--x\r\nContent-Type: multipart/mixed; boundary=y\r\n\r\n"
            b"--y\r\n\r\na\r\n--y--\r\n--x--",
        ),
        ("multipart/form-data; boundary=" + "x" * 300, b"--x--"),
        ("application/x-www-form-urlencoded", b"\xff\xfe=%ff%fe"),
        ("application/x-www-form-urlencoded", b"form=%"),
        ("application/json", b"{}"),
        ("text/plain", b"form=x"),
    ],
)
@pytest.mark.filterwarnings("ignore::aiohttp.multipart.BadContentDispositionHeader")
async def test_broken_forms_are_refused_in_one_sentence(
    phone: PhoneClient, codes: Codes, kind: str, body: bytes
) -> None:
    for page in ("photos", "care"):
        answer = await phone.post(
            f"/{codes.plate}/{page}", data=body, headers={"Content-Type": kind}
        )
        assert answer.status in (400, 403, 413, 415)
        no_detail(await answer.text())


class Talking:
    """Talks to the server from a test that is not asynchronous, since hypothesis wants that."""

    def __init__(
        self, phone: PhoneClient, codes: Codes, token: str, runner: asyncio.Runner
    ) -> None:
        self.phone = phone
        self.codes = codes
        self.token = token
        self.runner = runner

    def get(self, path: str) -> tuple[int, str]:
        return self.runner.run(self._said(self.phone.get(path)))

    def form(self, page: str, fields: dict[str, str], spare: bool) -> tuple[int, str]:
        code = self.codes.spare if spare else self.codes.plate
        data = {"form": self.token, **fields}
        return self.runner.run(self._said(self.phone.post(f"/{code}/{page}", data=data)))

    @staticmethod
    async def _said(waiting: object) -> tuple[int, str]:
        answer = await waiting  # type: ignore[misc]
        return answer.status, await answer.text()


@pytest.fixture
def talk(book: Book, codes: Codes) -> Iterator[Talking]:
    """A server and a paired phone on a loop of their own, kept while hypothesis makes requests."""
    with asyncio.Runner() as runner:

        async def begin() -> tuple[PhoneClient, str, PhoneServer]:
            server = PhoneServer(book, host="", port=0)
            await server.start()
            phone = PhoneClient(Bench(server))
            await phone.pair()
            return phone, await phone.token(codes.plate), server

        phone, token, server = runner.run(begin())
        yield Talking(phone, codes, token, runner)
        runner.run(phone.session.close())
        runner.run(server.stop())


@settings(
    max_examples=examples(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    path=st.one_of(st.text(max_size=60), st.binary(max_size=60).map(lambda b: b.decode("latin-1")))
)
def test_made_up_paths(path: str, talk: Talking) -> None:
    status, text = talk.get("/" + quote(path, safe="/%.;?&=-"))
    assert status in (200, 303, 400, 403, 404, 405)
    no_detail(text)


@settings(
    max_examples=examples(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    page=st.sampled_from(["care", "fit", "short", "photos", "start", "photo/1", ""]),
    fields=st.dictionaries(
        st.sampled_from(["step", "how", "line", "short", "why", "anyway", "name", "assembly", "x"]),
        st.text(max_size=40),
        max_size=6,
    ),
    spare=st.booleans(),
)
def test_made_up_forms(page: str, fields: dict[str, str], spare: bool, talk: Talking) -> None:
    status, text = talk.form(page, fields, spare)
    assert status in (303, 400, 403, 404, 405, 409, 413, 415)
    no_detail(text)
