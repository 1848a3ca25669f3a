"""The record of one line while its figures are read, and the choices that are offered in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners.options import Option, of_them
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.tokens import Number
from tagbench.trade.quantities.shown import inch_fraction
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.thread import Thread

#: Most pieces that a lone figure may be the count of.
#: So many are likely to be counted by a lone figure behind what they are.
_FEW = 12
MOST_PIECES = 60
#: Known by what they go round: 12-20 is a range and no thread.
GRIPS = ("hose clip", "clamp", "clip")
WORD_SIZES = MappingProxyType(
    {"long": "length", "thick": "thickness", "across": "diameter", "outside": "diameter"}
)
#: A bare number behind an inch thread is inches up to here.
INCHES_AT_MOST = 6


class WordChoice(msgspec.Struct, frozen=True):
    """A word with two readings, best first."""

    line: int
    """Which line of the reading, from 0."""
    token: str
    """The doubtful word as typed; the key in `picks`."""
    options: tuple[Option, ...]
    """The readings, best first; leaving it as a word is always possible too."""
    taken: str
    """The meaning that stands in the record; empty while the word is kept as it is."""


def with_chosen(line: Fastener, choice: WordChoice) -> Fastener:
    """The line with what was chosen, if anything was."""
    says = [one.says for one in choice.options if one.meaning == choice.taken]
    told = (f"“{choice.token}”: {one}" for one in says)
    return msgspec.structs.replace(line, chosen=(*line.chosen, *told))


class Meaning(msgspec.Struct):
    """The record of one line while its figures are read."""

    line: ParsedLine
    at: int
    picks: Mapping[str, str]
    fields: dict[str, object] = msgspec.field(default_factory=dict)
    choices: list[WordChoice] = msgspec.field(default_factory=list)
    chosen: list[str] = msgspec.field(default_factory=list)
    thread: Thread | None = None
    words: list[str] = msgspec.field(default_factory=list)

    # what is sure

    def count(self, many: int) -> None:
        """Sets how many there are. A nought counts no pieces: it is kept as it was typed."""
        if many:
            self.fields["quantity"] = many
        else:
            self.words.append("0")

    def size(self, field: str, number: Number) -> None:
        """Sets diameter, length or thickness; all of a line stand in one unit."""
        unit = number.unit or ("in" if "/" in number.text or self._in_inches(number) else "mm")
        value = number.value
        if not value:
            self.words.append(number.text)
            return
        have = self.fields.get("length_unit")
        if have is None:
            self.fields["length_unit"] = have = unit
        if have != unit:
            factor = Fraction("25.4")
            value = value * factor if have == "mm" else value / factor
        self.fields[field] = float(value) if have == unit else round(float(value), 6)

    def _in_inches(self, number: Number) -> bool:
        """Whether a bare figure stands among inches: the 1 of `1/2 ID x 1 OD x 1/16`."""
        if self.thread is not None or number.value > INCHES_AT_MOST:
            return False
        among = [one for figure in self.line.figures for one in figure.token.numbers]
        return any("/" in one.text or one.unit == "in" for one in among)

    def doubt(self, token: str, options: Iterable[Option], assume: bool = False) -> None:
        """A word with several readings: the one picked, or the first when that may be assumed."""
        offered = tuple(dict.fromkeys(options))
        assume = assume or self._is_only_count(offered)
        known = {option.meaning: option for option in offered}
        picked = self.picks.get(token, "")
        taken = (
            picked
            if picked in known
            else offered[0].meaning
            if assume and offered and picked != "words"
            else ""
        )
        if taken:
            self.apply(taken)
            self.chosen.append(f"“{token}”: {known[taken].says}")
        else:
            self.words.append(token)
        if offered:
            self.choices.append(WordChoice(self.at, token, offered, taken))

    def _is_only_count(self, offered: tuple[Option, ...]) -> bool:
        """Whether a figure can be nothing but how many there are, which nobody has said yet."""
        line = self.line
        free = line.count is None and "quantity" not in self.fields and not line.per_side
        says = offered[0].meaning if len(offered) == 1 else ""
        if not says.startswith("count:") or "|" in says or not free:
            return False
        few = int(says.removeprefix("count:")) <= _FEW
        return (
            few and line.kind != "other" and line.surely_plural and "per " not in line.text.lower()
        )

    def apply(self, meaning: str) -> None:
        """Writes one meaning into the record."""
        for part in meaning.split("|"):
            field, _, value = part.partition(":")
            if field == "count":
                self.count(int(value))
            elif field in ("length", "diameter", "thickness"):
                figure, unit = value.rsplit(" ", 1)
                self.size(field, Number(_fraction(figure), figure, unit))
            elif field == "thread":
                self.set_thread(value)
            elif field == "tool":
                self.fields["tool"] = value
            else:
                self.fields[field] = value

    def set_thread(self, designation: str) -> None:
        """The thread of the line by its standard name."""
        self.fields["thread"] = designation
        try:
            self.thread = parse_thread(designation)
        except BadInput:
            self.thread = None


def _fraction(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.replace(" ", "-").split("-")), Fraction(0))


def mm(number: Number) -> str:
    return f"{float(number.value):g}"


def count_options(said: Meaning, number: Number) -> list[Option]:
    taken = said.line.count is not None or "quantity" in said.fields
    if taken or not 0 < number.whole <= MOST_PIECES:
        return []
    return [of_them(number.whole)]


def plain(number: Number) -> str:
    return inch_fraction(number.value) or f"{float(number.value):g}"


def with_unit(number: Number, unit: str) -> str:
    """`5.5 mm`, `1-1/4 in`: as a size is said and handed back."""
    return f"{mm(number) if unit == 'mm' else plain(number)} {unit}"
