"""What stands beside the fasteners of a note; notes that name none (common practice, no source)."""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.asides import set_apart
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.whole_remarks import is_remark


@pytest.mark.parametrize(
    ("note", "core", "beside"),
    [
        ("rear hub: 4x M6x20", "4x M6x20", [("place", "rear hub")]),
        ("4x M6x20, one damaged", "4x M6x20", [("words", "one damaged")]),
        ("4x M6x20, front", "4x M6x20", [("place", "front")]),
        ("4x M6x20 (rear hub)", "4x M6x20", [("place", "rear hub")]),
        ("2 M8 nuts, keep with bearings", "2 M8 nuts", [("words", "keep with bearings")]),
        (
            "bag 7: 2 M8 nuts, rusty, clean before refit",
            "2 M8 nuts",
            [("place", "bag 7"), ("words", "rusty"), ("words", "clean before refit")],
        ),
        ("2 front, rear", "2 front, rear", []),
        ("3 long, 2 short", "3 long, 2 short", []),
        ("4 M6x20, gasket", "4 M6x20, gasket", []),
        ("M6 stripped - insert fitted", "M6 stripped - insert fitted", []),
    ],
)
def test_what_counts_and_sizes_nothing_is_set_apart(
    note: str, core: str, beside: list[tuple[str, str]]
) -> None:
    """A place or remark is; a further thing, sort or side of another lot is not."""
    fasteners, asides = set_apart(note)
    assert fasteners == core
    assert [(one.role, one.text) for one in asides] == beside


@pytest.mark.parametrize(
    "note", ["see photo", "bent, get new", "needs new ones", "don't use the short screw here",
             "brown wire to coil, white to points", "oil before refit", "zero washers here"],
)  # fmt: skip
def test_a_remark_alone_is_no_fastener(note: str) -> None:
    """It goes to the note, and the answer says so."""
    reading = read_fasteners(note)
    assert (reading.lines, reading.none) == ((), (note,))
    assert reading.note("kept") == f"kept; {note}"
    assert reading.answer() == (f"“{note}”: no fasteners; the words are kept as a note.",)


@pytest.mark.parametrize(
    "note",
    ["oil filler cap and chain", "2 bent screws", "lost one screw", "new gasket", "1 missing"],
)
def test_what_names_or_counts_a_thing_is_no_mere_remark(note: str) -> None:
    assert not is_remark(note)
    assert read_fasteners(note).lines


def test_each_remark_stands_with_the_line_that_it_was_said_of() -> None:
    """And what is typed stays with it word for word."""
    first, second = read_fasteners("4 M6x20, one bent, 2 M8x30, rusty").lines
    assert (first.quantity, first.words) == (4, "one bent")
    assert (second.quantity, second.words) == (2, "rusty")
    assert "one bent" in first.typed
    assert "rusty" in second.typed


@pytest.mark.parametrize(
    ("note", "many", "words"),
    [
        ("nothing here, 3 clips on the other side", 3, "nothing here"),
        ("nothing on this side, plate held by clips x 3", 3, "nothing on this side"),
        ("none, but 2 M6x10 on the left", 2, "none"),
    ],
)
def test_nothing_on_one_side_hides_no_fasteners_of_the_other(
    note: str, many: int, words: str
) -> None:
    (line,) = read_fasteners(note).lines
    assert line.quantity == many
    assert words in line.words


def test_where_there_is_nothing_is_kept_as_a_note() -> None:
    """A bare `none` says no more than an empty field; what is said with it is kept."""
    assert read_fasteners("none").none == ()
    assert read_fasteners("nothing on this side").none == ("nothing on this side",)


def test_a_mixed_length_behind_a_metric_thread_is_no_pitch() -> None:
    """M8 of the coarse pitch 1.25 mm (ISO 261), and one and a quarter inches long."""
    (line,) = read_fasteners("M8 x 1 1/4 long").lines
    assert (line.thread, line.length, line.length_unit) == ("M8x1.25", 1.25, "in")


def test_a_state_in_front_is_no_place() -> None:
    (line,) = read_fasteners("spare: M6x20 x2").lines
    assert (line.quantity, line.words, line.place) == (2, "spare", "")


@pytest.mark.parametrize(
    ("note", "token", "options"),
    [
        ("2 screws x 4", "x 4", ["count:8", "count:4", "count:2"]),
        ("4 screws x 4", "x 4", ["count:4", "count:16"]),
    ],
)
def test_what_is_counted_twice_is_asked(note: str, token: str, options: list[str]) -> None:
    (asked,) = read_fasteners(note).asks
    assert (asked.token, [one.meaning for one in asked.options]) == (token, options)


def test_a_lone_figure_behind_a_clip_counts_where_no_clip_is_so_small() -> None:
    assert read_fasteners("hose clip, 2").lines[0].quantity == 2
    assert read_fasteners("circlip, 16").lines[0].diameter == 16
