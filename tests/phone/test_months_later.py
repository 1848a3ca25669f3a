"""The story: tags are printed, months pass, the address changes, and every tag still opens."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2

from tagbench.book import Book
from tagbench.book.operations.printing import print_tags
from tagbench.book.operations.tagging import queue
from tagbench.phone.addresses import dead_tags
from tagbench.phone.pairing import Pairing
from tagbench.phone.server import PhoneServer
from tagbench.records import replace
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_at_the_machine import photograph, token_on

DOTS_PER_INCH = 200


def printed(book: Book, codes: list[str], folder: Path) -> bytes:
    """A photo of the sheet of tags: printed, rendered and compressed as a camera does it."""
    target = folder / "tags.pdf"
    print_tags(book, codes, "a4-2x4-99.1x67.7", target=target)
    document = pypdfium2.PdfDocument(target)
    sheet = document[0].render(scale=DOTS_PER_INCH / 72).to_pil().convert("RGB")
    document.close()
    out = io.BytesIO()
    sheet.save(out, "JPEG", quality=80)
    return out.getvalue()


async def serve(book: Book) -> Bench:
    """The server on a free port; tags are printed with its port, at an address of the network."""
    server = PhoneServer(book, host="", port=0)
    server.pairing = Pairing(wait_seconds=0.0)
    running = Bench(server)
    server.listen(running.events.append)
    await server.start()
    with book.change("where phones are answered") as transaction:
        address = f"192.168.7.7:{server.port}"
        transaction.put(replace(transaction.records.desk, phone_address=address))
    return running


async def test_months_later_a_tag_opens_by_its_picture_and_nothing_is_forgotten(
    book: Book, codes: Codes, tmp_path: Path
) -> None:
    # An evening in spring: pair, print, put away.
    bench = await serve(book)
    phone = PhoneClient(bench)
    await phone.pair()
    photo = printed(book, [codes.plate, codes.shoes, codes.bag], tmp_path)
    first = book.records.desk.phone_address
    assert {book.records.tags[code].address for code in (codes.plate, codes.bag)} == {first}
    before = dict(book.records.parts)
    await bench.server.stop()

    # Months later: the laptop starts anew, and router and person gave it another address and port.
    with Book(book.folder) as later:
        bench = await serve(later)
        now = later.records.desk.phone_address
        assert now != first
        assert dict(later.records.parts) == before
        dead = [tag.code for tag in dead_tags(later.records, now)]
        assert {codes.plate, codes.shoes, codes.bag} <= set(dead)

        # The phone is known by its secret, though the port is another one.
        phone.bench = bench
        page = await phone.page("/")
        assert f"{len(dead)} printed tags can no longer be opened with the camera" in page

        # The old tags open by their picture, several at once.
        answer = await photograph(phone, photo)
        assert answer.status == 200
        listed = await answer.text()
        for code in (codes.plate, codes.shoes, codes.bag):
            assert f'href="/{code}"' in listed
        assert "Brake plate" in await phone.page(f"/{codes.plate}")

        # One key queues them again; printed anew they carry the new address.
        queue(later, dead)
        printed(later, dead, tmp_path)
        assert dead_tags(later.records, now) == []

        # A new phone at the new address is paired at the machine, and leads on to the tag.
        other = PhoneClient(bench)
        code = bench.server.invite().spaced
        assert "press F10, then Ctrl+N" in await other.page(f"/{codes.plate}", 403)
        welcome = await other.post(f"/{codes.plate}", data={"code": code})
        assert welcome.headers["Location"] == f"/{codes.plate}"

        # What is done by mistake is taken back, on the phone.
        done = await other.send(f"/{codes.plate}/fit", how="fitted")
        assert later.records.parts[codes.plate].fitted == "fitted"
        number = done.headers["Location"].split("=")[1]
        undo = {"form": await token_on(other, f"/{codes.plate}"), "change": number}
        assert (await other.post("/undo", data=undo)).status == 303
        assert later.records.parts[codes.plate] == before[codes.plate]
        for one in (phone, other):
            await one.session.close()
        await bench.server.stop()


async def test_a_phone_paired_at_the_number_is_known_at_the_name(
    phone: PhoneClient, bench: Bench, codes: Codes, book: Book
) -> None:
    """By a one-time link that only the paired phone is shown; nobody pairs again."""
    page = await phone.page("/")
    assert 'href="/name"' not in page  # no name is announced here
    assert (await phone.get("/name")).headers["Location"] == "/"
    [cookie] = [one.value for one in phone.session.cookie_jar]
    link = f"/pair/{bench.server.handovers.offer(cookie)}"
    elsewhere = PhoneClient(bench)
    prefetched = await elsewhere.get(link, headers={"Sec-Purpose": "prefetch"})
    assert prefetched.status == 403
    answer = await elsewhere.get(link)
    assert (answer.status, answer.headers["Location"]) == (303, "/")
    assert "Next on the bench" in await elsewhere.page("/")
    assert len(book.records.phones) == 1
    again = PhoneClient(bench)
    assert (await again.get(link)).status == 403
    for one in (elsewhere, again):
        await one.session.close()
