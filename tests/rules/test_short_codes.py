"""Short forms of codes open the record where only one fits, and say all that fit otherwise."""

from __future__ import annotations

import msgspec
import pytest

from labels.code import make_code
from labels.errors import CodeError
from tagbench.records import Desk, Machine, Tables, Tag
from tagbench.rules.scan import free_code, typed_code, typed_part
from tests.rules.making import bin_code, code, part


def _book(*codes: str) -> Tables:
    tags = {one: Tag(code=one, kind="bin" if one[:3] == "BIN" else "part") for one in codes}
    machines = {mark: Machine(mark=mark, name=mark) for mark in ("TP", "KR")}
    return Tables(tags=tags, machines=machines, desk=Desk(machine="TP"))


@pytest.mark.parametrize("typed", ["tp 11", "TP-11", "tp11", "TP-011", "11", "011"])
def test_a_short_form_names_the_only_record_that_fits(typed: str) -> None:
    assert typed_code(_book(code(11), code(12), make_code("KR", 11)), typed) == code(11)


def test_a_number_that_fits_two_is_refused_with_both() -> None:
    book = _book(code(12), bin_code(12))
    with pytest.raises(CodeError) as caught:
        typed_code(book, "12")
    assert set(caught.value.candidates) == {code(12), bin_code(12)}
    assert typed_code(book, "tp 12") == code(12)
    assert typed_code(book, "bin 12") == bin_code(12)


def test_nothing_that_fits_is_refused_as_before() -> None:
    with pytest.raises(CodeError):
        typed_code(_book(code(11)), "99")


def test_where_only_a_part_can_be_meant_no_bin_of_that_number_is() -> None:
    """Nor the other way round; where neither is a part both are named as before."""
    book = _book(code(12), bin_code(12), bin_code(13), make_code("TP", 13))
    book = msgspec.structs.replace(book, parts={code(12): part(12)})
    assert typed_part(book, "12") == code(12)
    assert typed_part(book, "bin 12") == bin_code(12)
    with pytest.raises(CodeError):
        typed_part(book, "13")
    with pytest.raises(CodeError):
        typed_code(book, "12")


def test_where_only_a_free_tag_can_be_meant_it_is() -> None:
    book = _book(code(12), bin_code(12))
    spare = {**book.tags, code(12): Tag(code=code(12), kind="spare")}
    assert free_code(msgspec.structs.replace(book, tags=spare), "12") == code(12)
