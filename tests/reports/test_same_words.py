"""`show` and the report of the whole book say the same of every part."""

from __future__ import annotations

from pathlib import Path

from demo.writer import write_demo
from tagbench.records import Tables
from tagbench.reports.kinds import report_text
from tagbench.reports.part_text import part_lines
from tagbench.reports.request import ReportRequest
from tagbench.rules.describe.part import describe_part
from tests.rules.describe.books import NOW, missing_words, plain_text, random_book

BOOKS = 300


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


def test_of_every_part_of_the_demo(tmp_path: Path) -> None:
    """Several hundred parts in every state."""
    with write_demo(tmp_path / "book", now=lambda: NOW) as book:
        check(book.records, book.records.desk.machine)


def test_of_every_part_of_random_books() -> None:
    """Every kind of fact in every mix."""
    for seed in range(BOOKS):
        check(random_book(seed), "TP")
