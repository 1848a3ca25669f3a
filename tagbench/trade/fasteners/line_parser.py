"""Parses the tokens of a text into lines of fasteners: which token belongs to which line."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, Lock, ParsedLine
from tagbench.trade.fasteners.shared_words import share_words
from tagbench.trade.fasteners.thread_words import Option, ThreadFound
from tagbench.trade.fasteners.tokens import Number, Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    THREADED_KINDS,
    Entry,
    bench_words,
    fold,
    nearest_word,
)

#: Joints behind which an item belongs to the fastener before it.
_BELONGS = frozenset(
    ("+", "&", "with", "plus", "c/w", "w/", "w", "mit", "avec", "con", "incl", "including")
)
#: Nobody writes a larger count on a bag.
_MOST = 250
_SIZES = ("thread", "numbers", "gauge")
#: Below this a lone figure behind a screw is a count, not a length in mm.
_SHORTEST = 8
#: Behind thread and length a lone figure up to here is a count, above it another length.
_LIKELY_COUNT = 12
_PAIR = 2
#: A line may repeat what locks it so often: two copper washers on a banjo bolt.
_REPEATED_AT_MOST = 4


def parse_lines(text: str) -> list[ParsedLine]:
    """The lines that one piece of a text holds, without their figures being read yet."""
    return LineParser(text, tokens(text)).parse()


class LineParser:
    """Walks over the tokens and hands each to the line it belongs to."""

    def __init__(self, text: str, found: list[Token]) -> None:
        self._text = text
        self._tokens = _parted(found)
        self._lines: list[ParsedLine] = []
        self._join = ""
        self._before: Token | None = None
        self._lock: Lock | None = None
        self._lock_token: Token | None = None
        self._repeat = 0

    def parse(self) -> list[ParsedLine]:
        self._new(0)
        at = 0
        while at < len(self._tokens):
            at = self._take(at)
        lines = [
            line
            for line in self._lines
            if line.core
            or line.count
            or line.torque
            or line.notes
            or line.tools
            or line.grade
            or line.locks
        ]
        if not lines:  # small words alone say nothing, and are kept all the same
            lines = [ParsedLine(self._text, 0, len(self._text), words=[self._text])]
        return share_words(lines)

    @property
    def _line(self) -> ParsedLine:
        return self._lines[-1]

    def _new(self, start: int) -> ParsedLine:
        self._lines.append(ParsedLine(self._text, start, start))
        self._join, self._lock, self._repeat, self._before = "", None, 0, None
        return self._lines[-1]

    def _peek(self, at: int) -> Token | None:
        return self._tokens[at] if at < len(self._tokens) else None

    def _take(self, at: int) -> int:
        token = self._tokens[at]
        line = self._line
        if token.kind == "join":
            self._join = token.name.lower().strip()
            if self._join == ":" and not (line.kind or line.thread or line.count):
                self._words_are_place()
            return at + 1
        used = self._dispatch(token, at)
        self._line.end = max(self._line.end, self._tokens[at + used - 1].end)
        self._before = self._tokens[at + used - 1]
        if token.kind not in ("count", "numbers") or not self._repeat:
            self._join = "" if token.kind != "count" else self._join
        return at + used

    def _words_are_place(self) -> None:
        """`clutch cover: 4x M6x20` names the place first."""
        line = self._line
        if line.words or line.place:
            said = self._text[line.start : line.end].strip(" :")
            line.place, line.words = [said], []

    def _dispatch(self, token: Token, at: int) -> int:
        kind = token.kind
        if kind == "count":
            return self._count(token, at)
        if kind == "grade" and not self._is_grade(token, at) and _is_number(token.name):
            return self._numbers(_as_numbers(token), at)
        if kind == "bearing" and token.name.isdecimal() and not self._is_bearing(token, at):
            return self._numbers(_as_numbers(token), at)
        if kind == "numbers":
            return self._numbers(token, at)
        if kind == "thread":
            return self._thread(token, at)
        if kind == "phrase":
            return self._phrase(token, at)
        if kind == "place" or (token.text[0] == "[" and count_alone(token.name)):
            return self._brackets(token)
        self._simple(token, at)
        return 1

    def _simple(self, token: Token, at: int) -> None:
        line = self._line
        self._lock = None
        if self._only_one(token, at):
            return
        match token.kind:
            case "tool":
                line.tools.append(token.name)
            case "note":
                line.notes.append(token.name)
            case "once":
                line.single_use = fold(token.name) != "reusable"
            case "handed":
                self._handed(token, self._peek(at + 1))
            case "quoted":
                line.words.append(token.name)
            case "word" if self._continues_place(token):
                line.place[-1] = f"{line.place[-1]} {token.text}"
            case _:
                line.words.append(token.text)

    def _only_one(self, token: Token, at: int) -> bool:
        """Takes what a line has once at most; a second one stays among the words."""
        line = self._line
        if token.kind == "torque" and line.torque is None:
            line.torque = token.torque
        elif token.kind == "grade" and not line.grade and self._is_grade(token, at):
            line.grade = token.name
        elif token.kind == "standard" and not line.standard:
            line.standard = token.name
        elif token.kind == "bearing" and self._is_bearing(token, at):
            if line.bearing:  # bearings 6202, 6203
                before = line
                line = self._new(token.start)
                line.kind, line.kind_words = before.kind, before.kind_words
            line.bearing = token.name
        elif token.kind in ("gauge", "tpi") and getattr(line, token.kind) is None:
            setattr(line, token.kind, token)
        else:
            return False
        return True

    def _handed(self, token: Token, follower: Token | None) -> None:
        if follower is not None and fold(follower.text) in ("side", "end", "seite"):
            self._line.place.append(token.text)
            return
        close = self._before is not None and self._before.kind in ("thread", "numbers")
        self._line.handed.append((token, close))

    def _is_grade(self, token: Token, at: int) -> bool:
        """A bare 8.8 is a class only beside a thread; `grade 5` is one anywhere."""
        if not token.text[:1].isdigit() or self._line.thread is not None:
            return True
        for follower in self._tokens[at + 1 : at + 4]:
            if follower.kind == "join":
                return False
            if follower.kind == "thread":
                return True
        return False

    def _is_bearing(self, token: Token, at: int) -> bool:
        """A figure such as 6202 is a bearing when one is named, or nothing else is."""
        kinds = [one.entry.kind for one in self._tokens if one.entry and one.entry.kind]
        if any("bearing" in kind for kind in kinds):
            return True
        return not kinds and len(token.name) > 3

    def _continues_place(self, token: Token) -> bool:
        before = self._before
        if before is None or not self._line.place or before.entry is None or not before.entry.place:
            return False
        return (
            token.text[0].isalpha()
            and fold(token.text) not in bench_words("condition")
            and not nearest_word(token.text)
        )

    # how many

    def _count(self, token: Token, at: int) -> int:
        before = self._before
        sized = "thread" if self._line.kind in THREADED_KINDS - {"screw"} else "gauge"
        if token.cross and before is not None and before.kind in ("thread", sized):
            return self._figure(_as_numbers(token), at)
        if self._says_where(token, at):
            self._line.place.append(self._text[token.start : self._tokens[at + 1].end])
            return 2
        if self._of_several(token, at):
            self._line.words.append(token.text)
            return 1
        if fold(token.text) == "one" and before is not None and before.entry and before.entry.place:
            self._line.place[-1] = f"{self._line.place[-1]} {token.text}"
            return 1
        if token.cross and self._may_be_length(token):
            return self._figure(_as_numbers(token), at)
        if self._of_condition(token, at):
            return 2
        if not self._leads(self._peek(at + 1)) and self._counts_lock(token.count):
            return 1
        self._counted(token.count, token, at)
        return 1

    def _says_where(self, token: Token, at: int) -> bool:
        """`one end`, `both sides` count no fasteners."""
        follower = self._peek(at + 1)
        return (
            token.name == "word"
            and follower is not None
            and fold(follower.text).removesuffix("s") in ("end", "side", "face")
            and self._line.core
        )

    def _of_several(self, token: Token, at: int) -> bool:
        """The `3 of` of `3 of 4 screws`: the part has four."""
        follower = self._peek(at + 1)
        if follower is None or not token.text.lower().endswith("of"):
            return False
        many = follower.count or (follower.numbers[0].whole if follower.numbers else 0)
        return many > token.count and len(follower.numbers) < 2

    def _may_be_length(self, token: Token) -> bool:
        """The 20 of `M6 bolt x 20`, but not of `M6 bolts x 20`."""
        line = self._line
        if line.thread is None and len(line.figures) == 1 and line.kind in THREADED_KINDS:
            size = line.figures[0].token  # the 60 of 8mm stud x 60
            sized = len(size.numbers) == 1 and bool(size.numbers[0].unit or "/" in size.text)
            return sized and not line.plural and token.count >= _SHORTEST
        return (
            line.thread is not None
            and (line.kind in THREADED_KINDS - NO_LENGTH or (not line.kind and bool(line.head)))
            and not line.plural
            and not line.figures
            and token.count >= _SHORTEST
        )

    def _of_condition(self, token: Token, at: int) -> bool:
        """`1 missing` behind a line says something of it and counts nothing new."""
        follower = self._peek(at + 1)
        if (
            follower is None
            or not self._line.core
            or fold(follower.text) not in bench_words("condition")
        ):
            return False
        self._line.words.append(self._text[token.start : follower.end])
        return True

    def _counts_lock(self, count: int) -> bool:
        """`M8 bolts x4 & nuts x4` is a nut on each; `washers x8` are a line of their own."""
        line, token = self._line, self._lock_token
        if self._lock is None or token is None or token.entry is None or line.count is None:
            return False
        if not token.entry.kind or not fold(token.text).endswith("s"):
            return False
        if count != line.count:
            line.locks.remove(self._lock)
            new = self._new(token.start)
            new.kind, new.kind_words, new.count = token.entry.kind, token.text, count
            new.head, new.drive = token.entry.head, token.entry.drive
            new.material = [token.entry.material] if token.entry.material else []
        return True

    def _counted(self, count: int, token: Token, at: int) -> None:
        line = self._line
        follower = self._peek(at + 1)
        if token.name == "word" and count == 1 and self._join and self._locks_next(at):
            self._repeat = 1  # avec une rondelle: one each
            return
        if (
            self._locks_next(at)
            and self._join in _BELONGS
            and ((line.count or 1) == 1 or self._is_on_each(at))
            and count <= _REPEATED_AT_MOST
        ):
            self._repeat = count
            return
        sized = line.thread or line.figures or line.gauge
        goes_on = follower is not None and follower.kind in _SIZES and not sized and not self._join
        behind = token.cross and self._before is not None and self._before.kind == "numbers"
        opens = line.thing and self._leads(follower) and not goes_on and not behind
        if line.count is not None or opens:
            line = self._new(token.start)
        line.count = count

    def _is_on_each(self, at: int) -> bool:
        """The two washers of `2 bolts with 2 washers each` are on each of them."""
        behind = [one.text for one in self._tokens[at + 2 : at + 4] if one.kind != "join"]
        words = {fold(word) for word in (*self._line.place, *behind)}
        return bool(words & {"each", "ea", "je", "chacun", "cada uno", "ciascuno"})

    def _locks_next(self, at: int) -> bool:
        follower = self._peek(at + 1)
        if (
            follower is not None
            and follower.kind == "phrase"
            and follower.entry
            and follower.entry.material
            and not follower.entry.kind
        ):
            follower = self._peek(at + 2)
        return bool(
            self._line.core and follower is not None and follower.entry and follower.entry.locks
        )

    def _leads(self, follower: Token | None) -> bool:
        """Whether a count with this behind it begins something new."""
        if follower is None:
            return False
        if follower.kind in ("thread", "gauge", "bearing", "standard"):
            return True
        if follower.kind == "numbers":
            return bool(self._line.kind or self._line.thread)
        entry = follower.entry
        if entry is None:
            return False
        return bool(
            entry.kind or entry.locks or entry.head or (entry.place and _which_one(follower))
        )

    # sizes

    def _numbers(self, token: Token, at: int) -> int:
        single = token.numbers[0].whole if len(token.numbers) == 1 and not token.cross else 0
        follower = self._peek(at + 1)
        if single and not token.behind and follower is not None:
            if fold(follower.text) in ("o'clock", "oclock", "uhr"):
                said = self._text[token.start : follower.end]
                self._add_place(said)
                return 2
            if self._of_condition(token, at):
                return 2
            if self._is_first_sort(follower, at):
                self._line.count = single
                return 1
            if self._is_count(single, follower, at):
                self._counted(single, token, at)
                return 1
        return self._figure(token, at)

    def _is_first_sort(self, follower: Token, at: int) -> bool:
        """The first 2 of `M6 studs 2 long 2 short`."""
        line, second = self._line, self._tokens[at + 2 : at + 5]
        if line.count is not None or not line.kind or line.place or not _which_one(follower):
            return False
        return any(
            (one.count or (one.numbers and one.numbers[0].whole)) and _which_one(other)
            for one, other in pairwise(second)
        )

    def _is_count(self, number: int, follower: Token, at: int) -> bool:
        line = self._line
        if number > _MOST:
            return False
        if follower.kind == "join":
            return follower.name == "-" and not line.core and line.count is None
        if not line.thing and line.count is None:
            return follower.kind != "numbers" or len(follower.numbers) > 1
        if (
            line.thread is not None
            and self._before is not None
            and self._before.kind == "thread"
            and not self._join
        ):
            return False  # M6 20 hex: a length, or a doubt, never a new line
        entry = follower.entry
        if entry is not None and (entry.kind or entry.locks):
            return bool(line.kind or line.thread or line.count is not None)
        if entry is not None and entry.place and _which_one(follower):
            return line.count is not None
        return follower.kind == "thread" and (
            line.count is not None or bool(self._join) or bool(line.kind)
        )

    def _figure(self, token: Token, at: int) -> int:
        line = self._line
        if self._lock is not None and token.kind == "numbers" and not token.cross:
            self._lock.size = _size_text(token)
            self._lock = None
            return 1
        if self._is_next_of_list(token, at):
            self._next_of_list(line, token)
        listed = line is not self._lines[-1]
        line = self._line
        pair = len(token.numbers) == 2 and bool(token.numbers[0].whole)
        screw = line.count is None and (line.thread or line.kind in THREADED_KINDS)
        if pair and screw and any(len(figure.token.numbers) == 2 for figure in line.figures):
            line = self._new(token.start)  # M6 bolts: 3x20 2x35
        adjacent = self._before is not None and self._before.kind == "thread" and not self._join
        follower = self._peek(at + 1)
        last = follower is None or follower.kind in ("join", "place", "torque", "note", "quoted")
        line.figures.append(Figure(token, adjacent or listed, bool(line.kind), last))
        return 1

    def _next_of_list(self, before: ParsedLine, token: Token) -> None:
        line = self._new(token.start)
        line.kind, line.kind_words = before.kind, before.kind_words
        line.head, line.drive = before.head, before.drive
        line.thread, line.thread_text = before.thread, before.thread_text
        if before.kind == "shim" and before.count == _PAIR:
            before.count, line.count = 1, 1

    def _is_next_of_list(self, token: Token, at: int) -> bool:
        """The next length of `M6: 25 x4, 35 x2` or `M6 x 18, 22`; the next shim's thickness."""
        line, follower = self._line, self._peek(at + 1)
        if not line.figures or token.cross:
            return False
        first, number = line.figures[-1].token, token.numbers[0]
        if line.kind == "shim" and len(token.numbers) == 1:
            return line.count in (None, _PAIR) and bool(number.unit or not number.whole)
        counted = follower is not None and follower.kind == "count" and bool(follower.cross)
        if not self._join and not (line.count is not None and counted):
            return False
        if line.kind and line.kind not in THREADED_KINDS:
            if not line.plural or len(first.numbers) != len(token.numbers):
                return False
            near = first.numbers[0].value / 2 < number.value < first.numbers[0].value * 2
            return (
                len(token.numbers) > 1
                or bool(number.unit and first.numbers[0].unit)
                or (near and number.value > _LIKELY_COUNT)
            )
        if len(token.numbers) != 1:
            return False
        if line.thread is None or line.kind in NO_LENGTH or self._join in _BELONGS:
            return False
        if line.count is not None:
            return counted
        return number.whole > _LIKELY_COUNT and (
            follower is None or follower.kind in ("join", "count", "place")
        )

    def _thread(self, token: Token, at: int) -> int:
        line = self._line
        follower = self._peek(at + 1)
        if line.thread is not None and self._is_other_reading(token):
            return 1
        if line.thread is not None:
            if self._lock is not None and token.thread and not (follower and follower.numbers):
                ours = line.thread.thread is not None
                if ours and token.thread.thread == line.thread.thread:
                    return 1  # spring washers M6 + flat washers M6
            same = token.thread and line.thread.thread == token.thread.thread and line.thread.thread
            entry = follower.entry if follower is not None else None
            if same and entry and entry.locks and self._join not in (",", ";", ""):
                return 1  # the M8 of "with M8 nut" says nothing new
            if same and not self._join and self._before and self._before.kind == "thread":
                return 1  # a stud with the same thread at both ends
            line = self._new(token.start)
        elif line.core and self._join and self._is_done(line, follower):
            line = self._new(token.start)
        if token.thread and token.thread.count and line.count is None:
            line.count = token.thread.count
        line.thread, line.thread_text = token.thread, token.text
        self._lock = None
        return 1

    def _is_other_reading(self, token: Token) -> bool:
        """`M5 or 10-32`: one of the two, to be measured."""
        line, new = self._line, token.thread
        if not line.words or fold(line.words[-1]) not in ("or", "oder", "ou"):
            return False
        first = line.thread.thread if line.thread else None
        second = new.thread if new else None
        if first is None or second is None:
            return False
        options = (Option(first.designation), Option(second.designation))
        between = line.words.pop()
        line.thread_text = f"{line.thread_text} {between} {token.text}"
        line.thread = ThreadFound(token.end, line.thread_text, options=options)
        return True

    def _is_done(self, line: ParsedLine, follower: Token | None) -> bool:
        """A line without a thread that a thread behind a comma does not belong to."""
        entry = follower.entry if follower is not None else None
        other = bool(entry and entry.kind and line.kind and entry.kind != line.kind)
        return bool(line.kind) and line.kind not in THREADED_KINDS and (bool(line.figures) or other)

    # words

    def _phrase(self, token: Token, at: int) -> int:
        entry = token.entry or Entry()
        line = self._line
        if entry.opens:
            return self._opened(token, at)
        if entry.place or (entry.noise and not (entry.kind or entry.head or entry.locks)):
            if entry.place:
                if self._is_next_sort(token):
                    self._new(token.start)
                self._add_place(token.text)
            return 1
        if entry.locks and self._is_lock(entry):
            self._lock = self._add_lock(entry)
            self._lock_token = token
            return 1
        self._lock = None
        if entry.kind and not self._take_kind(token, entry):
            line = self._line
            if self._join:
                line = self._new(token.start)
                self._take_kind(token, entry)
            else:
                line.words.append(token.text)
                return 1
        if self._is_metal_of_lock(entry, at):
            return 2
        self._describe(token, entry)
        return 1

    def _is_next_sort(self, token: Token) -> bool:
        """The short of `long at the top x2, short x4`."""
        line = self._line
        if self._join not in (",", ";") or line.count is None or not line.place:
            return False
        first = fold(line.place[0]).split()[:1]
        return _which_one(token) and bool(first) and first[0] in bench_words("sort")

    def _is_metal_of_lock(self, entry: Entry, at: int) -> bool:
        """`studs with brass nuts`: the metal is that of the nuts."""
        if not entry.material or entry.kind or not self._locks_next(at - 1):
            return False
        follower = self._peek(at + 1)
        if follower is None or not follower.entry or not self._is_lock(follower.entry):
            return False
        if not self._join and (not self._line.kind or self._line.kind == follower.entry.kind):
            return False
        self._lock = self._add_lock(follower.entry)
        self._lock.name = f"{entry.material} {self._lock.name.removeprefix('plain ')}"
        return True

    def _describe(self, token: Token, entry: Entry) -> None:
        line = self._line
        for field in ("head", "drive"):
            self._say(field, getattr(entry, field), token)
        if entry.material and entry.material not in line.material:
            line.material.append(entry.material)
        elif not (entry.kind or entry.head or entry.drive or entry.material):
            line.words.append(token.text)

    def _say(self, field: str, value: str, token: Token) -> None:
        line = self._line
        before = getattr(line, field)
        if not value or before == value:
            return
        if before and not (field == "head" and line.kind == "circlip"):
            line.words.append(token.text)
            return
        setattr(line, field, f"{before} {value}".strip())

    def _is_lock(self, entry: Entry) -> bool:
        line = self._line
        if self._repeat:
            return True
        if line.kind:
            if not self._join and (
                line.kind not in THREADED_KINDS or _finer_nut(line.kind, entry.kind)
            ):
                return False
            if line.kind == "screw" and entry.kind in THREADED_KINDS and not self._join:
                return "nut" in entry.kind
            return (
                bool(
                    self._join in _BELONGS
                    or self._join in ("and", ",", "und", "et", "y", "e", "/", "")
                )
                and (entry.kind != line.kind)
                and (line.kind in THREADED_KINDS or self._join in _BELONGS)
            )
        if self._join in _BELONGS and line.count and line.place and self._named_before():
            return True  # studs 2 long 2 short with nuts
        has_length = any(figure.adjacent for figure in line.figures)
        if line.thread is not None and self._join in _BELONGS:
            return True
        return line.thread is not None and has_length and entry.kind not in THREADED_KINDS

    def _named_before(self) -> bool:
        return any(line.kind for line in self._lines[:-1])

    def _add_lock(self, entry: Entry) -> Lock:
        line = self._line
        made = [Lock(entry.locks) for _ in range(max(self._repeat, 1))]
        line.locks += made
        self._repeat = 0
        return made[-1]

    def _take_kind(self, token: Token, entry: Entry) -> bool:
        line = self._line
        if not line.kind:
            line.kind, line.kind_words = entry.kind, token.text
            if entry.kind == "spring" and any("washer" in one.kind for one in self._lines):
                line.kind = "lock washer"  # washers: 4 flat, 4 spring
            return True
        if self._join:
            return False
        before = self._before
        if (
            before is not None
            and before.entry is not None
            and before.entry.kind
            and not entry.foreign
        ):
            line.kind_words = f"{line.kind_words} {token.text}"
            weak = entry.kind == "screw" and line.kind in (
                "set screw",
                "wood screw",
                "self-tapping screw",
                "drive screw",
                "bleed screw",
            )
            line.kind = line.kind if weak else entry.kind
            return True
        if line.kind == "screw" or entry.kind == line.kind or _finer_nut(line.kind, entry.kind):
            line.kind = entry.kind
            line.kind_words = token.text
            return True
        return False

    def _add_place(self, said: str) -> None:
        line = self._line
        before = self._before
        close = (
            before is not None
            and before.entry is not None
            and (before.entry.place or before.entry.opens)
        )
        if before is not None and close and line.place and self._text[before.end] in " -/":
            line.place[-1] = f"{line.place[-1]} {said}"
        else:
            line.place.append(said)

    def _opened(self, token: Token, at: int) -> int:
        """A place from its first small word up to the next size, count or comma."""
        end = at + 1
        while (follower := self._peek(end)) is not None and follower.kind in (
            "phrase",
            "word",
            "numbers",
        ):
            if follower.kind == "numbers":
                after = self._peek(end + 1)
                if after is None or fold(after.text) not in ("o'clock", "oclock"):
                    break
            end += 1
        if end == at + 1:
            return 1
        said = self._text[token.start : self._tokens[end - 1].end]
        if self._line.core or self._line.count is not None:
            self._line.place.append(said)
        else:
            self._line.place.append(said)
        self._lock = None
        return end - at

    def _brackets(self, token: Token) -> int:
        count = count_alone(token.name)
        if count and self._counts_lock(count):
            return 1
        if count and self._line.count is None:
            self._line.count = count
        elif (inner := tokens(token.name)) and all(one.kind == "tool" for one in inner):
            self._line.tools += [one.name for one in inner]
        elif token.name:
            self._line.place.append(token.name)
            self._line.bracketed = True
        return 1


def _parted(found: list[Token]) -> list[Token]:
    """Cuts the 3 long of "3 long, 1 short", which is a count, from the 20 long of M6 20 long."""
    parted: list[Token] = []
    diameter = 0.0
    for token in found:
        if token.thread is not None and token.thread.thread is not None:
            diameter = token.thread.thread.diameter_mm
        counts = len(token.numbers) == 1 and token.numbers[0].whole and not token.cross
        if (
            token.behind == "long"
            and counts
            and (not diameter or token.numbers[0].whole <= diameter)
        ):
            figure, _, word = token.text.partition(" ")
            end = token.start + len(figure)
            parted.append(msgspec.structs.replace(token, text=figure, end=end, behind=""))
            parted.append(Token("phrase", word, end + 1, token.end, entry=Entry(place=True)))
        else:
            parted.append(token)
    return parted


def _finer_nut(kind: str, other: str) -> bool:
    """A nut that is then called a castle nut."""
    return kind == "nut" and other.endswith("nut")


def _which_one(token: Token) -> bool:
    """Words that tell one sort from another: 3 long, 1 short."""
    return fold(token.text).split()[0] in bench_words("sort")


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def _as_numbers(token: Token) -> Token:
    figure = token.name if token.kind in ("bearing", "grade") else str(token.count)
    number = Number(value=Fraction(figure), text=figure, unit="")
    return msgspec.structs.replace(token, kind="numbers", numbers=(number,), count=0)


def _size_text(token: Token) -> str:
    unit = {number.unit for number in token.numbers}
    said = "x".join(number.text.replace(",", ".") for number in token.numbers)
    inches = "in" in unit and "/" not in said
    return f"{said} in" if inches else said
