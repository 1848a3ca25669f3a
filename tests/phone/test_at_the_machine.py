"""Bag and tag at the machine, and taking back what was done by mistake."""

from __future__ import annotations

import io
import re

import pytest
from aiohttp import ClientResponse, FormData
from PIL import Image

from labels.symbols.payload import payload
from labels.symbols.symbol import QUIET_MODULES, make_symbol
from tagbench.book import Book
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.records import replace
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_actions import jpeg


async def token_on(phone: PhoneClient, path: str) -> str:
    found = re.search(r'name="form" value="([0-9a-f]+)"', await phone.page(path))
    assert found is not None
    return found[1]


async def start(phone: PhoneClient, path: str, *photos: bytes, **fields: str) -> ClientResponse:
    """A part started as its form sends it."""
    form = FormData(default_to_multipart=True)
    form.add_field("form", await token_on(phone, path.removesuffix("/start")))
    for name, value in fields.items():
        form.add_field(name, value)
    for number, photo in enumerate(photos):
        form.add_field("photo", photo, filename=f"{number}.jpg", content_type="image/jpeg")
    return await phone.post(path, data=form)


async def test_a_part_is_started_with_all_that_is_known_at_the_machine(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await start(
        phone,
        f"/{codes.spare}/start",
        jpeg(),
        jpeg(100),
        name="Brake cable",
        assembly="front wheel / brake",
        position="left",
        quantity="2",
        fasteners="2x M6x1x20 hex\ncotter pin 2x20",
        sits_how="nipple upwards",
        bin=codes.bag,
        behind=codes.plate,
    )
    assert answer.status == 303
    part = book.records.parts[codes.spare]
    assert (part.name, part.assembly, part.position) == (
        "Brake cable",
        "Front wheel / Brake",
        "left",
    )
    assert (part.quantity, part.sits_how, part.bin) == (2, "nipple upwards", codes.bag)
    assert part.behind == (codes.plate,)
    assert [(line.quantity, line.thread, line.kind) for line in part.fasteners] == [
        (2, "M6x1", "screw"),
        (1, "", "cotter pin"),
    ]
    assert len(part.photos) == 2


async def test_a_part_without_a_tag_gets_the_next_code_and_its_tag_is_queued(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await start(phone, "/strip", name="Tail lamp", assembly="Electrics")
    code = answer.headers["Location"].split("?")[0].strip("/")
    assert book.records.parts[code].name == "Tail lamp"
    assert book.records.tags[code].queued is not None
    assert "Took off Tail lamp" in await phone.page(answer.headers["Location"])


async def test_what_came_off_last_is_offered_as_what_had_to_come_off_first(
    phone: PhoneClient, codes: Codes
) -> None:
    page = await phone.page("/strip")
    assert "Brake plate had to come off first" in page
    assert f'value="{codes.plate}"' in page


async def test_fasteners_are_echoed_before_anything_is_written(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    revision = book.revision
    answer = await start(
        phone, "/strip", name="Lamp", fasteners="4 m5 x 12 pan\n3 whatnots", how="check"
    )
    assert answer.status == 200
    text = await answer.text()
    assert "✓ 4x M5x0.8x12 pan" in text
    assert "? " in text
    assert "is kept as words" in text
    assert 'value="Lamp"' in text
    assert book.revision == revision


async def test_a_part_goes_into_a_bag_and_the_bag_into_a_box_by_two_scans_each(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.page(f"/{codes.wheel}")
    page = await phone.page(f"/{codes.bag}")
    assert "Put Front wheel in here" in page
    answer = await phone.send(f"/{codes.bag}/put", what=codes.wheel)
    assert answer.status == 303
    assert book.records.parts[codes.wheel].bin == codes.bag
    with book.change("another box") as transaction:
        box = replace(
            transaction.records.bins[codes.shelf], code=transaction.new_code("BIN"), name="Box 9"
        )
        transaction.put(box)
    await phone.page(f"/{codes.bag}")
    assert "Put bag Front brake in here" in await phone.page(f"/{box.code}")
    await phone.send(f"/{box.code}/put", what=codes.bag)
    assert book.records.bins[codes.bag].kept_in == box.code


async def test_a_part_is_put_into_a_bin_by_its_name(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.send(f"/{codes.wheel}/put", into="Shelf A / Box 3")
    bin_ = book.records.bins[book.records.parts[codes.wheel].bin]
    assert (bin_.name, bin_.kept_in) == ("Box 3", codes.shelf)
    nothing = await phone.send(f"/{codes.wheel}/put", into="")
    assert nothing.status == 409
    assert "Say which bag, box or shelf" in await nothing.text()


async def test_a_shelf_does_not_go_into_its_own_bag(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    refused = await phone.send(f"/{codes.bag}/put", what=codes.shelf)
    assert refused.status == 409
    assert "cannot be kept in itself" in await refused.text()


async def test_the_mirror_twin_comes_off_in_one_tap(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await phone.send(f"/{codes.plate}/twin")
    code = answer.headers["Location"].split("?")[0].strip("/")
    twin, part = book.records.parts[code], book.records.parts[codes.plate]
    assert (twin.name, twin.position) == (part.name, "right")
    assert [line.thread for line in twin.fasteners] == [line.thread for line in part.fasteners]
    assert twin.order > part.order
    assert (await phone.send(f"/{codes.shoes}/twin")).status == 409


async def test_reuse_or_replace(phone: PhoneClient, codes: Codes, book: Book) -> None:
    await phone.send(f"/{codes.shoes}/verdict", verdict="replace")
    assert book.records.parts[codes.shoes].verdict == "replace"
    assert (await phone.send(f"/{codes.shoes}/verdict", verdict="scrap")).status == 409


async def test_other_words_for_the_fasteners_keep_what_is_the_same(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    page = await phone.page(f"/{codes.plate}")
    found = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)
    assert found is not None
    before = book.records.parts[codes.plate].fasteners
    words = found[1].replace("&#39;", "'") + "\n2x M4x0.7x8 pan"
    await phone.send(f"/{codes.plate}/fasteners", fasteners=words)
    after = book.records.parts[codes.plate].fasteners
    assert after[:2] == before
    assert (after[2].quantity, after[2].thread) == (2, "M4x0.7")


async def test_the_count_names_what_is_open(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page("/count")
    assert "3 parts = 0 on + 3 off" in page
    assert "5 fasteners out = 0 back + 5 in the bag + 0 lost" in page
    assert f'href="/{codes.plate}"' in page


async def test_a_setting_is_measured(phone: PhoneClient, codes: Codes, book: Book) -> None:
    setting = add_setting(book, SettingForm(what="chain slack", range="20-30 mm", mark="TP"))
    page = await phone.page("/settings")
    assert "chain slack" in page
    token = await token_on(phone, "/settings")
    answer = await phone.post(f"/settings/{setting.id}", data={"form": token, "value": "2,5 cm"})
    assert answer.status in (303, 409)
    token = await token_on(phone, "/settings")
    answer = await phone.post(f"/settings/{setting.id}", data={"form": token, "value": "24,5"})
    assert answer.status == 303
    assert book.records.settings[str(setting.id)].measured == 24.5
    for value in ("", "much"):
        bad = await phone.post(f"/settings/{setting.id}", data={"form": token, "value": value})
        assert bad.status == 409


# Torque


async def test_the_torque_field_takes_its_own_example_and_a_decimal_comma(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    page = await phone.page(f"/{codes.plate}")
    found = re.search(r'name="torque1" inputmode="decimal"[^>]* placeholder="([^"]+)"', page)
    assert found is not None
    assert "torque reached, N·m" in page
    assert (await phone.send(f"/{codes.plate}/fit", how="fitted", torque1=found[1])).status == 303
    assert book.records.parts[codes.plate].fasteners[0].torqued == 4.5
    assert (await phone.send(f"/{codes.plate}/fit", how="fitted", torque1="4,25")).status == 303
    assert book.records.parts[codes.plate].fasteners[0].torqued == 4.25


# Taking back


async def undo(phone: PhoneClient, code: str, number: str) -> ClientResponse:
    return await phone.post("/undo", data={"form": await phone.token(code), "change": number})


async def test_what_was_done_can_be_taken_back_and_only_that(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    before = book.records.parts[codes.shoes]
    answer = await phone.send(f"/{codes.shoes}/care", step="degreased")
    page = await phone.page(answer.headers["Location"])
    assert "Degreased Brake shoes" in page
    assert "Take it back" in page
    with book.change("something else at the bench") as transaction:
        transaction.put(replace(transaction.records.parts[codes.plate], note="seen"))
    number = answer.headers["Location"].split("=")[1]
    back = await undo(phone, codes.shoes, number)
    assert back.status == 303
    assert "Took back: degreased Brake shoes" in await phone.page(back.headers["Location"])
    assert book.records.parts[codes.shoes] == before
    assert book.records.parts[codes.plate].note == "seen"
    assert (await undo(phone, codes.shoes, number)).status == 409


async def test_what_others_built_on_is_not_taken_back(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    answer = await start(phone, "/strip", name="Outer thing")
    location = answer.headers["Location"]
    code, number = location.strip("/").split("?done=")
    with book.change("put behind it") as transaction:
        transaction.put(replace(transaction.records.parts[codes.wheel], behind=(code,)))
    refused = await undo(phone, codes.wheel, number)
    assert refused.status == 409
    assert "cannot be taken back" in await refused.text()
    assert code in book.records.parts


@pytest.mark.parametrize("number", ["1", "", "x", "-1", "999999", "٣"])
async def test_what_another_did_is_not_taken_back(
    phone: PhoneClient, codes: Codes, book: Book, number: str
) -> None:
    revision = book.revision
    assert (await undo(phone, codes.shoes, number)).status == 409
    assert book.revision == revision


async def test_a_part_that_came_off_again(phone: PhoneClient, codes: Codes, book: Book) -> None:
    assert "Came off again" not in await phone.page(f"/{codes.plate}")
    off = await phone.send(f"/{codes.plate}/off")
    assert off.status == 409
    assert "is off the machine already" in await off.text()
    await phone.send(f"/{codes.plate}/fit", how="snug")
    assert "Came off again" in await phone.page(f"/{codes.plate}")
    assert (await phone.send(f"/{codes.plate}/off")).status == 303
    assert book.records.parts[codes.plate].fitted == "off"


# Photographing tags


def photo_of(*texts: str) -> bytes:
    """A photo of tags side by side, their symbols as they are printed."""
    tags = []
    for text in texts:
        rows = make_symbol(text, "M").rows
        side = len(rows) + 2 * QUIET_MODULES
        tag = Image.new("L", (side, side), 255)
        for y, row in enumerate(rows):
            for x, dark in enumerate(row):
                if dark:
                    tag.putpixel((x + QUIET_MODULES, y + QUIET_MODULES), 0)
        tags.append(tag.resize((side * 8, side * 8), Image.Resampling.NEAREST))
    sheet = Image.new(
        "L", (sum(tag.width + 60 for tag in tags), max(tag.height for tag in tags)), 200
    )
    at = 30
    for tag in tags:
        sheet.paste(tag, (at, 0))
        at += tag.width + 60
    out = io.BytesIO()
    sheet.convert("RGB").save(out, "JPEG", quality=80)
    return out.getvalue()


async def photograph(phone: PhoneClient, *photos: bytes) -> ClientResponse:
    form = FormData(default_to_multipart=True)
    form.add_field("form", await token_on(phone, "/scan"))
    for photo in photos:
        form.add_field("photo", photo, filename="tag.jpg", content_type="image/jpeg")
    return await phone.post("/scan", data=form)


@pytest.mark.parametrize("address", ["", "OLD.LOCAL:9000", "192.168.1.77:8017"])
async def test_a_photographed_tag_opens_whatever_address_stands_in_it(
    phone: PhoneClient, codes: Codes, address: str
) -> None:
    answer = await photograph(phone, photo_of(payload(codes.plate, address)))
    assert (answer.status, answer.headers["Location"]) == (303, f"/{codes.plate}")


async def test_several_tags_in_one_photo_are_a_list(phone: PhoneClient, codes: Codes) -> None:
    tags = photo_of(codes.plate, payload(codes.bag, "old.local:1"), codes.spare)
    answer = await photograph(phone, tags)
    assert answer.status == 200
    page = await answer.text()
    for code in (codes.plate, codes.bag, codes.spare):
        assert f'href="/{code}"' in page
    assert "Brake plate" in page


async def test_a_photo_without_a_tag_or_of_a_foreign_one_is_told(
    phone: PhoneClient, codes: Codes, bench: Bench
) -> None:
    blank = await photograph(phone, jpeg())
    assert blank.status == 409
    assert "No tag was seen" in await blank.text()
    foreign = await photograph(phone, photo_of("HTTP://X.LOCAL:1/QQ-001-1"))
    assert foreign.status == 200
    assert "QQ-001" in await foreign.text()
    assert (await photograph(phone)).status == 409
    assert (await photograph(phone, b"no picture")).status == 409


@pytest.mark.parametrize("path", ["/", "/find", "/nothing/here", "/TP-001-1", "/CODE"])
async def test_every_page_leads_to_photographing_a_tag(
    phone: PhoneClient, codes: Codes, path: str
) -> None:
    answer = await phone.get(path.replace("CODE", codes.plate))
    assert 'href="/scan"' in await answer.text()
