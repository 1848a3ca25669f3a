"""A phone that is taken away sees nothing more at once, whoever took it away."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from pathlib import Path

import pytest
from aiohttp import FormData
from filelock import FileLock

from tagbench.book import Book
from tagbench.book.operations.phones import forget
from tests.phone.conftest import Bench, Codes, PhoneClient


async def forget_elsewhere(folder: Path, number: int) -> None:
    """Takes a phone away with a program of its own."""
    command = [sys.executable, "-m", "tagbench", "--book", str(folder), "phone", "--forget"]
    done = await asyncio.to_thread(
        subprocess.run, [*command, str(number)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


async def test_after_another_program_took_it_away_not_one_page_is_shown(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    assert "Brake plate" in await phone.page(f"/{codes.plate}")
    [paired] = book.records.phones.values()
    await forget_elsewhere(book.folder, paired.id)
    # The very next request, and the server has not looked at the book since.
    assert "Brake" not in await phone.page(f"/{codes.plate}", 403)


async def test_after_another_program_took_it_away_not_one_change_is_made(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    token = await phone.token(codes.shoes)
    [paired] = book.records.phones.values()
    await forget_elsewhere(book.folder, paired.id)
    answer = await phone.post(f"/{codes.shoes}/care", data={"form": token, "step": "degreased"})
    assert answer.status == 403
    assert "Pair this phone" in await answer.text()
    with Book(book.folder) as now:
        assert now.records.parts[codes.shoes].care == ()


async def test_a_change_that_was_let_in_is_stopped_when_the_phone_goes_meanwhile(
    phone: PhoneClient, codes: Codes, book: Book, bench: Bench
) -> None:
    """It waits for the book; the phone is taken away before it gets it."""
    token = await phone.token(codes.shoes)
    [paired] = book.records.phones.values()
    lock = FileLock(book.folder / "book.lock")
    with lock:
        waiting = asyncio.create_task(
            phone.post(f"/{codes.shoes}/care", data={"form": token, "step": "degreased"})
        )
        await asyncio.sleep(0.3)  # it has passed the door and waits for the lock
        assert not waiting.done()
    with Book(book.folder) as other:
        forget(other, paired.id)
    answer = await waiting
    with Book(book.folder) as now:
        ticked = now.records.parts[codes.shoes].care
    # Either it got the book first, then all is in order; or it came later, then nothing is kept.
    assert (answer.status == 403) == (ticked == ())


async def test_a_locked_book_is_told_while_it_is_locked_and_nothing_is_kept(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    token, revision = await phone.token(codes.shoes), book.revision
    with FileLock(book.folder / "book.lock"):
        answer = await phone.post(f"/{codes.shoes}/care", data={"form": token, "step": "degreased"})
        assert "Brake shoes" in await phone.page(f"/{codes.shoes}")  # reading goes on
    assert answer.status == 503
    text = await answer.text()
    assert "Try again in a moment" in text
    assert 'href="/"' in text
    await asyncio.sleep(0.2)
    assert book.revision == revision
    again = await phone.send(f"/{codes.shoes}/care", step="degreased")
    assert again.status == 303


async def test_a_tap_by_a_phone_that_was_taken_away_is_no_wrong_code(
    phone: PhoneClient, codes: Codes, bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    """A part page is open when the phone is taken away; then a tick, and photos."""
    caplog.set_level("INFO")
    token = await phone.token(codes.shoes)
    [paired] = bench.server.phones()
    bench.server.forget(paired.id)
    invitation = bench.server.invite()
    photos = FormData(default_to_multipart=True)
    photos.add_field("form", token)
    photos.add_field("photo", b"x" * 100_000, filename="1.jpg", content_type="image/jpeg")
    ways = {f"/{codes.shoes}/care": {"form": token, "step": "lubed"}, "/strip": photos}
    for path, data in ways.items():
        answer = await phone.post(path, data=data)
        page = await answer.text()
        assert answer.status == 403
        assert "no longer paired" in page
        assert "press F10, then Ctrl+N" in page
        assert "not right" not in page
    assert "wrong pairing code" not in caplog.text
    assert "no longer paired" in caplog.text
    assert "no longer paired" in await phone.page(f"/{codes.plate}", 403)
    # Paired again from the page that came back, it is led to the part, not to the tick.
    answer = await phone.post(f"/{codes.shoes}/care", data={"code": invitation.code})
    assert (answer.status, answer.headers["Location"]) == (303, f"/{codes.shoes}")


async def test_a_phone_that_never_was_here_is_told_of_no_earlier_pairing(
    stranger: PhoneClient, codes: Codes
) -> None:
    assert "no longer paired" not in await stranger.page(f"/{codes.plate}", 403)
