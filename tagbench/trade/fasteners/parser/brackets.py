"""What stands in brackets: how many, a size, a material, a tool or a standard, else a place."""

from __future__ import annotations

import re
from collections.abc import Sequence

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.parser.counts import count_lock, note_each, note_per_side
from tagbench.trade.fasteners.parser.prepared import prepared
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import ParserState, tells_sort
from tagbench.trade.fasteners.tokens import Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold


def add_brackets(state: ParserState, token: Token) -> int:
    """Takes what stands in brackets: how many, a thread, a tool or a standard, else a place."""
    named = token.name.rstrip(".")
    inner = prepared(tokens(named), named) if named else []
    if len(inner) == 1 and _add_bracketed(state, inner[0]):
        return 1
    if _add_bracketed_size(state, inner):
        return 1
    line, count = state.line, count_alone(token.name)
    if not count and line.count is None and _count_in(inner):
        line.count = _count_in(inner)
        first = 2 if inner[1].name in (",", ";") else 1
        rest = named[inner[first].start :] if len(inner) > first else ""
        return add_brackets(state, msgspec.structs.replace(token, name=rest)) if rest else 1
    if count:
        _add_bracketed_count(state, token, count)
    elif inner and all(one.kind == "tool" for one in inner):
        line.tools += [one.name for one in inner]
    elif _MEASURED.fullmatch(token.name):
        line.place.append(token.name)
        line.bracketed = True
    elif _says_state(line, inner):
        pass
    elif _holds_figures(inner) or not any(map(str.isalpha, token.name)):
        line.words.append(state.text[token.start : token.end])
    elif token.name:
        line.place.append(token.name)
        line.bracketed = True
    return 1


def _count_in(inner: Sequence[Token]) -> int:
    """The 2 of `(2 off, ISO 8752)`."""
    if len(inner) < 2:
        return 0
    if inner[0].numbers and not (inner[0].cross or inner[0].behind):  # (4 front)
        placed = all(one.entry and one.entry.place for one in inner[1:])
        placed = placed and fold(inner[1].text) not in ("o'clock", "oclock", "uhr")
        return inner[0].numbers[0].whole if placed and len(inner[0].numbers) == 1 else 0
    if inner[0].kind != "count" or inner[0].name:
        return 0
    unit = inner[0].text[-1:].isalpha() and inner[0].text[-1] not in "xX"  # (5 pcs 0.1 to 0.5)
    return inner[0].count if unit or inner[1].name in (",", ";") else 0


#: Places in millimetres: 0 0; 40.5 12.
_AT = r"-?[0-9]+(?:[.,][0-9]+)? +-?[0-9]+(?:[.,][0-9]+)?"
_MEASURED = re.compile(rf"{_AT}(?:(?:; *| and ){_AT})*")


def _says_state(line: ParsedLine, inner: Sequence[Token]) -> bool:
    """Takes the bronze and the worn of `nut (bronze, worn)`: what it is made of, and how it is."""
    said = [one for one in inner if one.kind != "join" and one.text.strip("?!. ")]
    metals = [one for one in said if one.entry and one.entry.material and not one.entry.kind]
    states = [one for one in said if fold(one.text.strip("?!. ")) in bench_words("condition")]
    sides = any(tells_sort(one) for one in said)
    if not states or sides or len(metals) + len(states) < len(said) or len(metals) > 1:
        return False
    line.material += [one.entry.material for one in metals if one.entry is not None]
    line.words += [one.text for one in inner if one not in metals and one.kind != "join"]
    return True


def _holds_figures(inner: Sequence[Token]) -> bool:
    """The 70, 70, 45 of `allen bolts M6 (70, 70, 45)` say something, but no place; nor does what
    compares it with another: `(longer one on the speedo side)`."""
    if inner and fold(inner[0].text) in bench_words("comparative"):
        return any(one.entry is not None and one.entry.opens for one in inner)
    if not inner or any(fold(one.text) in ("o'clock", "oclock", "uhr") for one in inner):
        return False
    first = inner[0]
    named = is_unread(first) or (
        first.entry is not None and (first.entry.place or first.entry.opens)
    )
    counts = any(one.count and one.name != "word" for one in inner)  # one end is a place
    return not named and (counts or any(one.numbers or one.thread for one in inner))


def _add_bracketed(state: ParserState, said: Token) -> bool:
    """Takes the only thing in brackets, if it says something of the line."""
    line = state.line
    if said.name in ("each", "sets"):
        note_each(state, said)
    elif said.name == "per side":
        note_per_side(state, said)
    elif said.thread is not None and line.thread is None:
        line.thread, line.thread_text = said.thread, said.text
    elif _describes(line, said):
        pass
    elif line.thread is not None and not line.figures and _is_measure(said):
        line.figures = [Figure(said, True, bool(line.kind), True)]  # 2 short M6 (20mm)
    elif said.kind == "handed" and "left" in said.text.lower():
        line.handed.append((said, True))
    elif said.kind == "standard" and not line.standard:
        line.standard = said.name
    else:
        return False
    return True


def _is_measure(token: Token) -> bool:
    one = token.numbers[0] if len(token.numbers) == 1 else None
    return one is not None and bool(one.unit) and not token.cross


def _add_bracketed_size(state: ParserState, inner: Sequence[Token]) -> bool:
    """The M6x60 of `3 long allens (M6x60)`."""
    line = state.line
    if len(inner) != 2 or line.thread is not None or line.figures:
        return False
    first, second = inner
    if first.thread is None or not second.numbers or second.cross != "tight":
        return False
    line.thread, line.thread_text = first.thread, first.text
    line.figures = [Figure(second, True, bool(line.kind), True)]
    return True


def _describes(line: ParsedLine, token: Token) -> bool:
    """Takes the (brass) or the (int) of a line that has none yet."""
    entry = token.entry
    if entry is None or entry.kind or entry.locks or fold(token.text) == "rh":
        return False
    if entry.material and not line.material:
        line.material.append(entry.material)
    elif entry.head and not line.head:
        line.head = entry.head
    elif entry.drive and not line.drive:
        line.drive = entry.drive
    else:
        return False
    return True


def _add_bracketed_count(state: ParserState, token: Token, count: int) -> None:
    line = state.line
    if count_lock(state, count, bracketed=True):
        return
    again = line.count is not None and line.asked is None and not _begins_next(state, token)
    if again and line.words and line.count != count:
        line.words.append(token.text)  # thin (2) full (4)
        line.asked = token.text, ((line.count or 0) + count, line.count or 0)
        return
    if line.thing and line.count is not None and _begins_next(state, token):
        state.new(token.start).count = count
    elif line.count is None:
        line.count = count
    else:
        line.place.append(token.name)
        line.bracketed = True


def _begins_next(state: ParserState, token: Token) -> bool:
    """The second (2) of `(2) 5/16 x 1 hex, (2) 5/16 x 2 hex` counts what follows."""
    follower = next((one for one in state.tokens if one.start >= token.end), None)
    return (
        bool(state.join)
        and follower is not None
        and (
            follower.kind in ("thread", "numbers", "gauge")
            or bool(follower.entry and follower.entry.kind)
        )
    )
