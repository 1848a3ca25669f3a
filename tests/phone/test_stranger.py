"""A phone that is not paired learns nothing, and how it gets paired."""

from __future__ import annotations

import hashlib

import pytest
from yarl import URL

from tagbench.book import Book
from tagbench.book.operations.phones import MOST, pair
from tagbench.errors import BookError
from tagbench.phone.events import PairingSpent, PhonePaired, TagOpened
from tests.phone.conftest import Bench, Codes, PhoneClient, pairing_path


async def test_every_path_gives_a_stranger_the_same_page(
    stranger: PhoneClient, codes: Codes, bench: Bench
) -> None:
    paths = ["/", f"/{codes.plate}", f"/{codes.bag}", f"/{codes.spare}", "/TP-999-X", "/find"]
    paths += [f"/{codes.plate}/photo/1", "/style.css", "/../../etc/passwd", "/pair/wrong", "/x/y/z"]
    answers = [await stranger.get(path) for path in paths]
    assert {answer.status for answer in answers} == {403}
    assert len({await answer.text() for answer in answers}) == 1
    headers = [{k: v for k, v in answer.headers.items() if k != "Date"} for answer in answers]
    assert all(other == headers[0] for other in headers)
    assert "Set-Cookie" not in headers[0]
    assert bench.events == []


async def test_the_strangers_page_names_nothing_of_the_book(
    stranger: PhoneClient, codes: Codes
) -> None:
    text = await stranger.page(f"/{codes.plate}", 403)
    assert "Pair this phone" in text
    for word in ("tagbench", "Tarnbrook", "Packman", codes.plate, "Brake", "aiohttp", "Python"):
        assert word not in text


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
async def test_no_method_gives_a_stranger_more(
    stranger: PhoneClient, codes: Codes, method: str, book: Book
) -> None:
    revision = book.revision
    answer = await stranger._sent(method, f"/{codes.plate}/fit", data={"how": "fitted"})
    assert answer.status == 403
    assert "Pair this phone" in await answer.text()
    assert book.revision == revision


async def test_a_head_request_does_not_use_the_link_up(stranger: PhoneClient, bench: Bench) -> None:
    path = pairing_path(bench)
    assert (await stranger._sent("HEAD", path)).status == 403
    assert (await stranger.get(path, headers={"Sec-Purpose": "prefetch"})).status == 403
    assert (await stranger.get(path, headers={"Sec-Fetch-Site": "cross-site"})).status == 403
    assert (await stranger.get(path)).status == 303


async def test_one_scan_pairs(
    stranger: PhoneClient, bench: Bench, book: Book, codes: Codes
) -> None:
    path = pairing_path(bench)
    answer = await stranger.get(path)
    assert (answer.status, answer.headers["Location"]) == (303, "/")
    assert "Next on the bench" in await stranger.page("/")
    [paired] = book.records.phones.values()
    assert paired.name == "phone"
    assert bench.events == [PhonePaired(paired)]


async def test_the_link_is_good_for_one_phone(
    stranger: PhoneClient, bench: Bench, phone: PhoneClient
) -> None:
    path = pairing_path(bench)
    other = PhoneClient(bench)
    assert (await other.get(path)).status == 303
    await other.session.close()
    assert (await stranger.get(path)).status == 403


async def test_six_digits_pair_and_lead_on_to_the_tag_that_was_scanned(
    stranger: PhoneClient, bench: Bench, book: Book, codes: Codes
) -> None:
    code = bench.server.invite().spaced
    answer = await stranger.post(f"/{codes.plate}", data={"code": code, "name": "My old one"})
    assert (answer.status, answer.headers["Location"]) == (303, f"/{codes.plate}")
    assert "Brake plate" in await stranger.page(f"/{codes.plate}")
    assert [one.name for one in book.records.phones.values()] == ["My old one"]
    assert any(isinstance(event, TagOpened) for event in bench.events)


@pytest.mark.parametrize("path", ["//evil.example/x", "/evil.example", "/\\evil.example", "/.."])
async def test_pairing_never_leads_to_another_site(
    stranger: PhoneClient, bench: Bench, path: str
) -> None:
    code = bench.server.invite().code
    answer = await stranger.post(path, data={"code": code})
    assert answer.status == 303
    where = URL(bench.origin).join(URL(answer.headers["Location"]))
    assert str(where.origin()) == bench.origin


async def test_a_wrong_code_is_told_and_five_end_the_tries_of_that_phone(
    stranger: PhoneClient, bench: Bench
) -> None:
    invitation = bench.server.invite()
    wrong = "000000" if invitation.code != "000000" else "111111"
    for _ in range(5):
        answer = await stranger.post("/", data={"code": wrong})
        assert answer.status == 403
        assert "not right" in await answer.text()
    answer = await stranger.post("/", data={"code": invitation.code})
    assert answer.status == 403
    assert "have the bench show a new one" in await answer.text()
    assert bench.server.pairing.invitation == invitation
    # The symbol that only the owner sees is as good as before.
    link = await stranger.get(URL(bench.server.pairing_url(invitation)).path)
    assert link.status == 303


async def test_the_bench_is_told_when_the_digits_are_spent(
    stranger: PhoneClient, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tagbench.phone.pairing.ATTEMPTS_OF_ALL", 3)
    invitation = bench.server.invite()
    wrong = "000000" if invitation.code != "000000" else "111111"
    for _ in range(3):
        await stranger.post("/", data={"code": wrong})
    assert bench.events == [PairingSpent("127.0.0.1")]


async def test_closed_pairing_looks_like_a_wrong_code(stranger: PhoneClient, bench: Bench) -> None:
    closed = await (await stranger.post("/", data={"code": "123456"})).text()
    while bench.server.invite().code == "123456":
        pass
    wrong = await (await stranger.post("/", data={"code": "123456"})).text()
    assert closed == wrong


async def test_another_site_cannot_type_the_code(stranger: PhoneClient, bench: Bench) -> None:
    code = bench.server.invite().code
    for headers in ({"Origin": "http://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = await stranger.post("/", data={"code": code}, headers=headers)
        assert answer.status == 403
    assert bench.server.pairing.invitation is not None


async def test_the_cookie_is_for_this_server_alone_and_not_for_scripts(
    stranger: PhoneClient, bench: Bench
) -> None:
    path = pairing_path(bench)
    cookie = (await stranger.get(path)).headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Path=/" in cookie
    assert "Domain" not in cookie


async def test_only_the_hash_of_the_token_is_kept(
    phone: PhoneClient, book: Book, bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level("DEBUG")
    await phone.page("/")
    [cookie] = [one.value for one in phone.session.cookie_jar]
    [paired] = book.records.phones.values()
    assert paired.token_hash == hashlib.sha256(cookie.encode()).hexdigest()
    for path in book.folder.rglob("*"):
        if path.is_file():
            assert cookie.encode() not in path.read_bytes()
    assert cookie not in caplog.text


async def test_a_made_up_token_is_a_strangers(stranger: PhoneClient) -> None:
    for value in ("x" * 43, "", "' or 1", "x" * 5000, "a" * 42):
        answer = await stranger.get("/", headers={"Cookie": f"tagbench_phone={value}"})
        assert answer.status == 403


async def test_a_phone_that_is_taken_away_is_a_stranger_at_once(
    phone: PhoneClient, bench: Bench, book: Book
) -> None:
    [paired] = bench.server.phones()
    bench.server.forget(paired.id)
    assert "Pair this phone" in await phone.page("/", 403)
    assert not book.records.phones


async def test_phones_are_listed_with_when_they_were_last_here(
    phone: PhoneClient, bench: Bench
) -> None:
    await phone.page("/")
    [paired] = bench.server.phones()
    assert paired.seen is not None
    assert paired.seen >= paired.paired


async def test_a_second_phone_of_the_same_name_gets_a_number(
    phone: PhoneClient, stranger: PhoneClient, book: Book
) -> None:
    await stranger.pair()
    assert [one.name for one in book.records.phones.values()] == ["phone", "phone 2"]


async def test_a_name_with_control_characters_is_made_plain(
    stranger: PhoneClient, bench: Bench, book: Book
) -> None:
    code = bench.server.invite().code
    await stranger.post("/", data={"code": code, "name": "\x1b[31m Bob\r\n\t" + "x" * 100})
    [paired] = book.records.phones.values()
    assert paired.name.isprintable()
    assert len(paired.name) <= 40


async def test_a_book_that_cannot_be_written_is_told_to_who_has_the_code(
    stranger: PhoneClient, bench: Bench, book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise BookError("The book is read-only; allow writing it.")

    monkeypatch.setattr("tagbench.book.operations.phones.pair", fails)
    answer = await stranger.post("/", data={"code": bench.server.invite().code})
    assert answer.status == 403
    assert "The book is read-only" in await answer.text()
    assert "Set-Cookie" not in answer.headers


async def test_there_is_an_end_to_how_many_phones_are_paired(
    stranger: PhoneClient, bench: Bench, book: Book
) -> None:
    for number in range(MOST):
        pair(book, "phone", f"{number:064x}")
    answer = await stranger.post("/", data={"code": bench.server.invite().code})
    assert answer.status == 403
    assert "take one away first" in await answer.text()
    assert len(book.records.phones) == MOST
