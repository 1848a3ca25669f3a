"""The next evening: what was going on, what is half-typed, what soaks, what is due."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.book.operations import away, buying, care, loose, machines, wanting
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.errors import Refused
from tagbench.rules.bench.going_on import going_on, others_going_on

START = datetime(2031, 3, 9, 18, 30, tzinfo=UTC)


class Clock:
    """A clock that is set."""

    now = START

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def book(tmp_path: Path, clock: Clock) -> Book:
    book = Book(tmp_path / "book", now=clock)
    machines.add(book, "Packman", "TP")
    return book


def words(book: Book, forms: list[str] | None = None) -> list[str]:
    return [one.words for one in going_on(book.records, "TP", book.now(), forms or [])]


def test_what_was_done_last_is_gone_on_with_where_it_is_done(book: Book, clock: Clock) -> None:
    first = strip_part(book, StripForm("Lever", assembly="Engine")).code
    assert going_on(book.records, "TP", book.now())[0].place == "strip"
    clock.now += timedelta(days=1)
    care.tick_off(book, [first], "degreased")
    clock.now += timedelta(days=1)
    (last,) = going_on(book.records, "TP", book.now())
    assert last.words == "last, yesterday: degreased Lever TP-001-N, Engine"
    assert (last.place, last.code) == ("clean", first)


def test_soaks_what_is_due_and_what_is_left_over_are_told(book: Book, clock: Clock) -> None:
    codes = [strip_part(book, StripForm(name)).code for name in ("Jet", "Cylinder", "Seal")]
    care.soak(book, [codes[0]], hours=24)
    away.send_away(book, [codes[1]], AwayForm("Weirside", "rebore", due=date(2031, 3, 12)))
    care.tick_off(book, [codes[2]], "replace")
    buying.order(book, [1], due=date(2031, 4, 20))
    loose.write_down(book, "M6 bolt 20 long, floor")
    clock.now += timedelta(days=5)
    told = "\n".join(words(book))
    assert "soaking: Jet TP-001-N; 1 can come out" in told
    assert "due 12 Mar 2031, 2 days overdue: Cylinder" in told
    assert "Seal" not in told.split("due")[-1]
    assert "left over: M6 bolt 20 long" in told


def test_a_deposit_that_is_out_is_told_until_it_is_back(book: Book) -> None:
    code = strip_part(book, StripForm("Dynamo")).code
    care.tick_off(book, [code], "replace")
    wanting.edit_want(book, 1, wanting.WantForm(deposit="25"))
    buying.order(book, [1])
    buying.arrive(book, [1])
    assert "deposit out: Dynamo" in words(book)
    buying.deposit_came_back(book, 1)
    assert "deposit out: Dynamo" not in words(book)


def test_half_typed_forms_come_first(book: Book) -> None:
    strip_part(book, StripForm("Lever"))
    kept = Autosave(book.folder)
    kept.save("strip", UnsavedForm(book.now(), {"name": "Cam"}))
    kept.save("edit TP-001-N", UnsavedForm(book.now(), {"name": "Lever arm"}))
    kept.save("made of TP-001-N", UnsavedForm(book.now(), {"own-parts": "2 balls"}))
    told = words(book, kept.forms())
    assert set(told[:3]) == {
        "half-typed: a part that came off",
        "half-typed: edit of TP-001-N",
        "half-typed: what TP-001-N is made of",
    }


@pytest.mark.parametrize(
    ("name", "told", "place"),
    [
        ("gasket-TP-001-N", "half-typed: gasket of TP-001-N", "inspect"),
        ("reading-TP-001-N-bore", "half-typed: reading of TP-001-N", "inspect"),
        ("want-TP-001-N", "half-typed: a want", "buy"),
        ("setting-new", "half-typed: a setting", "settings"),
        ("left-over", "half-typed: what is left over", "count"),
    ],
)
def test_a_half_typed_card_is_gone_on_with_where_it_is(
    book: Book, name: str, told: str, place: str
) -> None:
    (going, *_) = going_on(book.records, "TP", book.now(), [name])
    assert (going.words, going.place) == (told, place)


def test_a_machine_set_aside_is_told_with_what_is_due_on_it(book: Book, clock: Clock) -> None:
    code = strip_part(book, StripForm("Cylinder")).code
    away.send_away(book, [code], AwayForm("Weirside", due=date(2031, 3, 10)))
    machines.add(book, "Mower", "MW")
    machines.choose(book, "TP")
    _, now = machines.set_aside(book, "TP", "waiting for the crankshaft")
    assert now is not None
    assert (now.mark, book.records.desk.machine) == ("MW", "MW")
    with pytest.raises(Refused, match="set aside already"):
        machines.set_aside(book, "TP")
    clock.now += timedelta(days=3)
    (line,) = others_going_on(book.records, "MW", clock.now.date())
    assert line.startswith("Packman (TP), set aside 9 Mar 2031: waiting for the crankshaft")
    assert "2 days overdue: Cylinder" in line
    machines.choose(book, "TP")
    assert book.records.machines["TP"].aside is None
