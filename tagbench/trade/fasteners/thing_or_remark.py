"""Whether a note that names no fastener is a thing of the bag or only a remark: that is asked.

`ask who has the key` in a bag is no piece of it; `fuse 15A` is one. Booked as a piece, a remark
would be missed at the end; left out, a thing would be.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import msgspec

from tagbench.records import Fastener
from tagbench.trade.fasteners.choices import WordChoice, with_chosen
from tagbench.trade.fasteners.clauses import clauses_of
from tagbench.trade.fasteners.counts.here import says_left_of
from tagbench.trade.fasteners.none_said import is_nothing
from tagbench.trade.fasteners.not_here import begins_gone, begins_to_get, is_still_there
from tagbench.trade.fasteners.options import Option
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.plain_signs import plain_signs
from tagbench.trade.fasteners.remark_clauses import begins_chore, is_state_counted
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold
from tagbench.trade.fasteners.whole_remarks import is_part_in_state

#: What is chosen when a note names no thing of the bag.
REMARK = "remark"
THING = "thing"
#: Words of these roles say something of a thing, and name none.
_SAYING = ("verb", "negation", "absent", "comparative", "ditto", "others", "facing")


def thing_or_remark(
    note: str, parsed: Sequence[ParsedLine], line: Fastener, at: int, picks: Mapping[str, str],
    *, counted: bool,
) -> WordChoice | None:  # fmt: skip
    """The choice for the only line of a note; None where it surely is a thing.

    `counted`: something else is asked of it, which nobody asks of a remark.
    """
    if len(parsed) != 1 or "“" in note:
        return None
    gone = (
        _is_of_holes(parsed[0])
        or _is_gone(parsed[0])
        or begins_to_get(note)
        or is_state_counted(tokens(next(iter(clauses_of(plain_signs(note))), ("", ""))[1]))
        or (parsed[0].count is None and not _is_sized(line) and _begins_empty(note))
    )
    if not (gone or (not counted and _is_remark(note, parsed, line))):
        return None
    options = (
        Option("only a remark", REMARK),
        Option("a thing in the bag", THING),
    )
    picked = picks.get(note, "")
    taken = picked if picked in (REMARK, THING) else ""
    return WordChoice(at, note, options, taken)


def with_choice(line: Fastener, choice: WordChoice) -> Fastener:
    """The line with its words as they were typed, not torn into words and a place, and with what
    was chosen."""
    if line.kind == "other" and not _is_sized(line):
        line = msgspec.structs.replace(line, words=choice.token, place="")
    return with_chosen(line, choice)


def _is_sized(line: Fastener) -> bool:
    size = line.diameter if line.diameter is not None else line.length
    return bool(line.thread or line.number or size is not None)


#: So many words may stand before what says that it is gone: fixing screw lost.
_FEW = 2


def _is_gone(parsed: ParsedLine) -> bool:
    """`2 screws missing from cover`: whether they are in the bag is not said."""
    there = is_still_there(parsed.text) and not (parsed.thread or parsed.count)
    if parsed.thread and parsed.count:
        return False  # 2x 6-32 screws, lost 1
    if parsed.count and any(map(says_left_of, parsed.words)):
        return False  # screws missing 2 of 6
    first = parsed.words[: 1 if parsed.count else _FEW]
    return parsed.asked is None and (there or any(map(begins_gone, first)))


def _is_of_holes(parsed: ParsedLine) -> bool:
    """`2 holes M7 stripped` names no screw."""
    named = parsed.kind not in ("", "other") or parsed.head or parsed.drive
    return not named and any(map(_HOLES.match, parsed.words[:1]))


_HOLES = re.compile(
    r"(?:[1-9][0-9]?|one|two|three|four)?\s?(?:holes?|löcher|loch|trous?|agujeros?|fori|foro)\b",
    re.IGNORECASE,
)


def _begins_empty(note: str) -> bool:
    """`nothing left in here, bolts refitted`."""
    _, first = next(iter(clauses_of(plain_signs(note))), ("", ""))
    return is_nothing(first)


def _is_remark(note: str, parsed: Sequence[ParsedLine], line: Fastener) -> bool:
    """Whether it names no fastener and says something: `ask who has the key`."""
    if line.kind != "other" or parsed[0].count is not None:
        return False
    found = [token for token in tokens(plain_signs(note)) if token.kind != "join"]
    words = [fold(word) for token in found for word in token.text.split()]
    if len(words) < _FEWEST:
        return False
    begins = found[1:] if words[0] in _TO_DO else found
    _, first = next(iter(clauses_of(plain_signs(note))), ("", ""))
    if is_part_in_state(tokens(first)):
        return True  # belt worn
    tells = begins_chore(begins) or any(words[0] in bench_words(role) for role in ("verb", "all"))
    shouted = note.rstrip().endswith(("!", "?")) and len(words) > _FEWEST
    saying = shouted or any(word in bench_words(role) for word in words for role in _SAYING)
    return tells or (saying and not _is_sized(line) and not line.material)


#: They stand before what is to be done: à nettoyer, zu reinigen.
_TO_DO = frozenset(("a", "zu", "da", "por", "to"))
#: A single word is a thing, or a remark that is known as one.
_FEWEST = 2
