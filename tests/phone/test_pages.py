"""The pages a paired phone reads."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.phone.events import TagOpened
from tagbench.records import Fastener, PartNumber, Reading, replace
from tagbench.rules.describe.part import describe_part
from tests.phone.conftest import Bench, Codes, PhoneClient
from tests.rules.describe.books import missing_words, plain_text

SMALL = 50_000


class Text(HTMLParser):
    """What a person sees of a page, and which tags it is made of."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name == "href"]

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1] != "style":
            self.words.append(data)

    @property
    def plain(self) -> str:
        return " ".join(" ".join(self.words).split())


async def test_the_part_page_tells_everything(phone: PhoneClient, codes: Codes) -> None:
    seen = Text(await phone.page(f"/{codes.plate}")).plain
    for words in (
        codes.plate,
        "Brake plate",
        "Front wheel / Brake, left",
        "in bag Front brake, on Shelf A",
        "Ready to go on",
        "slot at 6 o'clock, witness mark outwards",
        "M5",
        "round the rim",
        "torque 4–5 N·m (maker's manual, page 12)",
        "Fit a new",
        "✓ degreased with kerosene",
        "Verdict: reuse",
        "Goes on before",
        "Brake shoes",
        "one thread is tight",
    ):
        assert words in seen


async def test_what_holds_a_part_up_is_told_in_full(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page(f"/{codes.shoes}")
    seen = Text(page).plain
    assert "Held up" in seen
    for reason in ("goes on after Brake plate", "not degreased", "not decided"):
        assert reason in seen
    assert f"/{codes.plate}" in Text(page).links


async def test_the_bin_page_tells_what_is_in_it(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page(f"/{codes.bag}")
    seen = Text(page).plain
    for words in ("bag Front brake", "on Shelf A", "Brake plate", "Brake shoes"):
        assert words in seen
    assert {f"/{codes.plate}", f"/{codes.shoes}"} <= set(Text(page).links)
    shelf = Text(await phone.page(f"/{codes.shelf}")).plain
    assert "bag Front brake" in shelf
    assert "2 more parts" in shelf


async def test_a_spare_tag_offers_to_start_a_part(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page(f"/{codes.spare}")
    assert "start a part" in page
    assert '<option value="Front wheel / Brake">' in page


async def test_next_on_the_bench(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page("/")
    seen = Text(page).plain
    assert "Tarnbrook Packman" in seen
    assert "Fit Brake plate" in seen
    assert "Degrease 2 × Brake shoes" in seen


async def test_find_forgives_slips(phone: PhoneClient, codes: Codes) -> None:
    page = await phone.page("/find?words=4+screws+brak+palte")
    links = [link for link in Text(page).links if link.startswith("/TP")]
    assert links[0] == f"/{codes.plate}"


async def test_find_opens_a_code_that_was_typed(phone: PhoneClient, codes: Codes) -> None:
    answer = await phone.get(f"/find?words={codes.plate.lower().replace('-', '')}")
    assert (answer.status, answer.headers["Location"]) == (303, f"/{codes.plate}")


async def test_find_without_words_or_hits(phone: PhoneClient) -> None:
    assert "Find a part" in await phone.page("/find")
    assert "try fewer words" in await phone.page("/find?words=xyzzyq")


async def test_find_says_that_a_code_is_not_here(phone: PhoneClient) -> None:
    """With its mark where nothing has that; other words are not called a code."""
    page = await phone.page("/find?words=qq-053")
    assert "No part has the code QQ-053; nothing here has the mark QQ." in page
    assert "try fewer words" not in page
    assert "No part has the code" not in await phone.page("/find?words=brake+plate")


async def test_find_sees_what_was_changed_since(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.page("/find?words=plate")
    with book.change("renamed") as transaction:
        transaction.put(replace(transaction.records.parts[codes.plate], name="Gudgeon"))
    assert "Gudgeon" in await phone.page("/find?words=gudgeon")


async def test_a_code_is_found_however_it_is_written(phone: PhoneClient, codes: Codes) -> None:
    mark, serial, check = codes.plate.split("-")
    slipped = f"{mark}-{serial.replace('0', 'O')}-{check}"
    for way in (codes.plate.lower(), mark + serial + check, slipped, f"{codes.plate}/"):
        assert "Brake plate" in await phone.page(f"/{way}")


async def test_a_wrong_check_character_offers_the_likely_code(
    phone: PhoneClient, codes: Codes
) -> None:
    wrong = codes.plate[:-1] + ("A" if codes.plate[-1] != "A" else "B")
    page = await phone.page(f"/{wrong}", 404)
    assert "wrong check character" in page
    assert f'href="/{codes.plate}"' in page


async def test_a_sound_code_of_another_book_is_told(phone: PhoneClient, codes: Codes) -> None:
    assert "never gave it out" in await phone.page(f"/{make_code('TP', 901)}", 404)
    assert "not in this book" in await phone.page(f"/{make_code('QQ', 1)}", 404)


async def test_what_the_person_wrote_is_never_markup(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    evil = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{7*7}}"
    with book.change("wrote something odd") as transaction:
        part = transaction.records.parts[codes.plate]
        line = Fastener(quantity=1, note=evil, place=evil, typed=evil)
        transaction.put(
            replace(
                part,
                name=evil,
                assembly=evil,
                position=evil,
                sits_how=evil,
                note=evil,
                fasteners=(line,),
                part_numbers=(PartNumber(number=evil),),
                readings=(Reading(what=evil),),
            )
        )
        transaction.put(replace(transaction.records.bins[codes.bag], name=evil, note=evil))
    pages = [f"/{codes.plate}", f"/{codes.shoes}", f"/{codes.bag}", f"/{codes.spare}", "/"]
    pages += ["/find?words=script", "/find?words=%3Cscript%3E%22%27%3E"]
    for path in pages:
        page = await phone.page(path)
        assert "<script" not in page
        assert "<img src=x" not in page
        assert "49" not in Text(page).plain or "{{7*7}}" in page
        assert "script" not in Text(page).tags


async def test_every_page_is_small_and_needs_no_script(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    with book.change("made it long") as transaction:
        part = transaction.records.parts[codes.plate]
        lines = (
            *part.fasteners,
            *[replace(part.fasteners[0], place=f"hole {n}") for n in range(40)],
        )
        transaction.put(replace(part, fasteners=lines, note="long " * 400))
        for _ in range(300):
            code = transaction.new_code("TP")
            transaction.put(
                replace(
                    part,
                    code=code,
                    name="One of very many parts in a bag",
                    behind=(codes.wheel,),
                    fasteners=(),
                )
            )
    for path in ("/", f"/{codes.plate}", f"/{codes.bag}", f"/{codes.wheel}", "/find?words=part"):
        page = await phone.page(path)
        assert len(page.encode()) < SMALL, path
        assert "script" not in Text(page).tags
        assert not re.search(r"\son\w+=", page)


@pytest.mark.parametrize("path", ["/", "/CODE", "/find?words=x", "/nothing/here", "/TP-1-1"])
async def test_every_answer_carries_its_armour(phone: PhoneClient, codes: Codes, path: str) -> None:
    answer = await phone.get(path.replace("CODE", codes.plate))
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "aiohttp" not in answer.headers["Server"]


async def test_opening_a_tag_tells_the_bench(
    phone: PhoneClient, codes: Codes, bench: Bench
) -> None:
    for code, kind in ((codes.plate, "part"), (codes.bag, "bin"), (codes.spare, "spare")):
        await phone.page(f"/{code.lower()}")
        event = bench.events[-1]
        assert isinstance(event, TagOpened)
        assert (event.code, event.kind, event.phone.name) == (code, kind, "phone")


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Purpose": "prefetch"},
        {"Purpose": "prefetch"},
        {"Sec-Fetch-Dest": "image"},
    ],
)
async def test_what_nobody_opened_does_not_move_the_bench(
    phone: PhoneClient, codes: Codes, bench: Bench, headers: dict[str, str]
) -> None:
    assert (await phone.get(f"/{codes.plate}", headers=headers)).status == 200
    assert (await phone._sent("HEAD", f"/{codes.plate}")).status == 200
    await phone.page("/TP-009-1", 404)
    assert bench.events == []


async def test_a_change_at_the_bench_shows_on_reload(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.page(f"/{codes.plate}")
    with book.change("renamed") as transaction:
        transaction.put(replace(transaction.records.parts[codes.plate], name="Anchor plate"))
    assert "Anchor plate" in await phone.page(f"/{codes.plate}")


async def test_a_change_by_another_program_shows_on_reload(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    await phone.page(f"/{codes.plate}")
    with Book(book.folder) as other, other.change("renamed") as transaction:
        transaction.put(replace(transaction.records.parts[codes.plate], name="Anchor plate"))
    assert "Anchor plate" in await phone.page(f"/{codes.plate}")


async def test_the_tag_of_a_part_that_was_taken_away_is_free(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    with book.change("took away") as transaction:
        transaction.drop(transaction.records.parts[codes.plate])
    page = await phone.page(f"/{codes.plate}")
    assert "start a part" in page
    assert "Brake plate" not in page


async def test_every_part_is_told_in_the_words_of_all_front_ends(
    phone: PhoneClient, codes: Codes, book: Book
) -> None:
    """The page shows every word of what the rules say about a part."""
    for code in (codes.plate, codes.shoes, codes.wheel):
        facts = describe_part(book.records, book.records.parts[code], book.now())
        assert not missing_words(facts, plain_text(await phone.page(f"/{code}")))


async def test_a_book_without_machine_has_a_page_too(phone: PhoneClient, book: Book) -> None:
    book.undo()
    assert "Nothing can be done right now" in await phone.page("/")
