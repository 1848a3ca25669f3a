"""Codes and numbers are given out once, whatever happens afterwards."""

from __future__ import annotations

from pathlib import Path

import pytest
from stdnum.iso7064 import mod_37_36

from labels.code import next_code
from tagbench.book import Book
from tagbench.errors import BadInput, Refused
from tagbench.records import Bin, Part, Tag, Want, replace
from tests.book.conftest import strip


def test_codes_follow_each_other_with_a_right_check_character(book: Book) -> None:
    """Checked against python-stdnum's ISO 7064 MOD 37,36."""
    codes = [strip(book, f"part {number}").code for number in range(30)]
    assert codes[0].startswith("TP-001-")
    numbers = [int(code.split("-")[1]) for code in codes]
    assert numbers == [n for n in range(1, numbers[-1] + 1) if next_code("TP", n - 1).serial == n]
    for code in codes:
        assert mod_37_36.is_valid(code.replace("-", ""))


def test_every_code_given_out_has_a_tag(book: Book) -> None:
    """Parts and bins, each of its kind."""
    part = strip(book, "hub")
    with book.change("bin") as transaction:
        transaction.put(Bin(code=transaction.new_code("BIN"), name="Bag 1"))
    kinds = {code: tag.kind for code, tag in book.records.tags.items()}
    assert kinds == {part.code: "part", **dict.fromkeys(book.records.bins, "bin")}


def test_a_code_is_not_given_out_again_after_undo_or_removal(book: Book) -> None:
    """Neither taking back nor taking away frees a code."""
    first = strip(book, "hub")
    book.undo()
    second = strip(book, "nut")
    with book.change("took away") as transaction:
        transaction.drop(second)
    third = strip(book, "washer")
    assert len({first.code, second.code, third.code}) == 3
    assert book.records.tags[first.code].kind == "gone"
    assert book.records.tags[second.code].kind == "gone"


def test_a_new_part_cannot_take_a_code_that_is_gone(book: Book) -> None:
    """Even when the code is given by hand."""
    part = strip(book, "hub")
    book.undo()
    with pytest.raises(Refused, match="never given out again"), book.change("again") as transaction:
        transaction.put(replace(part, name="another"))


def test_a_stale_desk_does_not_set_counters_back(book: Book) -> None:
    """Someone who kept the desk from before a code was made may put it back all the same."""
    with book.change("strip") as transaction:
        codes = [transaction.new_code("TP")]
        ids = [transaction.new_id("wants")]
        desk = transaction.records.desk
        codes.append(transaction.new_code("TP"))
        ids.append(transaction.new_id("wants"))
        transaction.put(replace(desk, machine="TP"))
        codes.append(transaction.new_code("TP"))
        ids.append(transaction.new_id("wants"))
    assert len(set(codes)) == 3
    assert ids == [1, 2, 3]
    assert book.records.desk.serials == {"TP": 3}
    assert book.records.desk.machine == "TP"


def test_numbers_of_wants_are_not_reused(book: Book) -> None:
    """A want that was dropped keeps its number."""
    for expected in (1, 2):
        with book.change("want") as transaction:
            want = Want(id=transaction.new_id("wants"), machine="TP", what="felt seal")
            assert want.id == expected
            transaction.put(want)
        with book.change("drop") as transaction:
            transaction.drop(want)


def test_a_code_from_outside_counts_as_given_out(book: Book) -> None:
    """An import or a pasted record moves the counter on."""
    with book.change("paste") as transaction:
        code = "TP-017-" + mod_37_36.calc_check_digit("TP017")
        transaction.put(Part(code=code, name="hub"))
    assert book.records.tags[code].kind == "part"
    assert strip(book, "nut").code.startswith("TP-018-")


def test_a_wrong_check_character_is_refused(book: Book) -> None:
    """With the likely code."""
    with pytest.raises(BadInput, match="TP-017-7"), book.change("paste") as transaction:
        transaction.put(Part(code="TP-017-X", name="hub"))


def test_a_spare_tag_becomes_a_part_and_spare_again(book: Book) -> None:
    """Taking the strip back leaves the printed tag usable."""
    with book.change("spare tags") as transaction:
        code = transaction.new_code("TP")
        transaction.put(replace(transaction.records.tags[code], kind="spare", times=1))
    with book.change("strip") as transaction:
        transaction.put(Part(code=code, name="hub"))
    assert book.records.tags[code].kind == "part"
    book.undo()
    assert book.records.tags[code] == Tag(code=code, kind="spare", times=1)
    with book.change("strip") as transaction:
        transaction.put(Part(code=code, name="hub"))
    assert book.records.parts[code].name == "hub"


def test_serials_go_beyond_three_digits(book: Book, folder: Path) -> None:
    """The thousandth part of a machine has four."""
    with book.change("many") as transaction:
        codes = [transaction.new_code("TP") for _ in range(1001)]
    last = max(n for n in range(1, 1000) if next_code("TP", n - 1).serial == n)
    assert any(code.startswith(f"TP-{last}-") for code in codes)
    assert len(codes[-1].split("-")[1]) == 4
    with Book(folder) as again:
        assert len(again.records.tags) == 1001


def test_tags_and_the_desk_are_never_dropped(book: Book) -> None:
    """They remember what was given out."""
    part = strip(book, "hub")
    with pytest.raises(ValueError, match="never dropped"), book.change("drop") as transaction:
        transaction.drop(transaction.records.tags[part.code])
