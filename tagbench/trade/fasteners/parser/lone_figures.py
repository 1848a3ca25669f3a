"""Lone figures and number words: how many, how big, which one, or where."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import takewhile

import msgspec

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.counts import (
    SHORTEST,
    add_count,
    add_thing,
    begins_line,
    count_lock,
    is_count,
    is_first_sort,
    is_slip,
    locks_next,
    may_be_length,
    names_thing,
    note_each,
    note_per_side,
    part_of_several,
    says_where,
    take_condition,
)
from tagbench.trade.fasteners.parser.places import add_place
from tagbench.trade.fasteners.parser.prepared_words import LIKELY_COUNT
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.sizes import add_figure, goes_on
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Number, Token
from tagbench.trade.fasteners.vocabulary import (
    LONG_RINGS,
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
)

#: `top 2:` counts, `tank 14:` names something.
MOST_AT_A_PLACE = 8
_PAIR = 2


def says_ditto(state: ParserState, token: Token, at: int) -> bool:
    """`ditto`, and the same of `2 front, same rear`."""
    if fold(token.text) in bench_words("ditto"):
        return True
    follower = state.peek(at + 1)
    placed = follower is not None and bool(follower.entry and follower.entry.place)
    crossed = follower is not None and bool(follower.cross)
    return fold(token.text) == "same" and (placed or crossed)


def take_count(state: ParserState, token: Token, at: int) -> int:
    """How many tokens a count takes: with what says of it that it is a size or a state."""
    if _is_share(state, token, at):
        return 1
    if says_where(state, token, at):
        follower = state.peek(at + 1) or token
        state.line.place.append(state.text[token.start : follower.end])
        return 1 if follower is token else 2
    if several := part_of_several(state, token, at):
        state.line.words.append(token.text)
        state.line.asked = token.text, (several, token.count)
        return 1
    if fold(token.text) == "one" and _describes(state, at) and not _is_behind_join(state, at):
        return _one_of_a_sort(state, token, at)
    if token.cross and _is_size(state, token):
        size = as_numbers(token)
        if state.line.ditto and token.count >= SHORTEST:
            size = msgspec.structs.replace(size, behind="long")
        if state.line.kind == "key":
            size = msgspec.structs.replace(_in_unit_of(state.line, size), behind="long")
        return add_figure(state, size, at)
    return _take_plain_count(state, token, at)


#: Behind a comma they count what was named before it.
_BOTH = frozenset(("both", "beide", "les deux", "ambos", "entrambi"))


def _in_unit_of(line: ParsedLine, size: Token) -> Token:
    """The 1 of `key 3/16 sq x 1` is an inch as the 3/16 is."""
    inches = any("/" in one.text for figure in line.figures for one in figure.token.numbers)
    numbers = [msgspec.structs.replace(one, unit="in" if inches else "mm") for one in size.numbers]
    return msgspec.structs.replace(size, numbers=tuple(numbers))


def _is_share(state: ParserState, token: Token, at: int) -> bool:
    """Takes a count that is one for each of several, or a part of them."""
    if token.name == "each" and fold(token.text).split()[0] in _EACH_FIRST and _on_each(state, at):
        state.repeat = token.count  # mit je 2 Scheiben
    elif token.name in ("each", "sets"):
        note_each(state, token)
    elif token.name.startswith("lot "):  # 3 of the 4 bolts
        state.line.words.append(token.text)
        add_count(state, token.count, token, at)
        state.line.asked = token.text, (token.count, int(token.name.removeprefix("lot ")))
    elif token.name == "per side":
        note_per_side(state, token)
    else:
        return False
    return True


#: They stand before the count of what is on each.
_EACH_FIRST = ("je", "jeweils")


def _on_each(state: ParserState, at: int) -> bool:
    """Whether washers or nuts of the fastener before follow, counted for each of them."""
    line = state.line
    told = bool(line.kind or line.thread or line.head) and line.kind not in RINGS
    return told and bool(state.join) and locks_next(state, at)


def _take_plain_count(state: ParserState, token: Token, at: int) -> int:
    if not token.cross and _counts_described(state, token.count, at):
        state.new(token.start).count = token.count
        return 1
    behind = bool(token.cross) or state.line.kind == "other"  # engine rubbers 4 perished
    opens = behind and state.line.count is None and bool(state.line.kind)
    if not opens and (used := take_condition(state, token, at)):  # bearing 6203 x 2 rough
        return used
    if used := _unknown_behind_join(state, token, token.count, at):
        return used
    line = state.line
    if fold(token.text) in _BOTH and state.join == "," and line.kind and line.count is None:
        line.count = token.count  # plug washers off the sump, both copper
        return 1
    follower = state.peek(at + 1)
    unit = token.text.rstrip(".")[-1:].isalpha() and token.text[-1] not in "xX"
    if unit and follower is not None and _is_named_behind(state, follower):
        line.count, state.join = token.count, ""
        return 1  # M6x1x20, 4 Stk. Schrauben
    if token.name == "word" and line.surely_plural and line.count is None and not state.join:
        line.count = token.count  # 6mm bolts three 35 long
        return 1
    if begins_line(state, state.peek(at + 1)) or not count_lock(state, token.count):
        add_count(state, token.count, token, at)
    return 1


def _is_behind_join(state: ParserState, at: int) -> bool:
    """The one of `two on bottom, one in the middle` counts."""
    return at > 0 and state.tokens[at - 1].kind == "join"


def _is_size(state: ParserState, token: Token) -> bool:
    """Whether what could be a count behind its x is a size: M8 stud x 40, 8 dia x 50."""
    before = state.before
    if state.line.kind in NO_LENGTH:
        return False  # nuts M8 x4
    if state.line.kind == "key" and state.line.figures and not state.line.plural:
        return True  # key 3/16 sq x 1
    follower = next((one for one in state.tokens if one.start >= token.end), None)
    if follower is not None and follower.entry and is_plural(follower.text):
        other = follower.entry.kind
        if other and state.line.kind not in ("", other):
            return False  # 4 bolts M6 x 2 nuts
    line = state.line
    if goes_on(state) and line.thread is not None and line.figures:
        return True  # M5 x 10 (x2), x 16 (x1)
    known = line.count is not None and not (state.join or state.lock) and token.count >= SHORTEST
    if known and line.kind in THREADED_KINDS and not line.figures:
        return True  # bolts (2) 10mm head x 30
    if state.line.ditto and not state.line.figures and state.line.count is not None:
        return bool(state.lines[-2].figures)  # 2 M6x20, 1 ditto x 30
    if _is_short_of_thread(state.line, token.count) or _counts_by_gauge(state, token):
        return False  # cap screws #8 x4
    sized = "thread" if state.line.kind in THREADED_KINDS - {"screw"} else "gauge"
    if before is not None and before.kind in ("thread", sized):
        return True
    across = before is not None and before.behind in _ONE_SIZE and not state.line.thread
    return across or may_be_length(state, token)


def _counts_by_gauge(state: ParserState, token: Token) -> bool:
    """Whether a whole number behind that of a screw counts several of them."""
    before, line = state.before, state.line
    behind = before is not None and before.kind == "gauge" and line.kind in THREADED_KINDS
    return behind and line.surely_plural and line.count is None and token.count <= LIKELY_COUNT


def _is_short_of_thread(line: ParsedLine, count: int) -> bool:
    """The 4 of `bolts M8 x4` counts: no bolt is shorter than its thread is thick."""
    thread = line.thread.thread if line.thread is not None else None
    metric = thread is not None and thread.system == "ISO metric"
    headed = line.kind in ("bolt", "screw") and line.head != "grub"
    return bool(metric and headed and line.plural and thread and count < thread.diameter_mm)


#: Inside or outside said in so many words, behind which an x goes on with the size.
_ONE_SIZE = ("across", "outside")


def _describes(state: ParserState, at: int) -> bool:
    """Whether the word before a one says which: the long one, the stubby one."""
    before, follower = state.before, state.peek(at + 1)
    if before is None or (follower is not None and tells_sort(follower)):
        return False  # 2 short one long
    if before.entry is not None:
        return before.entry.place and bool(state.line.place)
    return before.kind == "word" and bool(state.line.words) and before.text.isalpha()


def _one_of_a_sort(state: ParserState, token: Token, at: int) -> int:
    """`three long bolts and the stubby one` are four; `M6 long one` is a long M6."""
    line, before = state.line, state.tokens[at - 1]
    said = line.place if before.entry is not None else line.words
    behind = [one for one in state.tokens[max(0, at - 3) : at - 1] if one.kind == "join"]
    rest = fold(before.text) in bench_words("others")
    if behind and line.count is not None and line.thing and not rest:
        said.pop()
        line = state.new(before.start)
        line.count, line.place = 1, [f"{before.text} {token.text}"]
    elif said:
        said[-1] = f"{said[-1]} {token.text}"
    else:
        line.words.append(token.text)
    return 1


def take_numbers(state: ParserState, token: Token, at: int) -> int:
    single = token.numbers[0].whole if len(token.numbers) == 1 and not token.cross else 0
    follower = state.peek(at + 1)
    used = 0
    if follower is not None and _sizes_next_thing(state, token, follower):
        several = state.line.surely_plural and is_plural(follower.text)
        joined = state.join in ("and", "&", "und", "et", "y", "e")
        state.new(token.start).paired = several and joined  # 2 bolts and 8mm washers
        return add_figure(state, token, at)
    if single and follower is None and _closes_with_count(state):
        state.line.count = single
        return 1
    behind = follower is not None and not token.behind and not _sizes_one(state, single)
    if single and follower is not None and behind:
        used = _lone_number(state, token, single, follower, at)
    return used or add_figure(state, token, at)


def _sizes_next_thing(state: ParserState, token: Token, follower: Token) -> bool:
    """The 10mm of `bolt M8, 10mm washer` and the 3/8 of `spring and 3/8 ball`."""
    line, entry = state.line, follower.entry
    named = line.kind or (line.thread and not line.figures)  # UNC x 1, 1 1/4 bolts
    if state.join not in _LISTS or not named or line.header:
        return False
    if entry is None or entry.kind in ("", "other") or token.cross or token.behind:
        return False
    if entry.kind == line.kind and is_plural(follower.text):
        return False  # 4 washers, 10mm washers; a 10mm washer is another one
    sized = len(token.numbers) == 1 and bool(token.numbers[0].unit or "/" in token.text)
    return sized and not (line.kind in THREADED_KINDS and entry.kind == "screw")


def _closes_with_count(state: ParserState) -> bool:
    """The 5 of `M5 screws - 5`."""
    line = state.line
    return state.join in ("-", ":") and line.count is None and line.surely_plural


#: More than so many of one thing are said in the plural.
_SEVERAL = 4


def _sizes_one(state: ParserState, single: int) -> bool:
    """The 22 of `spacer 22 LH` is its size: twenty-two would be spacers."""
    line, before = state.line, state.before
    named = before is not None and before.entry is not None and bool(before.entry.kind)
    one = line.kind in LONG_RINGS and line.count is None and not is_plural(line.kind_words)
    return named and one and single > _SEVERAL and not state.join


def _lone_number(state: ParserState, token: Token, single: int, follower: Token, at: int) -> int:
    """How many tokens a number takes that says how many or where; 0 when it is a size."""
    both = state.text[token.start : follower.end]
    before = state.tokens[at - 1] if at else None
    form = before is not None and len(before.text) == 1 and before.text.isalpha()
    if form and before is not None and before.end == token.start and state.line.standard:
        return 0  # the 16 of DIN 705 A16 is its size
    if state.line.thing and says_ditto(state, follower, at + 1):
        line = state.new(token.start)
        line.ditto, line.count = True, single
        return 2
    if _counts_described(state, single, at):
        state.new(token.start).count = single
        return 1
    where = _says_where(state, single, follower, both)
    if used := 2 if where else take_condition(state, token, at):
        return used
    if used := _unknown_behind_plus(state, token, single, at):
        return used
    after = state.peek(at + 2)
    if follower.name == "-" and state.join and after is not None and after.thread is not None:
        state.new(token.start).count = single  # 5 - 1/4-20 x 1/2, 3 - 1/4-20 x 3/4
        return 2
    if names_thing(state, single, at):
        add_thing(state, single, token, at)
        return 2
    if is_first_sort(state, follower, at):
        state.line.count = single
        return 1
    if _is_size_of_ring(state, single, follower):
        return 0
    return _count_or_some(state, token, single, follower, at)


#: Joints behind which a number with a thing counts that thing.
_LISTS = BELONGS | {",", "and", "und", "et", "y", "e", "/"}


def _counts_described(state: ParserState, single: int, at: int) -> bool:
    """The 1 of `1 nut, 1 torque arm bolt`, the 2 of `pin plus 2 push-on washers`.

    A number behind a joint, with a few words and the name of a thing behind it, counts that thing
    and is no size of what stood before.
    """
    line = state.line
    if state.join not in _LISTS or not (line.thing or line.thing_named or line.count is not None):
        return False
    said = list(takewhile(_may_describe, state.tokens[at + 1 : at + 2 + _MOST_WORDS]))
    named = state.peek(at + 1 + len(said))
    if not said or named is None or not (named.entry and named.entry.kind):
        return False
    states = any(fold(one.text) in bench_words("condition") for one in said)
    if states and named.entry.kind == line.kind:
        return False  # 6 bolts, 2 bent bolts
    return single == 1 or is_plural(named.text)


def _unknown_behind_plus(state: ParserState, token: Token, single: int, at: int) -> int:
    """How many tokens the `12 loose needles` of `pivot bush plus 12 loose needles` takes."""
    line = state.line
    named = list(takewhile(_may_describe, state.tokens[at + 1 : at + 2 + _MOST_WORDS]))
    end = state.peek(at + 1 + len(named))
    if state.join not in BELONGS | {"and", "und"} or not line.thing or single < _PAIR:
        return 0
    several = bool(named) and _is_thing_word(named[-1]) and named[-1].text.lower().endswith("s")
    if not several or len(named) > _MOST_WORDS or (end is not None and end.kind != "join"):
        return 0
    return _new_thing(state, token, single, named)


def _may_describe(token: Token) -> bool:
    """Whether a word may stand between a count and what it counts: push-on, torque arm, big."""
    entry = token.entry
    if entry is not None:
        return bool(entry.place or entry.material) and not (entry.kind or entry.opens)
    if token.kind not in ("word", "quoted") or not token.text.strip("“”")[:1].isalpha():
        return False
    said = fold(token.text)
    return not any(said in bench_words(role) for role in ("absent", "verb", "negation"))


def _count_or_some(state: ParserState, token: Token, single: int, follower: Token, at: int) -> int:
    """Takes a number that counts what follows, or some of the pieces before it."""
    if _counts_next_thing(state, single, follower):
        state.line.thing_named = True
        state.new(token.start).count = single
        return 1
    if used := _unknown_behind_join(state, token, single, at):
        return used
    if _counts_named_before(state, follower):
        state.line.count = single
        return 1
    if _counts_some_elsewhere(state, single, follower, at):
        before = state.line
        line = state.new(token.start)
        line.count, line.kind, line.kind_words = single, before.kind, before.kind_words
        return 1
    slip = state.before is not None and is_slip(state.before) and single > SHORTEST
    if not slip and is_count(state, single, follower):
        add_count(state, single, token, at)
        return 1
    if _is_some_of_them(state, single, follower, at):
        many = state.line.count or 1
        both = state.text[token.start : follower.end]
        state.line.words.append(both)
        state.line.asked = both, (many, many + single)
        return 2
    return _unknown_thing(state, token, single, follower, at)


#: So many words name a thing that is no fastener: ring terminal, rubber boot.
_MOST_WORDS = 3


def _unknown_behind_join(state: ParserState, token: Token, many: int, at: int) -> int:
    """How many tokens the `1 rubber boot` of `1 lead cap and 1 rubber boot` takes; 0 for others.

    It is a thing of its own when what stands before it is no fastener either.
    """
    line = state.line
    if not state.join or line.kind or line.thread or line.head or not (line.words or line.place):
        return 0
    named = list(takewhile(_may_name_thing, state.tokens[at + 1 : at + 2 + _MOST_WORDS]))
    if not 0 < len(named) <= _MOST_WORDS or not any(map(_is_thing_word, named)):
        return 0
    line.thing_named = True
    return _new_thing(state, token, many, named)


def _new_thing(state: ParserState, token: Token, many: int, named: Sequence[Token]) -> int:
    """Begins a line with so many of what its words name; how many tokens that took."""
    fresh = state.new(token.start)
    fresh.count, fresh.thing_named = many, True
    fresh.words.append(state.text[named[0].start : named[-1].end])
    return 1 + len(named)


def _may_name_thing(token: Token) -> bool:
    entry = token.entry
    if entry is not None:
        return bool(entry.place or entry.material) and not (entry.kind or tells_sort(token))
    known = any(fold(token.text) in bench_words(role) for role in ("condition", "others", "weak"))
    return token.kind == "word" and token.text.isalpha() and not known


def _is_thing_word(token: Token) -> bool:
    return is_unread(token) or bool(token.entry and token.entry.place)


def _counts_next_thing(state: ParserState, single: int, follower: Token) -> bool:
    """The 2 of `main jet 90, 2 screws M4`: the jet is a thing of its own, and 90 its size."""
    line, entry = state.line, follower.entry
    kind = entry is not None and bool(entry.kind)
    plural = kind and (is_plural(follower.text) or single == 1)
    named = bool(line.figures and (line.place or line.words))
    unknown = named and not (line.kind or line.thread or line.head)
    return plural and unknown and state.join == "," and single <= MOST_AT_A_PLACE * 2


def _is_named_behind(state: ParserState, follower: Token) -> bool:
    line, entry = state.line, follower.entry
    sized = line.thread is not None and bool(line.figures) and len(state.lines) == 1
    bare = not (line.kind or line.head) and line.count is None and state.join == ","
    return sized and bare and entry is not None and entry.kind in THREADED_KINDS


def _counts_named_before(state: ParserState, follower: Token) -> bool:
    """The 2 of `M3 8 2 screws`: thread and length stand before how many there are."""
    line, entry = state.line, follower.entry
    sized = line.thread is not None and bool(line.figures) and len(state.lines) == 1
    bare = not (line.kind or line.head or state.join) and line.count is None
    return sized and bare and entry is not None and entry.kind in THREADED_KINDS


def _counts_some_elsewhere(state: ParserState, single: int, follower: Token, at: int) -> bool:
    """The 1 of `2 washers between hub and spacer, 1 outside`."""
    line, entry = state.line, follower.entry
    told = bool(line.kind and line.place) and line.count is not None and bool(state.join)
    side = entry is not None and entry.place and fold(follower.text) in bench_words("place")
    ends = state.peek(at + 2)
    return told and side and single <= MOST_AT_A_PLACE and (ends is None or ends.kind == "join")


def _is_unknown_behind_size(state: ParserState, at: int) -> bool:
    """The 2 dust covers of `2 oil seals 35x48x11 forks 2 dust covers`."""
    line, named = state.line, state.tokens[at + 1 :]
    told = bool(line.kind and line.figures) and line.count is not None and not state.join
    things = 0 < len(named) <= _MOST_WORDS and all(map(_may_name_thing, named))
    return told and things and named[-1].text.lower().endswith("s")


def _unknown_at_end(state: ParserState, token: Token, many: int, at: int) -> int:
    named = state.tokens[at + 1 :]
    line = state.new(token.start)
    line.count, line.thing_named = many, True
    line.words.append(state.text[named[0].start : named[-1].end])
    return len(named)


def _is_size_of_ring(state: ParserState, single: int, follower: Token) -> bool:
    """The 14 of `2 rondelle rame 14 tappo olio`: one plug has no fourteen before it."""
    line = state.line
    sized = line.figures or line.thread or line.bearing or line.standard
    ring = line.kind in RINGS or line.kind in ("circlip", "cotter pin", "spring pin", "dowel pin")
    open_size = ring and line.count is not None and not sized and not state.join
    entry = follower.entry
    named = entry is not None and bool(entry.kind) and not is_plural(follower.text)
    return open_size and single > MOST_AT_A_PLACE and named


def _says_where(state: ParserState, single: int, follower: Token, both: str) -> bool:
    """Takes `6 o'clock`, and the side of `washer 1 side`."""
    if fold(follower.text) in ("o'clock", "oclock", "uhr"):
        add_place(state, both)
        return True
    side = fold(follower.text).removesuffix("s") in ("side", "end", "face")
    if side and single <= _PAIR:
        state.line.place.append(both)
    return side and single <= _PAIR


def _is_some_of_them(state: ParserState, single: int, follower: Token, at: int) -> bool:
    """The 1 domed of `7 nuts 1/4 BSF 1 domed`."""
    line, after, entry = state.line, state.peek(at + 2), follower.entry
    described = entry is not None and bool(entry.head) and not entry.kind
    described = described or (tells_sort(follower) and line.thread is not None)
    ends = after is None or after.kind == "join"
    told = bool(line.kind) and not state.join and (line.count or 0) > single
    return described and ends and told


def _unknown_thing(state: ParserState, token: Token, single: int, follower: Token, at: int) -> int:
    """Takes the eccentric of `1 screw, 1 eccentric`."""
    told = state.line.thing or state.line.count is not None
    if _counts_described_before(state, follower, at):
        state.line.count = single
        return 1
    if _is_unknown_behind_size(state, at):
        return 1 + _unknown_at_end(state, token, single, at)
    if not (state.join and told and follower.kind == "word"):
        return 0
    if is_unread(follower):
        add_thing(state, single, token, at)
    else:
        state.line.words.append(state.text[token.start : follower.end])
    return 2


def _counts_described_before(state: ParserState, follower: Token, at: int) -> bool:
    """The 2 of `dowels from the joint - 2 hollow`: several were named, and nobody counted them."""
    line = state.line
    bare = line.surely_plural and line.count is None and not line.figures and bool(state.join)
    ends = state.peek(at + 2) is None
    return bare and ends and is_unread(follower) and not is_plural(follower.text)


def as_numbers(token: Token) -> Token:
    figure = token.name if token.kind in ("bearing", "grade") else str(token.count)
    number = Number(value=Fraction(figure), text=figure, unit="")
    return msgspec.structs.replace(token, kind="numbers", numbers=(number,), count=0)
