"""A thread or size that was not yet known is written down once it was measured."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.operations.strip import edit
from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.rules.describe.phrases import named
from tagbench.rules.open_questions import answered, open_question
from tagbench.rules.scan import part_with
from tagbench.trade.fasteners.spelling import spell


def answer_question(book: Book, code: str, line: int, text: str) -> Part:
    """Writes the thread (`M6`) or size (`3.2x32`) of a part's line, counted from 1.

    The fasteners stay the same ones, so what is back of them stays back. BadInput for a line that
    asks nothing, and for a text that is no thread or size.
    """
    part = part_with(book.records, code)
    if not 1 <= line <= len(part.fasteners):
        raise BadInput(f"{part.name} {code} has no line {line} of fasteners.")
    fastener = part.fasteners[line - 1]
    if not open_question(fastener):
        raise BadInput(f"{spell(fastener)} of {part.name} {code} is known; edit {code} changes it.")
    found = answered(fastener, text)
    lines = (*part.fasteners[: line - 1], found, *part.fasteners[line:])
    words = f"measured {spell(found)} of {named(part)}"
    return edit(book, code, words, lines="same", fasteners=lines)
