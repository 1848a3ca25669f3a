"""A form is done once, however often a slow connection or a second tap has it sent."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Sequence

import pytest
from aiohttp import ClientResponse, FormData

from tagbench.book import Book
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.measure.waiting import waiting
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_actions import jpeg
from tests.phone.test_at_the_machine import token_on
from tests.phone.test_mat import pictures

__all__ = ["pictures"]  # rendered ones


def filled(token: str, fields: dict[str, str], photos: Sequence[bytes] = ()) -> FormData:
    """A form; made anew each time it is sent."""
    form = FormData(default_to_multipart=True)
    form.add_field("form", token)
    for name, value in fields.items():
        form.add_field(name, value)
    for number, photo in enumerate(photos):
        form.add_field("photo", photo, filename=f"{number}.jpg", content_type="image/jpeg")
    return form


async def twice(
    phone: PhoneClient,
    page: str,
    path: str,
    photos: Sequence[bytes] = (),
    *,
    at_once: bool = False,
    **fields: str,
) -> list[ClientResponse]:
    """The same form of the same page sent two times."""
    token = await token_on(phone, page)
    sends = [phone.post(path, data=filled(token, fields, photos)) for _ in range(2)]
    if at_once:
        return list(await asyncio.gather(*sends))
    return [await one for one in sends]


@pytest.mark.parametrize("at_once", [False, True])
async def test_a_part_is_started_once(
    phone: PhoneClient, bench: Bench, book: Book, at_once: bool
) -> None:
    before, told = len(book.records.parts), len(bench.events)
    answers = await twice(phone, "/strip", "/strip", [jpeg()], at_once=at_once, name="Doppeltipp")
    assert [one.status for one in answers] == [303, 303]
    assert answers[0].headers["Location"] == answers[1].headers["Location"]
    assert len(book.records.parts) == before + 1
    assert len(bench.events) == told + 1
    assert "Took off Doppeltipp" in await phone.page(answers[1].headers["Location"])


@pytest.mark.parametrize("at_once", [False, True])
async def test_what_was_found_is_written_down_once(
    phone: PhoneClient, book: Book, at_once: bool
) -> None:
    answers = await twice(phone, "/away", "/away/found", at_once=at_once, found="M6 bolt 20 long")
    assert {one.status for one in answers} == {303}
    assert len(book.records.loose) == 1


async def test_the_notice_of_a_tick_is_not_lost(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    page, path = f"/{codes.shoes}", f"/{codes.shoes}/care"
    _, second = await twice(phone, page, path, step="lubed")
    shown = await phone.page(second.headers["Location"])
    assert "Lubed Brake shoes" in shown
    assert "Take it back" in shown
    assert [one.step for one in book.records.parts[codes.shoes].care] == ["lubed"]


async def test_taking_back_twice_takes_back_one_thing(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.send(f"/{codes.shoes}/care", step="degreased")
    done = await phone.send(f"/{codes.shoes}/care", step="lubed")
    location = done.headers["Location"]
    token, number = await token_on(phone, location), location.split("=")[1]
    answers = [await phone.post("/undo", data={"form": token, "change": number}) for _ in range(2)]
    assert [one.status for one in answers] == [303, 303]
    assert [one.step for one in book.records.parts[codes.shoes].care] == ["degreased"]


async def test_a_setting_measured_twice_is_one_change(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    del codes
    one = add_setting(book, SettingForm(what="chain slack", range="20-30 mm", mark="TP"))
    revision = book.revision
    await twice(phone, "/settings", f"/settings/{one.id}", at_once=True, value="25")
    assert book.revision == revision + 1


@pytest.mark.long
async def test_a_mat_is_measured_and_kept_once(
    phone: PhoneClient, book: Book, pictures: tuple[bytes, bytes]
) -> None:
    answers = await twice(phone, "/mat", "/mat", pictures[:1], at_once=True, what="fasteners")
    assert [one.status for one in answers] == [200, 200]
    assert await answers[0].text() == await answers[1].text()
    assert len(waiting(book.folder)) == 1


async def test_two_forms_of_one_page_are_two(phone: PhoneClient, codes: Codes, book: Book) -> None:
    """Two ticks in quick succession, before the page has come back from the first."""
    page = await phone.page(f"/{codes.shoes}")
    tokens = re.findall(r'name="form" value="([0-9a-f]+)"', page)
    assert len(set(tokens)) == len(tokens) > 3
    for token, step in zip(tokens, ("degreased", "inspected"), strict=False):
        answer = await phone.post(f"/{codes.shoes}/care", data={"form": token, "step": step})
        assert answer.status == 303
    assert len(book.records.parts[codes.shoes].care) == 2


async def test_a_form_sent_again_with_other_words_is_neither_lost_nor_done_twice(
    phone: PhoneClient, book: Book
) -> None:
    """A word put right between two taps, or a form that the browser shows again with Back."""
    token, before = await token_on(phone, "/strip"), len(book.records.parts)
    first = await phone.post("/strip", data=filled(token, {"name": "Tail lmap"}))
    assert first.status == 303
    second = await phone.post("/strip", data=filled(token, {"name": "Tail lamp"}))
    page = await second.text()
    assert second.status == 409
    assert "was sent before with something else in it" in page
    assert 'value="Tail lamp"' in page
    assert len(book.records.parts) == before + 1
    fresh = re.search(r'name="form" value="([0-9a-f]+)"', page)
    assert fresh is not None
    third = await phone.post("/strip", data=filled(fresh[1], {"name": "Tail lamp"}))
    assert third.status == 303
    assert len(book.records.parts) == before + 2


async def test_what_was_refused_was_not_done_and_may_be_sent_again(
    phone: PhoneClient, book: Book
) -> None:
    token, before = await token_on(phone, "/strip"), len(book.records.parts)
    refused = await phone.post("/strip", data=filled(token, {"name": "Lamp", "quantity": "x"}))
    assert refused.status == 409
    done = await phone.post("/strip", data=filled(token, {"name": "Lamp", "quantity": "1"}))
    assert done.status == 303
    assert len(book.records.parts) == before + 1


async def test_asking_how_fasteners_are_understood_uses_no_form_up(
    phone: PhoneClient, book: Book
) -> None:
    token, before = await token_on(phone, "/strip"), len(book.records.parts)
    asked = {"name": "Lamp", "fasteners": "4 m5 x 12 pan", "how": "check"}
    assert (await phone.post("/strip", data=filled(token, asked))).status == 200
    assert (await phone.post("/strip", data=filled(token, {"name": "Lamp"}))).status == 303
    assert len(book.records.parts) == before + 1
