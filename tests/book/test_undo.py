"""Undo is a change of its own that puts everything back as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from tagbench.book import Book, Transaction
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.book.operations.strip import edit
from tagbench.book.operations.wanting import WantForm, add_want
from tagbench.errors import BadInput, Refused
from tagbench.records import Bin, Tables, replace
from tests.book.conftest import put_part, strip
from tests.examples import examples


def test_undo_takes_back_the_last_change_in_words(book: Book) -> None:
    """The returned change says what was taken back; the history says so too."""
    part = strip(book, "hub")
    with book.change(f"lubed {part.code}") as transaction:
        transaction.put(replace(part, note="greased"))
    assert book.undo().words == f"lubed {part.code}"
    assert book.records.parts[part.code] == part
    last = book.history()[0]
    assert last.words == f"took back: lubed {part.code}"
    assert (last.number, last.takes_back) == (3, 2)


def test_undo_goes_further_back_each_time(book: Book) -> None:
    """It never takes back a taking back."""
    for name in ("hub", "nut", "washer"):
        strip(book, name)
    assert [book.undo().words for _ in range(3)] == [
        "took off washer",
        "took off nut",
        "took off hub",
    ]
    assert not book.records.parts
    with pytest.raises(BadInput, match="nothing to take back"):
        book.undo()


def test_undo_after_a_new_change_takes_back_that_one_first(book: Book) -> None:
    """Changes already taken back are skipped."""
    strip(book, "hub")
    strip(book, "nut")
    book.undo()
    strip(book, "washer")
    assert [book.undo().words, book.undo().words] == ["took off washer", "took off hub"]


def test_undo_brings_a_dropped_part_back_with_its_tag(book: Book) -> None:
    """The tag is a part's again."""
    part = strip(book, "hub")
    with book.change("took away") as transaction:
        transaction.drop(part)
    book.undo()
    assert book.records.parts == {part.code: part}
    assert book.records.tags[part.code].kind == "part"


def test_undo_of_a_chosen_change_leaves_later_fields_alone(book: Book, folder: Path) -> None:
    """Another program changed another field meanwhile: both survive."""
    part = strip(book, "hub")
    with book.change("note") as transaction:
        transaction.put(replace(part, note="cracked"))
    with Book(folder) as other, other.change("side") as transaction:
        transaction.put(replace(transaction.records.parts[part.code], position="left"))
    book.undo(2)
    assert book.records.parts[part.code] == replace(part, position="left")


def test_undo_does_not_overwrite_what_was_changed_since(book: Book, folder: Path) -> None:
    """The same field was changed again by someone else: refused, nothing is lost."""
    part = strip(book, "hub")
    with book.change("note") as transaction:
        transaction.put(replace(part, note="cracked"))
    with Book(folder) as other, other.change("note again") as transaction:
        transaction.put(replace(transaction.records.parts[part.code], note="welded"))
    revision = book.revision
    with pytest.raises(Refused, match="3 “note again”"):
        book.undo(2)
    assert book.records.parts[part.code].note == "welded"
    assert book.revision == revision + 1  # the other program's, no more


def test_undo_of_a_strip_is_refused_while_others_name_the_part(book: Book) -> None:
    """Else a part would be behind nothing."""
    axle = strip(book, "axle nut")
    strip(book, "wheel", behind=(axle.code,))
    with pytest.raises(Refused, match="2 “took off wheel”"):
        book.undo(1)
    assert axle.code in book.records.parts


def test_undo_of_a_bin_is_refused_while_it_holds_parts(book: Book) -> None:
    """Else the part would lie nowhere."""
    with book.change("bin") as transaction:
        bag = Bin(code=transaction.new_code("BIN"), name="Bag 1")
        transaction.put(bag)
    strip(book, "hub", bin=bag.code)
    with pytest.raises(Refused, match="2 “took off hub”"):
        book.undo(1)


def test_undo_of_a_strip_is_refused_while_a_want_or_a_setting_names_the_part(book: Book) -> None:
    """Else they would name nothing."""
    hub = strip(book, "hub")
    add_want(book, WantForm(codes=(hub.code,)))
    with pytest.raises(Refused, match="wanted: 1 × hub"):
        book.undo(1)
    book.undo()
    add_setting(book, SettingForm("bearing play", after=(hub.code,)))
    with pytest.raises(Refused, match="added the setting bearing play"):
        book.undo(1)


def test_undo_of_an_older_change_makes_no_loop(book: Book) -> None:
    """The link taken out before comes back only where it leads round no circle."""
    hub = strip(book, "hub")
    axle = strip(book, "axle", behind=(hub.code,))
    edit(book, axle.code, behind=())
    number = book.revision
    edit(book, hub.code, behind=(axle.code,))
    with pytest.raises(Refused, match="in a loop"):
        book.undo(number)


def test_the_same_change_is_not_taken_back_twice(book: Book) -> None:
    """Nor one that is not there."""
    strip(book, "hub")
    book.undo(1)
    with pytest.raises(BadInput, match="already"):
        book.undo(1)
    with pytest.raises(BadInput, match="no change 9"):
        book.undo(9)


def test_undo_works_in_a_program_started_later(book: Book, folder: Path) -> None:
    """The history is on the disk, not in memory."""
    strip(book, "hub")
    book.close()
    with Book(folder) as again:
        assert again.undo().words == "took off hub"
        assert not again.records.parts


def test_undo_leaves_the_print_queue_of_others_alone(book: Book) -> None:
    """The tag of a part taken back is no longer waiting to be printed."""
    with book.change("strip") as transaction:
        part = put_part(transaction, "hub")
        transaction.put(replace(transaction.records.tags[part.code], queued=transaction.now))
    book.undo()
    assert book.records.tags[part.code].queued is None


def _but_for_codes(tables: Tables) -> dict[str, object]:
    """Everything that undo must restore: codes given out stay given out."""
    return {
        "machines": dict(tables.machines),
        "parts": dict(tables.parts),
        "bins": dict(tables.bins),
        "wants": dict(tables.wants),
        "desk": replace(tables.desk, serials={}, ids={}),
        "live tags": {code: t for code, t in tables.tags.items() if t.kind != "gone"},
    }


def _do(transaction: Transaction, step: tuple[str, int, str]) -> None:
    verb, which, text = step
    codes = sorted(transaction.records.parts)
    if verb == "strip" or not codes:
        put_part(transaction, text, note=text)
        return
    part = transaction.records.parts[codes[which % len(codes)]]
    if verb == "drop":
        transaction.drop(part)
    elif verb == "name":
        transaction.put(replace(part, name=text, position=""))
    elif verb == "bin":
        bag = Bin(code=transaction.new_code("BIN"), name=text)
        transaction.put(bag)
        transaction.put(replace(part, bin=bag.code))
    else:
        transaction.put(replace(transaction.records.desk, suppliers=(text,)))


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["strip", "name", "drop", "bin", "desk"]),
        st.integers(0, 5),
        st.text(
            st.characters(exclude_categories=["Cc", "Cf", "Cs", "Zl", "Zp"]), min_size=1, max_size=8
        ),
    ),
    min_size=1,
    max_size=4,
)


@settings(
    max_examples=examples(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(changes=st.lists(STEPS, min_size=1, max_size=5))
def test_undo_restores_every_state_on_the_way_back(
    tmp_path_factory: pytest.TempPathFactory, changes: list[list[tuple[str, int, str]]]
) -> None:
    """After any changes, undo walks back through exactly the states there were."""
    folder = tmp_path_factory.mktemp("undo")
    with Book(folder) as book:
        states = [_but_for_codes(book.records)]
        for steps in changes:
            before = book.revision
            with book.change("some steps") as transaction:
                for step in steps:
                    _do(transaction, step)
            if book.revision > before:
                states.append(_but_for_codes(book.records))
        while len(states) > 1:
            states.pop()
            book.undo()
            assert _but_for_codes(book.records) == states[-1]
        with Book(folder) as again:
            assert again.records == book.records
