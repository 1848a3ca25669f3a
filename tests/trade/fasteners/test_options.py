"""The readings that are offered of a doubtful word: short, plain, and the same words everywhere."""

from __future__ import annotations

import re

import pytest

from tagbench.trade.fasteners.choices import WordChoice
from tagbench.trade.fasteners.options import SharedWords, shared_words
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.thing_or_remark import REMARK
from tests.every import every
from tests.trade.fasteners.test_bag_phrases import PHRASES

#: Columns that a reading may take: two stand in a line of the narrowest form beside their word.
_LONGEST = 42


def _said(text: str) -> SharedWords:
    """How the readings of the first word in doubt are said."""
    choice, *_ = read_fasteners(text).choices
    return shared_words(choice.options)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2 bolts each side M8x20", SharedWords("", ("4", "2"), " in all")),
        ("hose clips", SharedWords("", ("2", "3", "4", "5", "6", "8", "1"), " of them")),
        ("M6x20/25", SharedWords("", ("20", "25"), " mm long")),
        ("oring 20mm", SharedWords("20 mm ", ("inside", "outside", "thick"), "")),
        ("spacer 20mm", SharedWords("20 mm ", ("inside", "outside", "long"), "")),
        ("clutch springs x5 all 32mm", SharedWords("32 mm ", ("long", "across"), "")),
        ("8mm bolt", SharedWords("", ("M8x1.25", "M8x1", "spanner 8 mm", "8 mm long"), "")),
        ("grease nipple 1/8 BSP", SharedWords("", ("G 1/8", "R 1/8"), "")),
        ("zip ties 3", SharedWords("", ("3 of them", "3 mm across"), "")),
        ("5.5mm hex self tappers x6 4.2x13", SharedWords("5.5 mm ", ("thick", "long"), "")),
        ("1 shim .003", SharedWords("", ("0.003 in thick", "0.003 mm thick"), "")),
        ("grease nipple M6", SharedWords("", ("M6x1",), "")),
    ],
)
def test_readings_are_said_in_few_words(typed: str, said: SharedWords) -> None:
    """What all of them share is said once."""
    assert _said(typed) == said


def _choices(typed: str) -> tuple[WordChoice, ...]:
    return read_fasteners(typed).choices


@every(PHRASES)
def test_nothing_is_lost_by_saying_shared_words_once(row: tuple[str, str]) -> None:
    """Before, one of each, behind: that is each reading in full, and no reading is long."""
    for choice in _choices(row[0]):
        before, each, behind = shared_words(choice.options)
        assert [f"{before}{one}{behind}" for one in each] == [one.says for one in choice.options]
        assert len({one.says for one in choice.options}) == len(choice.options)
        assert all(len(one.says) <= _LONGEST for one in choice.options), choice


@every(PHRASES)
def test_a_size_in_millimetres_is_offered_as_a_decimal(row: tuple[str, str]) -> None:
    """5.5 mm, as calipers show it, and never 5-1/2 mm; inches are fractions of a rule."""
    for choice in _choices(row[0]):
        for option in choice.options:
            assert not re.search(r"[0-9]/[0-9]+ mm", option.says), option


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("M6x20/25", "“x20/25” can mean 20 or 25 mm long; it is kept as words."),
        ("oring 20mm", "“20mm” can mean 20 mm inside, outside or thick; it is kept as words."),
        (
            "2x 8mm bolt",
            "“8mm” can mean M8x1.25, M8x1, spanner 8 mm or 8 mm long; it is kept as words.",
        ),
    ],
)
def test_where_nobody_is_asked_they_are_said_in_one_sentence(typed: str, sentence: str) -> None:
    assert sentence in read_fasteners(typed).answer()


@every(PHRASES)
def test_what_was_chosen_is_written_down_in_the_words_that_were_offered(
    row: tuple[str, str],
) -> None:
    """Each reading of each word, taken by its own key."""
    for choice in _choices(row[0]):
        for option in choice.options[:2]:
            after = read_fasteners(row[0], {choice.token: option.meaning})
            taken = [one for one in after.choices if one.token == choice.token and one.taken]
            if taken and option.meaning == REMARK:
                assert row[0] in after.none
            elif taken:
                said = [words for line in after.lines for words in line.chosen]
                slip = f"“{choice.token}”: {option.says}"
                assert slip in said, (slip, said)
