"""One spelling of a day, a span, a number of things, a list cut short, a part with its code."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tagbench.rules.describe import phrases
from tests.rules.making import code, part, tables

WHEN = datetime(2026, 3, 9, 18, 5, tzinfo=UTC)


def test_a_day_is_spelled_so_that_no_one_reads_it_the_other_way_round() -> None:
    """Month by its name, always with the year."""
    assert phrases.day(date(2026, 3, 9)) == phrases.day(WHEN) == "9 Mar 2026"
    assert phrases.moment(WHEN) == "9 Mar 2026, 18:05"


@pytest.mark.parametrize(
    ("time", "words"),
    [
        (timedelta(seconds=-5), "0 min"),
        (timedelta(minutes=20), "20 min"),
        (timedelta(hours=26), "26 h"),
        (timedelta(days=4), "4 days"),
    ],
)
def test_a_span_is_as_exact_as_it_matters(time: timedelta, words: str) -> None:
    """Minutes, hours up to three days, then days."""
    assert phrases.span(time) == words


def test_one_has_no_s() -> None:
    """None and several have one."""
    assert [phrases.plural(n, "part") for n in (0, 1, 2)] == ["0 parts", "1 part", "2 parts"]
    assert phrases.plural(2, "box", "boxes") == "2 boxes"


def test_a_list_cut_short_says_how_many_more() -> None:
    """Nothing is said when nothing was left out."""
    assert phrases.first_few(["A", "B", "C"], 2) == "A, B and 1 more"
    assert phrases.first_few(["A", "B"], 2) == "A, B"


def test_a_part_is_named_with_its_code_also_when_its_record_is_gone() -> None:
    """Name and code in a sentence; the code alone when there is nothing else."""
    one = part(1, "Kick spring", quantity=2, position="left")
    assert phrases.named_codes([one.code, code(9)], tables(one)) == [
        f"Kick spring {one.code}",
        code(9),
    ]
    assert phrases.titled(one) == "2 × Kick spring, left"
