"""Commands, sheets and cards of the screens say the same of every record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from tagbench.book import Book
from tagbench.commands.want_text import want_line
from tagbench.records import Tables
from tagbench.reports.count_text import count_lines
from tagbench.reports.kinds import report_text
from tagbench.reports.part_text import bin_lines, part_lines
from tagbench.reports.request import ReportRequest
from tagbench.reports.settings_text import settings_lines
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.count import describe_count
from tagbench.rules.describe.part import describe_part
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.describe.want import describe_want
from tagbench.rules.settings.standing import settings_of
from tagbench.screens.buy.wants import draw_want, want_facts
from tagbench.screens.settings.cards import setting_facts
from tests.rules.describe.books import (
    NOW,
    missing_words,
    not_said,
    plain_text,
    random_book,
    words_of_bin,
    words_of_count,
    words_of_setting,
    words_of_want,
)

BOOKS = [range(first, first + 15) for first in range(0, 300, 15)]
WIDE = 200
"""Columns in which nothing is cut."""


def check(tables: Tables, mark: str) -> None:
    """Every front end says every word of every part."""
    asking = ReportRequest(tables=tables, machine=tables.machines[mark], printed=NOW)
    book = {
        "the text": report_text("book", ".txt", asking),
        "the page": plain_text(report_text("book", ".html", asking)),
    }
    for part in asking.parts:
        facts = describe_part(tables, part, NOW)
        shown = {**book, "show": "\n".join(part_lines(tables, part, NOW))}
        for front_end, words in shown.items():
            assert not missing_words(facts, words), f"{front_end} of {part.code}"


def check_others(tables: Tables, mark: str) -> None:
    """So of every bin, want, setting and open line of the count."""
    asking = ReportRequest(tables=tables, machine=tables.machines[mark], printed=NOW)
    today = NOW.date()
    for one in tables.bins.values():
        shown = "\n".join(bin_lines(tables, one))
        assert not not_said(words_of_bin(describe_bin(tables, one)), shown)
    wants = [want for want in tables.wants.values() if want.arrived is None]
    held = hold_ups(tables, mark)
    told = [describe_want(tables, want, today, held.get(want.id, ())) for want in wants]
    cards = [want_facts(want, held.get(want.id, ()), tables, today, roomy=True) for want in wants]
    in_rows = [row for want in wants for row in draw_want(want, 0, today, WIDE)]
    in_cards = [words for card in cards for one in card for words in one.lines]
    wanted = [words for facts in told for words in words_of_want(facts)]
    check_words(
        wanted,
        {
            "the command": "\n".join(map(want_line, told)),
            "the screen": "\n".join([*map(str, in_rows), *in_cards]),
        },
    )
    on_paper = [words for words in wanted if words != "to order"]  # the heading says so there
    check_words(on_paper, sheets("wants", asking))
    states = settings_of(tables, mark)
    settings = [describe_state(tables, state) for state in states]
    on_cards = [w for state in states for one in setting_facts(tables, state) for w in one.lines]
    check_words(
        [words for facts in settings for words in words_of_setting(facts)],
        {
            "the command": "\n".join(settings_lines(states)),
            "the screen": "\n".join([*(facts.what for facts in settings), *on_cards]),
            **sheets("settings", asking),
        },
    )
    found = machine_count(tables, mark, today)
    check_words(
        list(words_of_count(describe_count(found, asking.machine))),
        {
            "the command": "\n".join(count_lines(tables, found, asking.machine)),
            **sheets("count", asking),
        },
    )


def sheets(kind: str, asking: ReportRequest) -> dict[str, str]:
    """A sheet as text and as a page."""
    return {
        f"the text of {kind}": report_text(kind, ".txt", asking),
        f"the page of {kind}": plain_text(report_text(kind, ".html", asking)),
    }


def check_words(wanted: Sequence[str], shown: Mapping[str, str]) -> None:
    """Every front end says all of it."""
    for front_end, words in shown.items():
        assert not not_said(wanted, words), front_end


def test_of_every_part_of_the_demo(demo_book: Book) -> None:
    """Some sixty parts in every state."""
    check(demo_book.records, demo_book.records.desk.machine)
    check_others(demo_book.records, demo_book.records.desk.machine)


@pytest.mark.sampled(20)
@pytest.mark.parametrize("seeds", BOOKS, ids=str)
def test_of_every_part_of_random_books(seeds: range) -> None:
    """Every kind of fact in every mix."""
    for seed in seeds:
        check(random_book(seed), "TP")
        check_others(random_book(seed), "TP")
