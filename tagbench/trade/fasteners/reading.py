"""Reads fasteners as people type them: all that is understood, the rest word for word.

Nothing is refused but control characters, nothing typed is lost, and nothing with two readings
is guessed: such a word is offered as a choice and stays a word until somebody has chosen.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners.abroad import in_full
from tagbench.trade.fasteners.asides import Aside, beside, set_apart
from tagbench.trade.fasteners.choices import WordChoice, with_chosen
from tagbench.trade.fasteners.corrections import corrected
from tagbench.trade.fasteners.counts.abroad_first import counts_first
from tagbench.trade.fasteners.counts.whole import says_both, says_total, take_apart
from tagbench.trade.fasteners.dictated import in_signs
from tagbench.trade.fasteners.figures_kept import with_figures
from tagbench.trade.fasteners.hole_phrases import HoleGroup, hole_groups
from tagbench.trade.fasteners.length_lists import ends_in_item, is_item, is_thread
from tagbench.trade.fasteners.listed_parts import THINGS, joined_parts, listed_parts
from tagbench.trade.fasteners.meaning import read_line
from tagbench.trade.fasteners.none_said import is_nothing, says_missing, says_none
from tagbench.trade.fasteners.note_layouts import laid_out
from tagbench.trade.fasteners.options import Option, shared_words
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.items import parse_items
from tagbench.trade.fasteners.parser.lines import parse_lines
from tagbench.trade.fasteners.parser.multiplied import (
    ask_excepted,
    ask_extra,
    ask_good_ones,
    ask_multiplied,
)
from tagbench.trade.fasteners.parser.pieces import count_piece
from tagbench.trade.fasteners.parser.prepared_words import LIKELY_COUNT
from tagbench.trade.fasteners.parser.whole_counts import fits_hands, with_whole_counts
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.plain_signs import plain_signs
from tagbench.trade.fasteners.referring import refers_back
from tagbench.trade.fasteners.remark_clauses import DEGREES, is_state_counted
from tagbench.trade.fasteners.sentences import in_clauses
from tagbench.trade.fasteners.thing_or_remark import REMARK, thing_or_remark, with_choice
from tagbench.trade.fasteners.tidying import tidy
from tagbench.trade.fasteners.tokens import count_alone, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold_words, open_thread
from tagbench.trade.fasteners.whole_remarks import is_remark

__all__ = [
    "FastenerReading",
    "NotUnderstood",
    "Option",
    "WordChoice",
    "read_fasteners",
    "typed_lines",
]

#: No bag note is longer; what is pasted by mistake is refused before it is read.
LONGEST = 4000
#: What is said of all that stood before.
_OF_ALL = re.compile(r"\s*(?:all|alle|tous|toutes|todos|todas|tutti|tutte)\s(?=\S)", re.IGNORECASE)
_BLANKS = re.compile(r"[ \t]{2,}")
#: What is as in the line before: `; 2 ditto x 30`.
_DITTO = re.compile(r"\s*(?:[0-9]{1,2}\s?x?\s)?(?:ditto|dito|do\.|idem)(?=\s|$)", re.IGNORECASE)
#: What is said of the line before: `; length 32`.
_GOES_ON = re.compile(
    r"\s*(?:length|long|lg|head|drive|grade|finish|material|torque|spanner|AF)\b[\s:=]*[0-9A-Z]",
    re.IGNORECASE,
)
_NO_PICKS: Mapping[str, str] = MappingProxyType({})


class NotUnderstood(BadInput):
    """A text that cannot be kept as fasteners at all; it holds control characters."""


class FastenerReading(msgspec.Struct, frozen=True):
    """What was understood of a text."""

    text: str
    """The text as it was typed."""
    lines: tuple[Fastener, ...]
    """A record for each line of fasteners."""
    choices: tuple[WordChoice, ...] = ()
    """The words with two readings, in the order in which they stand."""
    kept_words: tuple[str, ...] = ()
    """The words not understood, by line; empty for a line that was understood whole."""
    none: tuple[str, ...] = ()
    """What says that there are no fasteners, with the words beside it: a note on the part."""

    @property
    def whole(self) -> bool:
        """Whether everything was understood."""
        return not any(self.kept_words)

    @property
    def asks(self) -> tuple[WordChoice, ...]:
        """The choices that are still open."""
        return tuple(choice for choice in self.choices if not choice.taken)

    def answer(self) -> tuple[str, ...]:
        """Sentences for an answer where nobody can be asked: what was kept, what was assumed."""
        said = [self._open(choice) for choice in self.asks]
        doubtful = {choice.token for choice in self.asks}
        remarks = {choice.line for choice in self.asks if choice.options[0].meaning == REMARK}
        for at, words in enumerate(self.kept_words):
            rest = "" if at in remarks else words
            for token in doubtful:
                rest = rest.replace(token, " ", 1)
            if rest.strip():
                said.append(f"“{' '.join(rest.split())}” was not understood and is kept as words.")
        for line in self.lines:
            said += [f"Taken as: {one}." for one in line.chosen]
            if open_thread(line):
                said.append(
                    f"The thread of “{line.called or line.kind}” is not yet known; measure it."
                )
        said += [f"“{words}”: no fasteners; the words are kept as a note." for words in self.none]
        return tuple(dict.fromkeys(said))

    def note(self, before: str = "") -> str:
        """The note of the part, with what says that it has no fasteners behind it."""
        return "; ".join(filter(None, (before.strip(), *self.none)))

    def _open(self, choice: WordChoice) -> str:
        """The sentence for a choice that nobody has made."""
        words = "".join(self.kept_words[choice.line : choice.line + 1])
        counts = all(option.meaning.startswith("count:") for option in choice.options)
        if counts and choice.token not in words:
            many = self.lines[choice.line].quantity
            return f"“{choice.token}” does not say how many there are; {many} written down."
        return f"“{choice.token}” can mean {_either(choice)}; it is kept as words."


def _either(choice: WordChoice) -> str:
    shared = shared_words(choice.options)
    *first, last = shared.each
    either = f"{', '.join(first)} or {last}" if first else last
    return f"{shared.before}{either}{shared.behind}"


def read_fasteners(text: str, picks: Mapping[str, str] = _NO_PICKS) -> FastenerReading:
    """All fasteners of a text, separated with `;`, line ends, or as people list them.

    `picks` holds what was chosen so far: `WordChoice.token` → `Option.meaning`, or `words` to leave
    the word as it stands. NotUnderstood only for control characters and far too long a text.
    """
    _check(text)
    read = _Read(picks)
    plainly, stamps = laid_out(in_signs(_BLANKS.sub(" ", text)))
    read.none += stamps
    in_holes = False
    for piece in typed_lines(plainly):
        if is_nothing(piece):
            read.none += [piece] if " " in piece else []  # bare `none` says no more than nothing
            continue
        groups = hole_groups(piece, goes_on=in_holes)
        in_holes = bool(groups)
        if groups:
            _read_holes(groups, picks, piece, read.lines, read.choices)
        else:
            _read_listed(piece, read)
    kept = tuple(line.words for line in read.lines)
    return FastenerReading(text, tuple(read.lines), tuple(read.choices), kept, tuple(read.none))


class _Read(msgspec.Struct):
    """What was read so far."""

    picks: Mapping[str, str]
    lines: list[Fastener] = msgspec.field(default_factory=list)
    choices: list[WordChoice] = msgspec.field(default_factory=list)
    none: list[str] = msgspec.field(default_factory=list)


def _read_listed(piece: str, read: _Read) -> None:
    """Reads a piece; parts in a list each for itself, where that was chosen."""
    plain, *others = counts_first(in_clauses(in_full(plain_signs(piece)))).splitlines()
    for part in (plain, *others) if others else ():
        _read_piece(part, part, read)
        plain = ""
    for part in joined_parts(plain) if "+" in plain or "&" in plain else ():
        _read_piece(part, part, read)
        plain = ""
    if not plain:
        return
    listed = listed_parts(plain) if "," in plain else None
    first = len(read.lines)
    choice = listed.choice(first, read.picks) if listed is not None else None
    if listed is not None and choice is not None and choice.taken == THINGS:
        for part in listed.pieces:
            _read_piece(part, in_clauses(part), read)
    else:
        _read_piece(piece, plain, read, asked=choice is not None)
        if listed is not None and listed.is_booked(read.lines[first:]):
            return
    if choice is not None and len(read.lines) > first:
        read.choices.append(choice)
        read.lines[first] = with_chosen(read.lines[first], choice)


def _read_piece(piece: str, plain: str, read: _Read, *, asked: bool = False) -> None:
    """Adds what a piece of a note says, `plain` in plain signs and words; `asked`: whether it is a
    thing is asked already."""
    lines, choices, none = read.lines, read.choices, read.none
    if is_remark(plain) or says_missing(plain):
        none.append(piece)
        return
    found, asides = _parsed(corrected(plain))
    if says_none(piece) and not any(map(_is_there, found)):
        none.append(piece)
        return
    first = len(lines)
    _read(found, read.picks, piece, lines, choices)
    with_all = with_figures(found[0].text, lines[first:])
    lines[first:] = beside(with_all, found, asides)
    counted = asked or any(choice.line == first for choice in choices)
    remark = thing_or_remark(piece, found, lines[first], first, read.picks, counted=counted)
    if remark is None:
        return
    choices.append(remark)
    lines[first] = with_choice(lines[first], remark)
    if remark.taken == REMARK:
        none.append(piece)
        choices[:] = [one for one in choices if one.line < first or one is remark]
        del lines[first:]


def _parsed(note: str) -> tuple[list[ParsedLine], tuple[Aside, ...]]:
    """The lines of a note in plain signs, and what stands beside them.

    What is said of all pieces together is written into the lines where it fits them; where it does
    not, the note is parsed with it as with any other words.
    """
    told, said = take_apart(note)
    plain, asides = _parsed_as_typed(note)
    if told == note or fits_hands(plain, said):
        return plain, asides
    lines, beside_them = _parsed_as_typed(told) if told else ([], ())
    named = any(map(_is_there, lines)) or (bool(lines) and says_both(said))
    counted = with_whole_counts(lines, said) if named else None
    return (plain, asides) if counted is None else (counted, beside_them)


def _parsed_as_typed(note: str) -> tuple[list[ParsedLine], tuple[Aside, ...]]:
    core, asides = set_apart(note)
    placed = any(one.role == "place" and not one.before for one in asides)
    lines = parse_items(tidy(core), placed=placed)
    ask_multiplied(note, lines)
    ask_excepted(note, lines)
    ask_extra([one.text for one in asides if one.role == "words"], lines)
    ask_good_ones([one.text for one in asides if one.role == "words"], lines)
    return lines, asides


def _is_there(line: ParsedLine) -> bool:
    """Whether a line names a thing for certain."""
    sized = bool(line.thread or line.figures or line.gauge or line.bearing)
    return sized or bool(line.kind or line.count)


def _read(
    found: Sequence[ParsedLine],
    picks: Mapping[str, str],
    piece: str,
    lines: list[Fastener],
    choices: list[WordChoice],
) -> None:
    """Adds a record for each line; a nut or washer on the fastener before it counts by that."""
    holder: ParsedLine | None = None
    many, of_all = 1, 0
    for parsed in found:
        if parsed.sits_on and holder is not None:
            count_piece(parsed, holder, many)
            if many == 1 < of_all and parsed.surely_plural:
                parsed.count, parsed.asked = of_all, (parsed.kind_words, (of_all, 1))
        said = piece if len(found) == 1 else parsed.text[parsed.start : parsed.end].strip(" ,;+&")
        line, open_ones = read_line(parsed, len(lines), picks, said)
        if not parsed.sits_on:
            of_all += line.quantity  # 3 M8x30, 1 M8x40, with nuts
            holder, many = parsed, line.quantity
        lines.append(line)
        choices += open_ones


def _read_holes(
    groups: Iterable[HoleGroup],
    picks: Mapping[str, str],
    piece: str,
    lines: list[Fastener],
    choices: list[WordChoice],
) -> None:
    """Adds a line for each sort of screw with its holes; what stands before it with a comma is a
    line of its own, without holes."""
    for group in groups:
        found = parse_lines(tidy(group.screw))
        for parsed in found:
            line, open_ones = read_line(parsed, len(lines), picks, piece)
            if parsed is found[-1]:
                place = ", ".join(filter(None, [line.place, group.place]))
                line = msgspec.structs.replace(line, place=place)
            lines.append(line)
            choices += open_ones


def typed_lines(text: str) -> list[str]:
    """The text cut at `;` and line ends that stand in no parentheses, brackets or quotes.

    NotUnderstood when it holds control characters or is far too long.
    """
    _check(text)
    pieces: list[str] = []
    for row in map(_in_single_blanks, text.splitlines()):
        depth, cut = 0, [""]
        closes = row.count(")") + row.count("]") + row.count("”")
        for sign in row:
            depth += (sign in "([“") - (sign in ")]”" and depth > 0)
            closes -= sign in ")]”"
            if sign == ";" and (depth == 0 or not closes):
                cut.append("")
                depth = 0
            else:
                cut[-1] += sign
        for piece in cut:
            listed = bool(pieces) and ends_in_item(pieces[-1])
            if listed and (is_item(piece) or is_thread(piece)):
                pieces[-1] += f", {piece.strip()}"  # M6: 3 x 25; 2 x 40
            elif pieces and _is_sum(pieces[-1], piece):
                pieces[-1] += f": {piece.strip()}"  # 8 screws; 4 M5x10, 4 M5x16
            elif pieces and (
                _OF_ALL.match(piece)
                or _DITTO.match(piece)
                or _GOES_ON.match(piece)
                or patterns()["unknown_thread"].fullmatch(piece.strip())
                or _is_count(piece.strip())
                or is_state_counted(tokens(_FIRST_CLAUSE.split(piece.strip())[0]))
                or _is_state_of_some(_FIRST_CLAUSE.split(piece.strip())[0])
                or refers_back(_FIRST_CLAUSE.split(piece.strip())[0], pieces[-1])
            ):
                pieces[-1] += f", {piece.strip()}"  # says it of the line before
            else:
                pieces.append(piece)
    return _without_numbers([piece.strip() for piece in pieces if piece.strip(" ;,")])


def _without_numbers(pieces: list[str]) -> list[str]:
    """The pieces without the numbers of a list: 1) impeller; 2) key; 3) bolts."""
    numbers = [_LISTED.match(piece) for piece in pieces]
    counted = [int(found[1]) if found is not None else 0 for found in numbers]
    if len(pieces) > 1 and counted == [*range(1, len(pieces) + 1)]:
        return [_LISTED.sub("", piece, count=1) for piece in pieces]
    return pieces


def _in_single_blanks(row: str) -> str:
    return re.sub(r"\s+", " ", row)


def _is_sum(whole: str, parts: str) -> bool:
    """Whether a piece is nothing but a count and a name, and the next one counts its parts."""
    found = re.fullmatch(r"\s*([0-9]{1,2})x?\s[^\W\d_]+\s*", whole)
    counts = re.findall(r"(?:^|,|&|\band\b)\s*([0-9]{1,2})(?=x?\s|x?M)", parts)
    return found is not None and len(counts) > 1 and int(found[1]) == sum(map(int, counts))


def _is_count(piece: str) -> bool:
    """Whether a piece says nothing but how many: the `4 off` of `seat bolts; 4 off`."""
    return (bool(count_alone(piece)) and not piece.isalpha()) or says_total(piece)


#: The number of a thing in a list.
_LISTED = re.compile(r"([1-9][0-9]?)[.)]\s+(?=\S)")
#: Behind it another clause begins.
_FIRST_CLAUSE = re.compile(r",|\s-\s|\(|\.(?:\s|$)")
#: What may stand between how many and their state.
_LINKS = frozenset(
    ("off", "out", "up", "through", "is", "are", "was", "ist", "sind", "est", "sont", "es")
)


def _is_state_of_some(piece: str) -> bool:
    """Whether a piece says nothing but how some are that were counted: `; one slightly bent`."""
    count, *words = fold_words(piece.strip(" .")) or [""]
    few = count in bench_words("count") or (count.isdecimal() and 0 < int(count) < LIKELY_COUNT)
    states = {*bench_words("condition"), *bench_words("absent")}
    return few and bool(states & set(words)) and set(words) <= states | DEGREES | _LINKS


def _check(text: str) -> None:
    if len(text) > LONGEST:
        raise NotUnderstood(
            f"{len(text)} characters are too many for fasteners; type at most {LONGEST}."
        )
    for sign in text:
        if unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\r\t":
            raise NotUnderstood(
                "The text holds a control character; type the fasteners without it."
            )
