"""What came off first, by code, short form or name; what is offered."""

from __future__ import annotations

from pathlib import Path

import pytest

from labels.code import make_code
from labels.errors import CodeError
from tagbench.book import Book
from tagbench.errors import BadInput
from tagbench.records import Desk, Machine, Part, Tables, Tag
from tagbench.rules.scan import short_form, typed_code
from tagbench.rules.stripping.predecessors import predecessor, read_predecessors

FRONT, REAR = "Front wheel / Brake", "Rear wheel / Brake"


def book() -> Tables:
    """Four parts of TP, a bin with the serial 4, and TP-117 and TP-1178 that look alike."""
    parts = [
        Part(code=make_code("TP", 1), name="brake drum", assembly=FRONT, order=1),
        Part(code=make_code("TP", 2), name="brake shoe", assembly=FRONT, position="left", order=2),
        Part(code=make_code("TP", 3), name="brake shoe", assembly=FRONT, position="right", order=3),
        Part(code=make_code("TP", 4), name="wheel nut", assembly=REAR, order=4),
        Part(code=make_code("TP", 117), name="shim", assembly=REAR, order=5),
        Part(code=make_code("TP", 1178), name="chain", assembly=REAR, order=6),
    ]
    codes = [*(part.code for part in parts), make_code("BIN", 4)]
    return Tables(
        machines={"TP": Machine(mark="TP", name="Tarnbrook Packman")},
        parts={part.code: part for part in parts},
        tags={code: Tag(code=code) for code in codes},
        desk=Desk(machine="TP"),
    )


@pytest.mark.parametrize("text", ["tp 2", "TP-2", "tp002", "2", "002", make_code("TP", 2).lower()])
def test_a_short_form_names_the_one_record_that_has_it(text: str) -> None:
    assert typed_code(book(), text) == make_code("TP", 2)


@pytest.mark.parametrize("text", ["4", "99", "kr 2", "tp-1178", "TP1178", ""])
def test_a_short_form_of_several_records_or_none_is_not_guessed(text: str) -> None:
    assert short_form(book(), text) == ""
    with pytest.raises(CodeError):
        typed_code(book(), text)


@pytest.mark.parametrize("serial", [1, 2, 3, 4, 117])
def test_a_wrong_check_character_is_never_taken_for_a_short_form(serial: int) -> None:
    right = make_code("TP", serial)
    for check in "0123456789ABCXYZ":
        if check != right[-1]:
            with pytest.raises(CodeError):
                typed_code(book(), right[:-1] + check)


@pytest.mark.parametrize(
    ("text", "serials"),
    [
        ("brake drum", [1]),
        ("drum", [1]),
        ("brake shoe, left", None),
        ("brake shoe left", [2]),
        ("tp 1; wheel nut", [1, 4]),
        ("tp-1 tp-2", [1, 2]),
        ("1 2 1", [1, 2]),
        ("4", [4]),
        ("", []),
    ],
)
def test_predecessors_are_read_by_code_short_form_or_name(
    text: str, serials: list[int] | None
) -> None:
    tables = book()
    if serials is None:  # the comma parts two names, and two parts are called brake shoe
        with pytest.raises(BadInput, match="may be brake shoe, right"):
            read_predecessors(text, tables, "TP")
    else:
        codes = tuple(make_code("TP", serial) for serial in serials)
        assert read_predecessors(text, tables, "TP") == codes


def test_a_name_of_several_parts_is_refused_with_their_codes() -> None:
    with pytest.raises(BadInput, match=make_code("TP", 3)):
        read_predecessors("brake shoe", book(), "TP")
    with pytest.raises(BadInput, match="No part is called"):
        read_predecessors("piston", book(), "TP")


def test_the_last_part_of_the_assembly_is_offered_else_the_last_at_all() -> None:
    tables = book()
    there, anywhere = predecessor(tables, "TP", FRONT), predecessor(tables, "TP", "Engine")
    assert there is not None and there.code == make_code("TP", 3)
    assert anywhere is not None and anywhere.code == make_code("TP", 1178)
    assert predecessor(Tables(), "TP", FRONT) is None


def test_what_is_offered_goes_by_the_path_however_it_is_spelled() -> None:
    """The last one of all spellings, not the last spelling; blanks and case do not count."""
    spelled = ("Hub / Left", "hub/left", "Hub / Left", "Rim")
    parts = [
        Part(code=make_code("TP", at), name=f"part {at}", assembly=assembly, order=at)
        for at, assembly in enumerate(spelled, 1)
    ]
    tables = Tables(parts={part.code: part for part in parts})
    last = predecessor(tables, "TP", " HUB /left")
    assert last is not None
    assert last.name == "part 3"


def test_what_is_offered_is_never_of_an_older_book(tmp_path: Path) -> None:
    """A part that comes off, is put elsewhere or taken back is seen at once."""

    def told(book: Book) -> str:
        last = predecessor(book.records, "TP", "Hub")
        return last.name if last else ""

    with Book(tmp_path / "book") as book:
        assert told(book) == ""
        for name in ("nut", "washer"):
            with book.change(f"took off the {name}") as draft:
                code, order = draft.new_code("TP"), len(book.records.parts) + 1
                draft.put(Part(code=code, name=name, assembly="Hub", order=order))
            assert told(book) == name
        book.undo()
        assert told(book) == "nut"
