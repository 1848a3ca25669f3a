"""What was typed, chosen or photographed stays when an entry is refused, beside the reason."""

from __future__ import annotations

import os
import re
from html.parser import HTMLParser
from pathlib import Path
from tempfile import gettempdir

import pytest

from tagbench.book import Book
from tagbench.book.operations import buying, care
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.phone.forms import UPLOAD_PREFIX
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.phone.test_actions import jpeg
from tests.phone.test_at_the_machine import start
from tests.phone.test_submissions import filled


class Fields(HTMLParser):
    """The forms of a page: where each is sent, what stands in its fields, whether it is seen."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[tuple[str, dict[str, str], bool]] = []
        self.refusals: list[str] = []
        self._folded: list[bool] = []
        self._select = ""
        self._area = self._alert = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = {name: value or "" for name, value in attrs}
        if tag == "details":
            self._folded.append("open" not in known)
        if tag == "form":
            self.forms.append((known["action"].split("#")[0], {}, not any(self._folded)))
        if known.get("role") == "alert":
            self._alert = True
            self.refusals.append("")
        if tag == "select":
            self._select = known["name"]
        if tag == "option" and self._select and "selected" in known:
            self.forms[-1][1][self._select] = known["value"]
        if tag in ("input", "textarea") and self.forms and known.get("type") != "checkbox":
            self.forms[-1][1][known.get("name", "")] = known.get("value", "")
            self._area = tag == "textarea"

    def handle_endtag(self, tag: str) -> None:
        if tag == "details":
            self._folded.pop()
        if tag == "select":
            self._select = ""
        if tag == "textarea":
            self._area = False
        if tag == "p":
            self._alert = False

    def handle_data(self, data: str) -> None:
        if self._alert:
            self.refusals[-1] += data
        if self._area:
            self.forms[-1][1]["fasteners"] += data

    def of(self, path: str, **like: str) -> tuple[dict[str, str], bool]:
        """The fields of the form that is sent there, and whether it is not folded away."""
        [found] = [
            (fields, seen)
            for action, fields, seen in self.forms
            if action == path and like.items() <= fields.items()
        ]
        return found


async def refused(phone: PhoneClient, path: str, page: str = "", **fields: str) -> Fields:
    """A form of a page sent, and the page that says why it was not done."""
    where = page or "/" + path.split("/")[1]
    token = re.search(r'name="form" value="([0-9a-f]+)"', await phone.page(where))
    assert token is not None
    answer = await phone.post(path, data={"form": token[1], **fields})
    assert answer.status == 409
    told = Fields(await answer.text())
    assert len(told.refusals) == 1, told.refusals
    return told


async def test_of_an_errand_nothing_is_lost(phone: PhoneClient, codes: Codes) -> None:
    path = f"/{codes.shoes}/sent"
    typed = {"who": "Hill Plating", "what_for": "zinc", "due": "gestern"}
    page = await refused(phone, path, **typed)
    fields, seen = page.of(path)
    assert typed.items() <= fields.items()
    assert seen
    assert "gestern" in page.refusals[0]


async def test_of_a_nameless_errand_it_is_said_in_no_words_of_the_command_line(
    phone: PhoneClient, codes: Codes
) -> None:
    page = await refused(phone, f"/{codes.shoes}/sent", who="  ", what_for="zinc")
    assert page.refusals == ["Say who has it, such as “Hill Plating”."]
    assert page.of(f"/{codes.shoes}/sent")[0]["what_for"] == "zinc"


async def test_where_it_was_to_be_put_stays(phone: PhoneClient, codes: Codes) -> None:
    for code in (codes.plate, codes.bag):
        page = await refused(phone, f"/{code}/put", into="BIN-018-3")
        assert page.of(f"/{code}/put")[0]["into"] == "BIN-018-3"


async def test_how_many_are_short_and_of_what_stays(phone: PhoneClient, codes: Codes) -> None:
    page = await refused(phone, f"/{codes.plate}/short", line="2", short="9")
    fields, seen = page.of(f"/{codes.plate}/short")
    assert (fields["line"], fields["short"], seen) == ("2", "9", True)
    assert page.refusals == ["There is 1 of this fastener, so 0 or 1 can be missing, not 9."]


async def test_a_torque_stays(phone: PhoneClient, codes: Codes) -> None:
    page = await refused(phone, f"/{codes.plate}/fit", how="fitted", torque1="fest")
    assert page.of(f"/{codes.plate}/fit")[0]["torque1"] == "fest"


async def test_a_refusal_whose_form_is_no_longer_there_is_told_on_top(
    phone: PhoneClient, codes: Codes
) -> None:
    """Somebody else took the part off meanwhile: it has no such button any more."""
    page = await refused(phone, f"/{codes.plate}/off")
    assert page.refusals[0]


async def test_what_is_away_keeps_its_fields_and_no_other_form_shows_them(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    for code in (codes.shoes, codes.wheel):
        care.tick_off(book, [code], "replace")
    numbers = [str(number) for number in sorted(map(int, book.records.wants))]
    buying.order(book, [int(number) for number in numbers])
    page = await refused(phone, "/away/arrived", id=numbers[1], many="999")
    assert page.of("/away/arrived", id=numbers[1])[0]["many"] == "999"
    assert page.of("/away/arrived", id=numbers[0])[0]["many"] == ""
    page = await refused(phone, "/away/wrong", id="", what="left-hand one")
    assert [page.of("/away/wrong", id=number)[1] for number in numbers] == [False, False]


async def test_a_setting_says_beside_itself_why_it_was_refused(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    del codes
    ids = [
        add_setting(book, SettingForm(what=what, range="20-30 mm", mark="TP")).id
        for what in ("chain slack", "pedal travel")
    ]
    page = await refused(phone, f"/settings/{ids[1]}", "/settings", value="viel")
    assert page.of(f"/settings/{ids[1]}")[0]["value"] == "viel"
    assert page.of(f"/settings/{ids[0]}")[0]["value"] == ""
    page = await refused(phone, f"/settings/{ids[1]}", "/settings", value=" ")
    assert page.refusals == ["pedal travel: Give the value that was measured, such as 12 mm."]
    answer = await phone.get(f"/settings/{ids[1]}")
    assert (answer.status, answer.headers["Location"]) == (303, "/settings")


# Photos


async def test_a_photo_stays_while_the_fasteners_are_looked_at(
    phone: PhoneClient, book: Book
) -> None:
    answer = await start(
        phone, "/strip", jpeg(), name="Lamp", fasteners="4 m5 x 12 pan", how="check"
    )
    page = await answer.text()
    assert "1 photo kept" in page
    fields, _ = Fields(page).of("/strip")
    sent = {"name": "Lamp", "held": fields["held"]}
    done = await phone.post("/strip", data=filled(fields["form"], sent, [jpeg(100)]))
    code = done.headers["Location"].split("?")[0].strip("/")
    assert len(book.records.parts[code].photos) == 2


async def test_a_photo_stays_when_a_number_is_refused_again_and_again(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    path = f"/{codes.spare}/start"
    answer = await start(phone, path, jpeg(), jpeg(90), name="Lamp", quantity="x")
    for _ in range(5):
        page = await answer.text()
        assert "2 photos kept" in page
        fields, _ = Fields(page).of(path)
        sent = {"name": "Lamp", "quantity": "x", "held": fields["held"]}
        answer = await phone.post(path, data=filled(fields["form"], sent))
        assert answer.status == 409
    fields, _ = Fields(await answer.text()).of(path)
    sent = {"name": "Lamp", "held": fields["held"]}
    assert (await phone.post(path, data=filled(fields["form"], sent))).status == 303
    assert len(book.records.parts[codes.spare].photos) == 2


async def test_photos_that_are_kept_can_be_left_out(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    path = f"/{codes.spare}/start"
    answer = await start(phone, path, jpeg(), name="Lamp", quantity="x")
    fields, _ = Fields(await answer.text()).of(path)
    sent = {"name": "Lamp", "held": fields["held"], "without": "yes"}
    assert (await phone.post(path, data=filled(fields["form"], sent))).status == 303
    assert not book.records.parts[codes.spare].photos


async def test_of_several_photos_the_good_ones_stay(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    path = f"/{codes.plate}/photos"
    token = await phone.token(codes.plate)
    photos = [jpeg(), b"none", jpeg(80), b"none either"]
    answer = await phone.post(path, data=filled(token, {}, photos))
    page = await answer.text()
    assert answer.status == 409
    assert "Photo 2: " in page
    assert "Photo 4: " in page
    assert "2 photos kept" in page
    fields, _ = Fields(page).of(path)
    done = await phone.post(path, data=filled(fields["form"], {"held": fields["held"]}))
    assert done.status == 303
    assert len(book.records.parts[codes.plate].photos) == 2


async def test_a_broken_photo_is_told_though_something_else_is_refused_or_asked(
    phone: PhoneClient, codes: Codes
) -> None:
    for more in ({"quantity": "x"}, {"how": "check"}):
        answer = await start(phone, f"/{codes.spare}/start", b"none", name="Lamp", **more)
        assert "Photo 1: " in await answer.text()


async def test_photos_that_are_no_longer_kept_are_told(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    path = f"/{codes.spare}/start"
    answer = await start(phone, path, name="Lamp", held="0" * 32)
    page = await answer.text()
    assert (answer.status, "choose them again" in page) == (409, True)
    assert codes.spare not in book.records.parts
    fields, _ = Fields(page).of(path)
    assert "held" not in fields
    assert fields["name"] == "Lamp"


async def test_no_phone_gets_the_photos_of_another(
    phone: PhoneClient, stranger: PhoneClient, codes: Codes
) -> None:
    path = f"/{codes.spare}/start"
    answer = await start(phone, path, jpeg(), name="Lamp", quantity="x")
    fields, _ = Fields(await answer.text()).of(path)
    await stranger.pair()
    other = await start(stranger, path, name="Lamp", held=fields["held"])
    assert (other.status, "choose them again" in await other.text()) == (409, True)


@pytest.mark.parametrize("forms", [1, 6])
async def test_what_is_kept_is_little_and_gone_in_the_end(
    phone: PhoneClient, bench: Bench, codes: Codes, forms: int
) -> None:
    """The photos of three forms of a phone; none is left when the server has stopped."""
    mine = f"{UPLOAD_PREFIX}{os.getpid()}-*/*/*.jpg"
    before = set(Path(gettempdir()).glob(mine))
    for _ in range(forms):
        await start(phone, f"/{codes.spare}/start", jpeg(), name="Lamp", quantity="x")
    now = set(Path(gettempdir()).glob(mine)) - before
    assert len(now) == min(forms, 3)
    await bench.server.stop()
    assert not [path for path in now if path.exists()]


async def test_a_wrong_pairing_code_keeps_the_name_of_the_phone(stranger: PhoneClient) -> None:
    answer = await stranger.post("/", data={"code": "1", "name": "Old one"})
    assert 'value="Old one"' in await answer.text()


# Codes in sentences


async def test_a_mistyped_code_in_a_refusal_is_no_link_and_the_likely_one_is(
    phone: PhoneClient, codes: Codes
) -> None:
    wrong = f"{codes.bag[:-1]}{'A' if codes.bag[-1] != 'A' else 'B'}"
    token = await phone.token(codes.plate)
    answer = await phone.post(f"/{codes.plate}/put", data={"form": token, "into": wrong})
    page = await answer.text()
    assert f'href="/{wrong}"' not in page
    assert wrong in page
    assert f'href="/{codes.bag}"' in page


async def test_every_line_of_the_count_that_is_about_a_part_or_a_setting_leads_there(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    """Lines about fasteners name their part without its code."""
    setting = add_setting(book, SettingForm(what="chain slack", range="20-30 mm", mark="TP"))
    await phone.send(f"/{codes.plate}/fit", how="fitted")
    page = await phone.page("/count")
    lines = re.findall(r'<li class="row">(.*?)</li>', page, re.DOTALL)
    about = [line for line in lines if line.startswith("Brake plate")]
    assert about
    assert all(f'href="/{codes.plate}"' in line for line in about)
    assert f'href="/settings#value{setting.id}"' in page
