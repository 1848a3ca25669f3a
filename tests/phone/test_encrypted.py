"""Encrypted pages, an optional extra: a certificate of the bench's own, and the camera in the page.

Everything else works without it.
"""

from __future__ import annotations

import base64
import hashlib
import ssl
import subprocess
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import pytest
from aiohttp import ClientConnectorCertificateError, ClientSession
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from PIL import Image
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from labels.symbols.payload import payload
from tagbench.book import Book
from tagbench.errors import BadInput
from tagbench.phone.certificate import Certificates
from tagbench.phone.pairing import Pairing
from tagbench.phone.server import PhoneServer
from tests.phone.browser import Served, chromium, need_chromium
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_at_the_machine import photo_of


@pytest.fixture
def certificates(tmp_path: Path) -> Certificates:
    return Certificates(tmp_path / "certificate")


@pytest.fixture
async def bench(book: Book, codes: Codes, certificates: Certificates) -> AsyncIterator[Bench]:
    """A server with encrypted pages besides the plain ones."""
    server = PhoneServer(book, host="", port=0, encrypt=True, certificates=certificates)
    server.pairing = Pairing(wait_seconds=0.0)
    running = Bench(server)
    server.listen(running.events.append)
    await server.start()
    yield running
    await server.stop()


def trusting(certificates: Certificates) -> ssl.SSLContext:
    """A client that knows the bench's authority and nobody else."""
    pem = ssl.DER_cert_to_PEM_cert(certificates.authority())
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.load_verify_locations(cadata=pem)
    return context


def encrypted(bench: Bench, host: str = "127.0.0.1") -> str:
    return f"https://{host}:{bench.server.encrypted_port}"


async def test_a_phone_that_knows_the_certificate_is_answered(
    bench: Bench, certificates: Certificates, phone: PhoneClient, codes: Codes
) -> None:
    context = trusting(certificates)
    [cookie] = [one.value for one in phone.session.cookie_jar]
    cookies = {"tagbench_phone": cookie}
    async with ClientSession(cookies=cookies) as session:
        for host in ("127.0.0.1", "localhost"):
            async with session.get(f"{encrypted(bench, host)}/{codes.plate}", ssl=context) as page:
                assert page.status == 200
                assert "Brake plate" in await page.text()
        with pytest.raises(ClientConnectorCertificateError):
            await session.get(encrypted(bench))


async def test_the_plain_port_speaks_no_other_name_and_neither_does_this_one(
    bench: Bench, certificates: Certificates
) -> None:
    async with ClientSession() as session:
        for host in ("evil.example", f"127.0.0.1:{bench.server.port}"):
            headers = {"Host": host}
            where = encrypted(bench)
            async with session.get(where, ssl=trusting(certificates), headers=headers) as answer:
                assert answer.status == 421


def test_the_authority_may_vouch_for_home_addresses_only(certificates: Certificates) -> None:
    """RFC 5280, 4.2.1.10: name constraints, critical; and no authority under it."""
    certificates.for_server(["garage.local", "192.168.1.20", "evil.example", "8.8.8.8"])
    authority = x509.load_der_x509_certificate(certificates.authority())
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    allowed = {str(one.value) for one in limits.value.permitted_subtrees or ()}
    assert allowed >= {"local", "192.168.0.0/16", "10.0.0.0/8"}
    assert not any("example" in one or one == "0.0.0.0/0" for one in allowed)
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.path_length) == (True, 0)


def test_another_program_finds_the_chain_in_order(
    certificates: Certificates, tmp_path: Path
) -> None:
    """Second opinion: openssl."""
    certificates.for_server(["garage.local", "192.168.1.20", "evil.example"])
    (tmp_path / "ca.pem").write_text(ssl.DER_cert_to_PEM_cert(certificates.authority()))
    chain = tmp_path / "certificate" / "server.pem"
    for name in ("-verify_hostname=garage.local", "-verify_ip=192.168.1.20"):
        option, value = name.split("=")
        told = subprocess.run(
            ["openssl", "verify", "-CAfile", tmp_path / "ca.pem", option, value, chain],
            capture_output=True,
            text=True,
            check=False,
        )
        assert told.returncode == 0, told.stderr
    assert b"evil.example" not in x509.load_pem_x509_certificate(chain.read_bytes()).public_bytes(
        Encoding.DER
    )


def test_the_keys_are_for_this_user_only_and_the_authority_stays(
    certificates: Certificates, tmp_path: Path
) -> None:
    certificates.for_server(["garage.local"])
    first = certificates.authority()
    certificates.for_server(["garage.local", "192.168.1.21"])
    assert certificates.authority() == first
    folder = tmp_path / "certificate"
    assert folder.stat().st_mode & 0o077 == 0
    for path in folder.iterdir():
        assert path.stat().st_mode & 0o077 == 0


def test_without_the_extra_that_is_told(
    certificates: Certificates, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tagbench.phone.certificate.can_encrypt", lambda: False)
    with pytest.raises(BadInput, match=r"\[https\]"):
        certificates.for_server(["garage.local"])


async def test_the_policy_is_opened_on_the_camera_page_alone(
    bench: Bench, certificates: Certificates, phone: PhoneClient, codes: Codes
) -> None:
    [cookie] = [one.value for one in phone.session.cookie_jar]
    async with ClientSession(cookies={"tagbench_phone": cookie}) as session:
        context = trusting(certificates)
        for path, opened in (("/camera", True), (f"/{codes.plate}", False), ("/scan", False)):
            async with session.get(encrypted(bench) + path, ssl=context) as answer:
                policy = answer.headers["Content-Security-Policy"]
                assert ("script-src 'sha256-" in policy) == opened
                assert ("camera=(self)" in answer.headers["Permissions-Policy"]) == opened
                assert "unsafe" not in policy
    plain = await phone.get("/camera")
    assert (plain.status, plain.headers["Location"]) == (303, "/scan")


async def test_the_phone_gets_the_certificate_and_never_the_key(
    bench: Bench, phone: PhoneClient, stranger: PhoneClient, certificates: Certificates
) -> None:
    assert "/certificate.crt" in await phone.page("/certificate")
    async with phone.session.get(bench.origin + "/certificate.crt") as answer:
        assert answer.content_type == "application/x-x509-ca-cert"
        assert await answer.read() == certificates.authority()
    assert (await stranger.get("/certificate.crt")).status == 403


async def test_without_encryption_nothing_of_it_is_offered(
    book: Book, codes: Codes, certificates: Certificates
) -> None:
    server = PhoneServer(book, host="", port=0, certificates=certificates)
    await server.start()
    assert server.encrypted_port == 0
    plain = PhoneClient(Bench(server))
    await plain.pair()
    assert "certificate" not in await plain.page("/scan")
    for path in ("/certificate", "/certificate.crt", "/camera"):
        assert (await plain.get(path)).headers["Location"] == "/scan"
    await plain.session.close()
    await server.stop()


# The camera page in a real browser, before a camera that shows a tag


def film(path: Path, picture: Image.Image) -> Path:
    """A film of one picture as the browser's stand-in for a camera reads it (YUV4MPEG2)."""
    frame = Image.new("YCbCr", (640, 480), (200, 128, 128))
    small = picture.convert("YCbCr").resize((320, 320 * picture.height // picture.width))
    frame.paste(small, (160, 80))
    luma, blue, red = frame.split()
    half = [plane.resize((320, 240)).tobytes() for plane in (blue, red)]
    data = b"FRAME\n" + luma.tobytes() + half[0] + half[1]
    path.write_bytes(b"YUV4MPEG2 W640 H480 F10:1 Ip A1:1 C420jpeg\n" + data * 5)
    return path


@pytest.fixture
def served(book: Book, codes: Codes, certificates: Certificates) -> Iterator[Served]:
    with Served(book, encrypt=True, certificates=certificates) as running:
        yield running


@pytest.mark.browser
def test_a_tag_before_the_camera_opens_its_page(
    served: Served, codes: Codes, certificates: Certificates, tmp_path: Path
) -> None:
    """The tag carries an old address; this browser has no detector, so the laptop decodes."""
    need_chromium()
    (tmp_path / "tag.jpg").write_bytes(photo_of(payload(codes.plate, "OLD.LOCAL:9000")))
    with Image.open(tmp_path / "tag.jpg") as tag:
        shown = film(tmp_path / "tag.y4m", tag)
    flags = [
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-video-capture={shown}",
        f"--ignore-certificate-errors-spki-list={key_digest(tmp_path)}",
    ]
    with chromium(tmp_path / "profile", more_flags=flags) as driver:
        driver.get(served.server.pairing_url(served.server.invite()))
        driver.get(f"https://127.0.0.1:{served.server.encrypted_port}/camera")
        assert driver.execute_script("return isSecureContext")
        WebDriverWait(driver, 20).until(lambda one: one.current_url.endswith(codes.plate))
        assert "Brake plate" in driver.find_element(By.TAG_NAME, "body").text
        driver.get("about:blank")


def key_digest(tmp_path: Path) -> str:
    """SHA-256 of the server's public key, by which the browser is told to trust it."""
    pem = (tmp_path / "certificate" / "server.pem").read_bytes()
    key = x509.load_pem_x509_certificate(pem).public_key()
    der = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return base64.b64encode(hashlib.sha256(der).digest()).decode()
