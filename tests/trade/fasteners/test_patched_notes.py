"""Notes patched together from halves of others: whatever is typed is read, and never falls over.

Common practice, no source: the notes are those of tests/reference/bag_phrases.csv.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.records import Fastener, from_plain, to_plain
from tagbench.trade.fasteners.reading import read_fasteners
from tests.examples import examples
from tests.trade.fasteners.test_bag_phrases import PHRASES

_NOTES = [typed for typed, _ in PHRASES]
_WORDS = sorted({word for note in _NOTES for word in note.split()})
_WORD = st.sampled_from(_WORDS)


@st.composite
def _patched(draw: st.DrawFn) -> str:
    first = draw(st.sampled_from(_NOTES)).split()
    second = draw(st.sampled_from(_NOTES)).split()
    kept = first[: draw(st.integers(1, len(first)))]
    return " ".join((*kept, *draw(st.lists(_WORD, max_size=2)), *second[len(second) // 2 :]))


def _is_kept(note: str) -> None:
    reading = read_fasteners(note)
    assert reading.text == note
    for line in reading.lines:
        assert from_plain(to_plain(line), Fastener) == line
        assert line.quantity >= 1


@given(st.one_of(_patched(), st.lists(_WORD, min_size=1, max_size=8).map(" ".join)))
@settings(max_examples=examples(2000), deadline=None)
def test_a_note_of_any_words_is_read(note: str) -> None:
    _is_kept(note)


@pytest.mark.parametrize(
    "note",
    [
        "bolt with 8.8 bolt",
        "SHCS upper 17x24 penny",
        "2xM8nyloc DIN933 seat: 19mm mit M8x70 what",
        "tank: all lost",
        "roulement 6202 head M6x25",
        "cotter pins 1/8 x 1-1/2 (2), 3/32 x 0.1 x 16",
        "rondelle, escape sprocket 12.9 hd",
        "body hitch gap gap U-bolts avec 55s)",
        "l=5 6, light: back,",
        "Sicherungsring 20x1,2 x 13",
    ],
)
def test_a_note_that_once_was_too_much_is_read(note: str) -> None:
    _is_kept(note)
    assert read_fasteners(note).lines


def test_the_number_of_a_bearing_is_no_spanner() -> None:
    """6202 is 15 x 35 x 11 mm (ISO 15)."""
    (line,) = read_fasteners("bearing 6202 head side").lines
    assert (line.number, line.tool) == ("6202", "")
    assert (line.diameter, line.length, line.thickness) == (15, 35, 11)
