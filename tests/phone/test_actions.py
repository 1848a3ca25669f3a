"""What a paired phone can do: photos, care, fitting, fasteners short, a part started."""

from __future__ import annotations

import asyncio
import errno
import io
import re
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest
from aiohttp import ClientResponse, FormData
from PIL import Image

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part
from tagbench.errors import Refused
from tagbench.phone.events import BookChanged
from tagbench.records import replace
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_pictures import corners, exif, seen_corners


def jpeg(side: int = 200, **how: object) -> bytes:
    out = io.BytesIO()
    corners(side, side // 2).save(out, "JPEG", **how)
    return out.getvalue()


async def send_photos(
    phone: PhoneClient, path: str, *photos: bytes, **fields: str
) -> ClientResponse:
    form = FormData()
    form.add_field("form", await phone.token(path.split("/")[1]))
    for name, value in fields.items():
        form.add_field(name, value)
    for number, photo in enumerate(photos):
        form.add_field("photo", photo, filename=f"{number}.jpg", content_type="image/jpeg")
    return await phone.post(path, data=form)


async def test_several_photos_at_once(
    phone: PhoneClient, codes: Codes, book: Book, bench: Bench
) -> None:
    answer = await send_photos(phone, f"/{codes.plate}/photos", jpeg(), jpeg(100, exif=exif(6)))
    assert (answer.status, answer.headers["Location"]) == (
        303,
        f"/{codes.plate}?done={book.revision}",
    )
    photos = book.records.parts[codes.plate].photos
    assert [photo.file for photo in photos] == [f"{codes.plate}-1.jpg", f"{codes.plate}-2.jpg"]
    assert photos[0].taken is None
    assert photos[1].taken == datetime(2026, 3, 7, 20, 14, 5, tzinfo=UTC)
    assert {photo.original for photo in photos} == {"the phone phone"}
    assert b"Exif" not in (book.photos / photos[1].file).read_bytes()
    event = bench.events[-1]
    assert isinstance(event, BookChanged)
    assert (event.code, event.words) == (
        codes.plate,
        f"added 2 photos to Brake plate {codes.plate}",
    )


async def test_photos_are_one_step_of_undo(phone: PhoneClient, codes: Codes, book: Book) -> None:
    await send_photos(phone, f"/{codes.plate}/photos", jpeg(), jpeg())
    book.undo()
    assert book.records.parts[codes.plate].photos == ()


async def test_a_photo_is_shown_upright_and_small(
    phone: PhoneClient, codes: Codes, tmp_path: Path, book: Book
) -> None:
    await send_photos(phone, f"/{codes.plate}/photos", jpeg(3000))
    page = await phone.page(f"/{codes.plate}?done={book.revision}")
    assert "Added a photo to Brake plate" in page
    assert f'src="/{codes.plate}/photo/1"' in page
    async with phone.session.get(f"{phone.bench.origin}/{codes.plate}/photo/1") as answer:
        assert answer.content_type == "image/jpeg"
        (tmp_path / "shown").write_bytes(await answer.read())
        mark = answer.headers["ETag"]
    with Image.open(tmp_path / "shown") as image:
        assert max(image.size) == 1280
    assert seen_corners(tmp_path / "shown") == ["red", "green", "blue", "white"]
    again = await phone.get(f"/{codes.plate}/photo/1", headers={"If-None-Match": mark})
    assert again.status == 304


async def test_photos_that_are_not_there_are_told(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await send_photos(phone, f"/{codes.plate}/photos", jpeg())
    for number in ("0", "2", "999"):
        assert (await phone.get(f"/{codes.plate}/photo/{number}")).status == 404
    assert (await phone.get(f"/{codes.bag}/photo/1")).status == 404
    (book.photos / f"{codes.plate}-1.jpg").unlink()
    assert "missing or broken" in await phone.page(f"/{codes.plate}/photo/1", 404)


async def test_sending_no_photo_is_told(phone: PhoneClient, codes: Codes, book: Book) -> None:
    revision = book.revision
    answer = await send_photos(phone, f"/{codes.plate}/photos", b"")
    assert answer.status == 409
    assert "No photo was chosen" in await answer.text()
    assert book.revision == revision


async def test_what_is_no_photo_keeps_none_of_them(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await send_photos(phone, f"/{codes.plate}/photos", jpeg(), b"not a picture")
    assert answer.status == 409
    assert "Photo 2: This is not a picture" in await answer.text()
    assert book.records.parts[codes.plate].photos == ()


async def test_a_full_disk_is_told_and_loses_nothing(
    phone: PhoneClient, codes: Codes, book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    await send_photos(phone, f"/{codes.plate}/photos", jpeg())

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("tagbench.phone.actions.write_clean_copy", full)
        answer = await send_photos(phone, f"/{codes.plate}/photos", jpeg())
        assert answer.status == 507
        assert "disk of the bench computer is full" in await answer.text()
    with monkeypatch.context() as patch:
        patch.setattr("tagbench.phone.forms.tempfile.TemporaryDirectory", full)
        answer = await send_photos(phone, f"/{codes.plate}/photos", jpeg())
        assert answer.status == 507
    with monkeypatch.context() as patch:
        patch.setattr("shutil.copyfileobj", full)
        answer = await send_photos(phone, f"/{codes.plate}/photos", jpeg())
        assert answer.status in (503, 507)
        assert "not taken in" in await answer.text()
    assert [one.file for one in book.records.parts[codes.plate].photos] == [f"{codes.plate}-1.jpg"]
    assert len(list(book.photos.iterdir())) == 1
    assert (await send_photos(phone, f"/{codes.plate}/photos", jpeg())).status == 303


async def test_a_spare_tag_starts_a_part(
    phone: PhoneClient, codes: Codes, book: Book, bench: Bench
) -> None:
    answer = await send_photos(
        phone, f"/{codes.spare}/start", jpeg(), name="Speedometer drive", assembly="front wheel"
    )
    assert answer.headers["Location"] == f"/{codes.spare}?done={book.revision}"
    part = book.records.parts[codes.spare]
    assert (part.name, part.assembly, len(part.photos)) == ("Speedometer drive", "Front wheel", 1)
    assert part.order == 4
    assert book.records.tags[codes.spare].kind == "part"
    assert isinstance(bench.events[-1], BookChanged)
    assert "Speedometer drive" in await phone.page(f"/{codes.spare}")
    book.undo()
    assert book.records.tags[codes.spare].kind == "spare"


async def test_lines_typed_into_a_field_stay_one_line_in_the_log(
    phone: PhoneClient, codes: Codes, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level("INFO")
    forged = "x\r\n12:00:00  paired the phone nobody\x1b[2J"
    await phone.send(f"/{codes.plate}/fit", how=forged)
    await phone.send(f"/{codes.plate}/short", line=forged, short="1")
    await phone.send(f"/{codes.plate}/fit", how="fitted", torqued=forged)
    for record in caplog.records:
        assert record.getMessage().isprintable()


async def test_a_spare_tag_without_a_name_asks_again_and_keeps_what_was_typed(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await send_photos(phone, f"/{codes.spare}/start", jpeg(), name=" ", assembly="Engine")
    assert answer.status == 409
    text = await answer.text()
    assert "needs a name" in text
    assert 'value="Engine"' in text
    assert codes.spare not in book.records.parts
    assert not list(book.photos.glob("*"))


async def test_a_tag_in_use_cannot_be_started_again(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await phone.send(f"/{codes.plate}/start", name="Another")
    assert answer.status == 409
    assert "already on Brake plate" in await answer.text()


async def test_a_care_step_is_ticked(
    phone: PhoneClient, codes: Codes, book: Book, bench: Bench
) -> None:
    answer = await phone.send(f"/{codes.shoes}/care", step="degreased", with_what="kerosene")
    assert answer.status == 303
    [done] = book.records.parts[codes.shoes].care
    assert (done.step, done.with_what) == ("degreased", "kerosene")
    page = await phone.page(f"/{codes.shoes}?done={book.revision}")
    assert "Degreased Brake shoes" in page
    assert "✓ degreased with kerosene" in page
    assert '<option value="kerosene">' in await phone.page(f"/{codes.wheel}")
    assert any(
        isinstance(event, BookChanged)
        and event.words == f"degreased Brake shoes {codes.shoes} with kerosene"
        for event in bench.events
    )


@pytest.mark.parametrize("step", ["", "reuse", "polished", "Degreased"])
async def test_what_is_no_care_step_is_not_ticked(
    phone: PhoneClient, codes: Codes, book: Book, step: str
) -> None:
    revision = book.revision
    assert (await phone.send(f"/{codes.shoes}/care", step=step)).status == 409
    assert book.revision == revision


@pytest.mark.parametrize(("how", "said"), [("fitted", "Fitted"), ("snug", "Snug")])
async def test_a_ready_part_goes_on(
    phone: PhoneClient, codes: Codes, book: Book, how: str, said: str
) -> None:
    answer = await phone.send(f"/{codes.plate}/fit", how=how)
    assert answer.status == 303
    assert book.records.parts[codes.plate].fitted == how
    assert said in await phone.page(answer.headers["Location"])


async def test_a_torque_is_written_down_and_checked(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    refused = await phone.send(f"/{codes.plate}/fit", how="fitted", torque1="9 N·m")
    assert refused.status == 409
    text = await refused.text()
    assert "9 N·m is over the range" in text
    assert 'value="9 N·m"' in text
    assert (await phone.send(f"/{codes.plate}/fit", how="fitted", torque1="x")).status == 409
    assert book.records.parts[codes.plate].fitted == "off"
    answer = await phone.send(f"/{codes.plate}/fit", how="fitted", torque1="4.5")
    assert answer.status == 303
    assert book.records.parts[codes.plate].fasteners[0].torqued == 4.5
    assert "torqued to 4.5 N·m" in await phone.page(f"/{codes.plate}")


async def test_a_part_with_only_some_of_its_torques_is_told_to_be_snug(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    with book.change("another torque") as transaction:
        part = transaction.records.parts[codes.plate]
        screws = part.fasteners[0]
        assert screws.torque is not None
        others = replace(screws, thread="M6x1", torque=replace(screws.torque, low=8.0, high=9.0))
        transaction.put(replace(part, fasteners=(screws, others)))
    answer = await phone.send(f"/{codes.plate}/fit", how="fitted", torque1="4.5")
    assert answer.headers["Location"] == f"/{codes.plate}?done={book.revision}"
    assert book.records.parts[codes.plate].fitted == "snug"


async def test_a_refusal_has_the_same_words_as_at_the_bench(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    with pytest.raises(Refused) as refused:
        fit_part(book, codes.shoes, FitForm())
    answer = await phone.send(f"/{codes.shoes}/fit", how="fitted")
    assert answer.status == 409
    page = await answer.text()
    assert str(refused.value) in " ".join(re.sub("<[^>]+>", "", unescape(page)).split())
    assert "Fit it anyway" in page
    assert book.records.parts[codes.shoes].fitted == "off"


async def test_fit_anyway_wants_a_reason_and_is_written_down(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    bare = await phone.send(f"/{codes.shoes}/fit", how="snug", anyway="yes")
    assert bare.status == 409
    assert "Say why" in await bare.text()
    assert "Snug it anyway" in await bare.text()
    answer = await phone.send(f"/{codes.shoes}/fit", how="snug", anyway="yes", why="only a trial")
    assert answer.status == 303
    part = book.records.parts[codes.shoes]
    assert part.fitted == "snug"
    assert {one.what for one in part.overrides} == {"buried", "held up"}
    assert {one.why for one in part.overrides} == {"only a trial"}


async def test_short_by_n(phone: PhoneClient, codes: Codes, book: Book) -> None:
    answer = await phone.send(f"/{codes.plate}/short", line="1", short="2")
    assert answer.status == 303
    assert book.records.parts[codes.plate].fasteners[0].short == 2
    assert "2 lost" in await phone.page(f"/{codes.plate}")
    refused = await phone.send(f"/{codes.plate}/fit", how="fitted")
    assert refused.status == 409
    assert "short of" in await refused.text()


@pytest.mark.parametrize(
    ("line", "short"),
    [("1", "5"), ("3", "1"), ("0", "1"), ("1", "-1"), ("1", "x"), ("", ""), ("٣", "1")],
)
async def test_impossible_numbers_are_told(
    phone: PhoneClient, codes: Codes, book: Book, line: str, short: str
) -> None:
    revision = book.revision
    answer = await phone.send(f"/{codes.plate}/short", line=line, short=short)
    assert answer.status == 409
    assert book.revision == revision


async def test_a_deed_that_does_not_fit_the_tag_is_told(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    token, revision = await phone.token(codes.plate), book.revision
    for path in (f"/{codes.bag}/fit", f"/{codes.spare}/fit", f"/{codes.bag}/short", "/find"):
        answer = await phone.post(
            path, data={"form": token, "how": "snug", "line": "1", "short": "1"}
        )
        assert answer.status in (404, 405, 409)
    answer = await phone.post(f"/{codes.plate}", data={"form": token})
    assert answer.status == 405
    assert book.revision == revision


async def test_a_deed_opened_as_a_page_leads_to_the_tag(phone: PhoneClient, codes: Codes) -> None:
    for page in ("fit", "care", "short", "photos", "start"):
        answer = await phone.get(f"/{codes.plate.lower()}/{page}")
        assert (answer.status, answer.headers["Location"]) == (303, f"/{codes.plate}")


async def test_many_phones_at_once_lose_nothing(bench: Bench, codes: Codes, book: Book) -> None:
    phones = [PhoneClient(bench) for _ in range(6)]
    for one in phones:
        await one.pair()
    answers = await asyncio.gather(
        *(send_photos(one, f"/{codes.plate}/photos", jpeg(60)) for one in phones for _ in range(3)),
        *(
            one.send(f"/{codes.plate}/short", line="1", short=str(n % 5))
            for n, one in enumerate(phones)
        ),
    )
    for one in phones:
        await one.session.close()
    assert {answer.status for answer in answers} == {303}
    photos = book.records.parts[codes.plate].photos
    assert len({photo.file for photo in photos}) == 18
    assert all((book.photos / photo.file).stat().st_size for photo in photos)
    with Book(book.folder) as again:
        assert again.records.parts[codes.plate] == book.records.parts[codes.plate]
