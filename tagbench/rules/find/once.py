"""One question to a book that nobody has indexed: the answers of `Index`, without the index.

Every distinct text is taken apart once for the vocabulary; after that only the words that the
question may mean are looked up in the parts.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from operator import attrgetter

from tagbench.records import Bin, Fastener, Part, Tables
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.buying.part_numbers import plain_number
from tagbench.rules.find.fields import (
    WEIGHTS,
    bin_texts,
    fastener_fields,
    index_words,
    inner_texts,
    thread_word,
)
from tagbench.rules.find.index import Found, Index
from tagbench.rules.find.numbers import CodeBook, NumberBook
from tagbench.rules.find.query import NUMBER_SIGN, understand
from tagbench.rules.find.standing import standing_text
from tagbench.rules.find.vocabulary import Vocabulary
from tagbench.rules.find.words import SPANNER, split

Weights = Mapping[str, float]
"""Compared form → the weight of the best field that it stands in."""

_OWN_FIELDS = ("name", "assembly", "position", "kind", "sits how", "note")
_own_texts: Callable[[Part], tuple[str, ...]] = attrgetter(
    *(field.replace(" ", "_") for field in _OWN_FIELDS)
)
"""The texts of a part that stand in it as they are, field by field."""


def find_once(tables: Tables, words: str, limit: int = 20, mark: str = "") -> list[Found]:
    """The parts that answer best, best first, as `Index(tables).find` gives them."""
    tools = any(word.startswith(SPANNER[0]) or word.endswith("mm") for word in split(words))
    vocabulary, numbers = _words_of_book(tables, tools)
    asked = understand(words, vocabulary, numbers)
    meant = {word for one in asked for word in one.meanings}
    postings = _postings(tables, meant, tools)
    index = Index.of_one_question(tables, postings, CodeBook(tables.parts))
    return index.answer(words, asked, limit, mark)


def _words_of_book(tables: Tables, tools: bool) -> tuple[Vocabulary, NumberBook]:
    """All words in the order in which `Index` meets them, each text taken apart once.

    The words for spanners are left out where nothing begins as they do: they take longest.
    """
    vocabulary, numbers = Vocabulary(), NumberBook()
    seen: set[str] = set()
    for texts in _texts(tables, tools):
        if not seen.issuperset(texts):
            for text in texts:
                if text not in seen:
                    seen.add(text)
                    vocabulary.add(index_words(text))
    for part in tables.parts.values():
        for number in part.part_numbers:
            for text in (number.number, number.superseded_by):
                if plain := plain_number(text):
                    numbers.add(plain)
    return vocabulary, numbers


def _texts(tables: Tables, tools: bool) -> Iterator[tuple[str, ...]]:
    """The texts of all parts, some at a time, those of a bin and of a line of fasteners once."""
    bins: set[str] = set()
    lines: set[Fastener] = set()
    for part in tables.parts.values():
        yield (*_own_texts(part), standing_text(part))
        if (bag := bin_of(part)) not in bins:
            bins.add(bag)
            yield tuple(text for _, text in bin_texts(bag, tables.bins))
        yield tuple(text for _, text in inner_texts(part))
        for number in part.part_numbers:
            yield number.number, number.superseded_by
        for photo in part.photos:
            yield (photo.caption,)
        for line in part.fasteners:
            if line not in lines:
                lines.add(line)
                yield tuple(text for _, text in fastener_fields(line, tools))


def _postings(tables: Tables, meant: Collection[str], tools: bool) -> dict[str, dict[str, float]]:
    """Meant word → code → weight, over all parts that have it."""
    found: dict[str, dict[str, float]] = {word: {} for word in meant}
    look = _Look(tables.bins, frozenset(meant), tools)
    for part in tables.parts.values():
        for weights in look.at(part):
            for word, weight in weights.items():
                codes = found[word]
                if codes.get(part.code, 0.0) < weight:
                    codes[part.code] = weight
    return found


class _Look:
    """Looks for the meant words, in each text and each line of fasteners once."""

    def __init__(self, bins: Mapping[str, Bin], meant: frozenset[str], tools: bool) -> None:
        self._bins = bins
        self._meant = meant
        self._tools = tools
        self._figures = any(word.isdecimal() for word in meant)
        self._numbers = any(word.startswith(NUMBER_SIGN) for word in meant)
        self._texts: dict[str, dict[str, Weights]] = {field: {} for field in WEIGHTS}
        self._in_bins: dict[str, Weights] = {}
        self._lines: dict[Fastener, Weights] = {}

    def at(self, part: Part) -> Iterator[Weights]:
        """The meant words of a part, field by field; what has none is left out."""
        for field, text in self._plain_texts(part):
            if text and (here := self._in_text(field, text)):
                yield here
        if (bag := bin_of(part)) and (here := self._in_bin(bag)):
            yield here
        for line in part.fasteners:
            if here := self._in_line(line):
                yield here
        if self._figures:
            yield from self._in_figures(part)
        for number in part.part_numbers:
            yield from self._in_number(number.number)
            yield from self._in_number(number.superseded_by)

    @staticmethod
    def _plain_texts(part: Part) -> Iterator[tuple[str, str]]:
        """The (field, text) pairs that are of this part alone."""
        yield from zip(_OWN_FIELDS, _own_texts(part), strict=True)
        yield "state", standing_text(part)
        yield from inner_texts(part)
        for photo in part.photos:
            yield "note", photo.caption

    def _in_text(self, field: str, text: str) -> Weights:
        known = self._texts[field]
        if text not in known:
            known[text] = self._met(((field, text),))
        return known[text]

    def _in_bin(self, code: str) -> Weights:
        if code not in self._in_bins:
            self._in_bins[code] = self._met(bin_texts(code, self._bins))
        return self._in_bins[code]

    def _in_line(self, line: Fastener) -> Weights:
        if line not in self._lines:
            met = dict(self._met(fastener_fields(line, self._tools)))
            whole = thread_word(line.thread)
            if line.thread and whole in self._meant:
                met[whole] = max(WEIGHTS["thread"], met.get(whole, 0.0))
            self._lines[line] = met
        return self._lines[line]

    def _in_figures(self, part: Part) -> Iterator[Weights]:
        for field, figure in (
            ("code", str(int(part.code.split("-")[1]))),
            ("count", str(part.quantity) if part.quantity > 1 else ""),
        ):
            if figure in self._meant:
                yield {figure: WEIGHTS[field]}

    def _in_number(self, text: str) -> Iterator[Weights]:
        yield self._in_text("part number", text)
        if self._numbers and (sign := NUMBER_SIGN + plain_number(text)) in self._meant:
            yield {sign: WEIGHTS["part number"]}

    def _met(self, texts: Iterable[tuple[str, str]]) -> Weights:
        best: dict[str, float] = {}
        for field, text in texts:
            weight = WEIGHTS[field]
            for _, word in index_words(text):
                if word in self._meant and best.get(word, 0.0) < weight:
                    best[word] = weight
        return best
