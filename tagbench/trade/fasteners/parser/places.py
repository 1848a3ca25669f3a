"""Where a fastener sat: words of place, and what opens one."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from tagbench.trade.fasteners.abroad import languages
from tagbench.trade.fasteners.parser.lists import begins_with_place
from tagbench.trade.fasteners.parser.no_places import describes
from tagbench.trade.fasteners.parser.pieces import is_piece
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token, count_alone
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    PhraseMeaning,
    bench_roles,
    bench_words,
    fold,
    fold_words,
    nearest_word,
)


def add_place_word(state: ParserState, token: Token, at: int) -> int:
    """Takes a word that says where: a place, or one that opens a place."""
    entry = token.entry or PhraseMeaning()
    lock, follower = state.lock, state.peek(at + 1)
    if used := _taken_as_thing(state, token, at):
        return used
    left = fold(token.text) == "left" and follower is not None
    if left and follower is not None and fold(follower.text) in ("over", "in", "behind"):
        state.line.words.append(state.text[token.start : follower.end])
        return 2  # one washer left over
    if entry.opens and _opens_metal(state, at):
        return 1
    if (
        lock is not None
        and fold(token.text) in _HOW_BIG
        and is_piece(lock)
        and not (state.join or lock.place or _is_heading(state, at))
    ):
        lock.place = token.text  # nuts + washers thick
        return 1
    if begins_with_place(state, at):
        state.new(token.start)
    if entry.opens:
        return _opened(state, token, at)
    if _is_next_sort(state, token, at) or _is_sort_of_next(state, token, at):
        state.new(token.start)
    if _comes_with(state, token) or _is_part_listed(state, token):
        state.line.words.append(token.text)
    else:
        add_place(state, token.text)
    return 1


def _taken_as_thing(state: ParserState, token: Token, at: int) -> int:
    """How many tokens are taken that look like a place and are none; 0 for a place."""
    if _is_part_noun(token) and is_named_behind_plus(state, at):
        state.new(token.start).place.append(token.text)
        return 1  # key + flywheel nut
    many = _parts_behind_plus(state, at) or int(_is_counted_part(state, token, at))
    if many:
        add_part(state, at, many)
        return many
    return 2 if _is_type_of_circlip(state, token, at) else 0


def add_part(state: ParserState, at: int, many: int) -> None:
    """Begins a line with the part that so many tokens name; cups are as many as their springs."""
    first, last = state.tokens[at], state.tokens[at + many - 1]
    before, joined = state.line, state.join in _PLUS - {"+"}
    both = joined and before.surely_plural and is_plural(last.text)
    line = state.new(first.start)
    line.count = before.count if both else None
    line.thing_named, line.end = True, last.end
    line.words.append(state.text[first.start : last.end])


def unknown_behind_plus(state: ParserState, at: int) -> int:
    """How many tokens are taken where an unknown word begins a part: spring and plunger."""
    if not names_unknown(state.tokens[at]) or languages(state.text):
        return 0
    many = _parts_behind_plus(state, at)
    if many:
        add_part(state, at, many)
    return many


def _is_type_of_circlip(state: ParserState, token: Token, at: int) -> bool:
    """Takes the inside type of a circlip: it sits in a bore."""
    follower = state.peek(at + 1)
    named = follower is not None and fold(follower.text) in ("type", "circlip")
    sits = _CIRCLIP_SITS.get(fold(token.text), "")
    if state.line.kind != "circlip" or not named or not sits or state.line.head:
        return False
    state.line.head = sits
    return True


_CIRCLIP_SITS = MappingProxyType(
    {"inside": "internal", "inner": "internal", "outside": "external", "outer": "external"}
)


_PLUS = BELONGS | {"and", "und", "et", "y", "e"}


def _comes_with(state: ParserState, token: Token) -> bool:
    """Whether a part is told to be with the fasteners, and not to be where they were."""
    joined = state.join in ("with", "w/", "mit", "avec", "con")
    return joined and bool(state.line.kind) and _is_part_noun(token)


def _is_part_noun(token: Token) -> bool:
    said = fold(token.text)
    side = said in bench_words("place") or said in bench_words("pair of sides")
    return token.entry is not None and token.entry.place and not (side or tells_sort(token))


def _parts_behind_plus(state: ParserState, at: int) -> int:
    """How many tokens the adjuster of `locknut + adjuster` takes, the plate of `bolts and plate`.

    0 where they say where the fasteners sat: `screws, inlet + exhaust`.
    """
    line = state.line
    end = at
    while (token := state.peek(end)) is not None and _may_name_part(token):
        end += 1
    closed = token is None or token.kind == "join"
    before = next((one for one in reversed(state.tokens[:at]) if one.kind != "join"), None)
    if not closed or not 0 < end - at <= _LONGEST_PART or not line.core or before is None:
        return 0
    if state.join == "+":
        pair = before.kind == "phrase" and _is_part_noun(before)
        return 0 if pair else end - at  # inlet + exhaust
    named = before.entry is not None and bool(before.entry.kind)
    sized = bool(before.numbers or before.thread or before.count)
    joined = state.join in _PLUS - BELONGS | {"&"} and bool(line.kind)
    return end - at if joined and (named or sized) else 0


#: So many words name a part.
_LONGEST_PART = 3


#: They belong to what was named, and are no thing beside it.
_NO_THINGS = frozenset(
    ("hole", "holes", "end", "ends", "bit", "bits", "stuff", "so", "shank", "slot")
)


def _may_name_part(token: Token) -> bool:
    return _is_part_noun(token) or names_unknown(token)


def names_unknown(token: Token) -> bool:
    """Whether a word that nobody knows may name a thing, and says nothing that happened."""
    word = fold(token.text)
    return (
        is_unread(token)
        and word.isalpha()
        and word not in _NO_THINGS
        and not bench_roles(word)
        and not word.endswith(("ed", "ly", "ing"))
    )


def is_named_behind_plus(state: ParserState, at: int) -> bool:
    """Whether the word there stands between a plus and what it names: key + flywheel nut M10x1.

    A nut with a thread of its own sits on no fastener before it, and nothing sits on a key.
    """
    line, named, sized = state.line, state.peek(at + 1), state.peek(at + 2)
    entry = named.entry if named is not None else None
    if state.join not in _PLUS or not line.kind or entry is None or not entry.kind:
        return False
    threaded = sized is not None and sized.thread is not None and entry.kind in THREADED_KINDS
    return threaded or line.kind not in THREADED_KINDS


def _is_counted_part(state: ParserState, token: Token, at: int) -> bool:
    """Whether a part in a list is counted in brackets: the link of `spring (1), link (1)`."""
    follower = state.peek(at + 1)
    counted = follower is not None and follower.kind == "place" and count_alone(follower.name) > 0
    entry = token.entry
    part = entry is not None and entry.place and not tells_sort(token)
    line = state.line
    many = count_alone(follower.name) if counted and follower is not None else 0
    if many == 1 and line.count is None and not line.figures:
        return False  # gasket, fuel tap (one)
    if line.kind in THREADED_KINDS and line.count is None and not is_plural(token.text):
        part = part and many == 1  # nut 5/16, mudguard stay (2)
    return counted and part and state.join == "," and line.core


def _opens_metal(state: ParserState, at: int) -> bool:
    """The for of `swapped for stainless`, which says no place."""
    metal, end = state.peek(at + 1), state.peek(at + 2)
    entry = metal.entry if metal is not None else None
    alone = end is None or bool(end.thread) or end.kind in ("join", "count", "numbers")
    return entry is not None and bool(entry.material) and not entry.kind and alone


#: They tell one washer from another; front and left tell where all of it sat.
_HOW_BIG = frozenset(
    ("thick", "thin", "big", "small", "large", "little", "long", "short", "wide", "gross", "grosse",
     "klein", "kleine", "dick", "dunn", "grande", "grandes", "pequena", "petite", "petites",
     "grosses")
)  # fmt: skip


def _is_heading(state: ParserState, at: int) -> bool:
    """The bottom of `bottom: 1 bolt`."""
    follower = state.peek(at + 1)
    return follower is not None and follower.name == ":"


def _is_part_listed(state: ParserState, token: Token) -> bool:
    """The float needle of `carb: 4 screws, float needle` is a thing beside the screws."""
    line = state.line
    if line.words and state.before is not None and not state.join:
        return state.before.entry is not None and line.words[-1] == state.before.text
    if state.join not in (",", "+", "&", "and") or not line.thing:
        return False
    after = [one for one in state.tokens if one.start >= token.end]
    in_list = (
        bool(after) and after[0].name == "," and any(one.entry and one.entry.kind for one in after)
    )
    named = [one for one in state.lines if one.kind]
    placed = any(not describes(fold_words(said)) for said in line.place)
    if not (
        placed or state.placed or (in_list and line.kind) or (len(named) > 2 and state.join == ",")
    ):
        return False
    said = fold(token.text)
    known = said in bench_words("place") or said in bench_words("pair of sides")
    return not known and not tells_sort(token)


def _is_sort_of_next(state: ParserState, token: Token, at: int) -> bool:
    """The second sort of `largo M8x70 abajo, corto M8x40 arriba`."""
    line, end = state.line, at + 1
    while (
        (follower := state.peek(end)) is not None
        and follower.entry
        and (follower.entry.place or follower.entry.opens)
    ):
        end += 1
    sized = line.thread is not None and bool(line.figures)
    threaded = follower is not None and follower.thread is not None
    return bool(state.join and sized and threaded and tells_sort(token))


def _is_sort_word(word: str) -> bool:
    return any(word in bench_words(role) for role in ("sort", "place", "pair of sides", "weak"))


def _is_next_sort(state: ParserState, token: Token, at: int) -> bool:
    """The short of `long at the top x2, short x4`; the front of `2 long bolts, front hub` is where
    they sat."""
    line, before = state.line, state.before
    if any(not _is_sort_word(word) for word in fold(token.text).split()):
        return False
    end = at + 1
    while (follower := state.peek(end)) is not None and follower.entry and follower.entry.place:
        if not tells_sort(follower) and fold(follower.text) not in bench_words("place"):
            return False
        end += 1
    counted = before is not None and before.kind == "count" and bool(before.cross)
    if not (state.join in (",", ";") or counted) or line.count is None or not line.place:
        return False
    first, *rest = fold(line.place[0]).split() or [""]
    return tells_sort(token) and first in bench_words("sort") and all(map(_is_sort_word, rest))


def add_place(state: ParserState, said: str) -> None:
    line = state.line
    before = state.before
    entry = before.entry if before is not None else None
    close = entry is not None and (entry.place or entry.opens)
    if before is not None and line.place and line.place[-1].endswith(f" {before.text}"):
        close = True  # left blower cover
    apart = state.join in BELONGS - {"&", "+"}  # rear w/ big washer
    gap = before is not None and not apart and state.text[before.end] in " -/"
    if close and line.place and gap:
        line.place[-1] = f"{line.place[-1]} {said}"
    else:
        line.place.append(said)


#: Before a size they say nothing of their own: rondelles de 8.
OF = ("de", "di", "da", "von", "en", "an", "am", "zu")
_FOR = ("for", "für", "fuer", "pour", "para", "per")


#: What stands between is named by its neighbours, which are no pieces of this bag.
_BETWEEN = frozenset(("between", "zwischen", "entre", "tra", "fra"))


#: Things that other things came off are where these were: 6 nuts off 8 studs.
_OFF = frozenset(("off", "from", "von", "vom"))
#: Behind a to they are verbs, and no place.
_GOES = frozenset(("go", "do", "fit", "be", "use", "check", "order", "buy", "find", "clean"))


def _end_of_thing(state: ParserState, at: int) -> int:
    """Behind the 8 studs of `off 8 studs`; the same place when there are none."""
    many, named = state.peek(at), state.peek(at + 1)
    counted = many is not None and bool(many.count or many.numbers)
    thing = named is not None and bool(named.entry and named.entry.kind)
    return at + 2 if counted and thing else at


def _end_of_clause(state: ParserState, at: int) -> int:
    while (token := state.peek(at)) is not None and (
        token.kind != "join" or fold(token.text) in ("and", "&", "und", "et", "y", "e")
    ):
        at += 1
    return at


def _is_last_one(state: ParserState, at: int) -> bool:
    """The one of `earth wire under one`, with which a clause ends."""
    token, follower = state.tokens[at], state.peek(at + 1)
    ends = follower is None or follower.kind == "join"
    return ends and fold(token.text) == "one" and state.line.thing


def _opened(state: ParserState, token: Token, at: int) -> int:
    """A place from its first small word up to the next size, count or comma."""
    end = at + 1
    if fold(token.text) in _BETWEEN:
        end = _end_of_clause(state, end)
    elif fold(token.text) in _OFF and state.line.thing and state.line.count is not None:
        end = _end_of_thing(state, end)
    while (follower := state.peek(end)) is not None and (
        follower.kind in ("phrase", "word", "numbers", "handed")
        or (end > at + 1 and fold(follower.text) in ("one", "ones"))
        or _is_last_one(state, end)
    ):
        if fold(follower.text) in bench_words("hedge") or _is_state_at_end(state, end, at):
            break
        if follower.kind == "numbers":
            after = state.peek(end + 1)
            named = after is not None and after.kind == "phrase" and follower.numbers[0].unit
            goes = end == at + 1 and named and fold(token.text) in _FOR
            goes = goes or (end == at + 1 and _is_of_place(token, after))
            goes = goes or _is_counted_place(state, at, end)
            if not goes and (after is None or fold(after.text) not in ("o'clock", "oclock")):
                break
        end += 1
    if end == at + 1:
        size = state.peek(end)
        sized = size is not None and (size.numbers or size.thread)
        if not (sized and fold(token.text) in OF):
            state.line.words.append(token.text)
        return 1
    said = state.text[token.start : state.tokens[end - 1].end]
    inner = state.tokens[at + 1 : end]
    goes = all(fold(one.text) in _GOES for one in inner)  # nowhere to go
    says = goes or _is_of_state(state, at) or _names_no_place(token, inner)
    lock = state.lock
    of_lock = lock is not None and lock.listed and is_piece(lock) and state.before is lock.token
    if of_lock and lock is not None and not (says or lock.place):
        lock.place = said  # 2 studs in the crankcase, nuts in bag
    else:
        (state.line.words if says else state.line.place).append(said)
    state.lock = None
    return end - at


#: They stand for things that were named: nut on it, one of each.
_PRONOUNS = frozenset(
    ("it", "them", "these", "those", "this", "each", "all", "both", "him", "that")
)
#: What they open is said of things that were named: on it shouldn't be, down to nothing.
_STANDS_FOR = frozenset(("it", "them", "nothing"))
#: They say where a thing goes, or only which way.
_GOING = frozenset(("goes", "go", "going", "faces", "face", "facing"))


def _is_of_state(state: ParserState, at: int) -> bool:
    """The in nuts of `both seized in nuts` says what they are stuck in, and not where they sat."""
    before = state.tokens[at - 1] if at else None
    return before is not None and fold(before.text) in _STUCK


_STUCK = frozenset(
    ("broke", "came", "fell", "torn", "seized", "stuck", "rusted", "corroded", "broken", "snapped",
     "sheared", "welded", "jammed", "frozen", "fest", "festgerostet", "grippé", "grippée",
     "grippées", "agarrotado", "bloccato")
)  # fmt: skip


def _names_no_place(token: Token, inner: Sequence[Token]) -> bool:
    """The it of `nut on it`, and the 2nd hole that a hook goes in."""
    if fold(inner[0].text) in _STANDS_FOR or all(fold(one.text) in _PRONOUNS for one in inner):
        return True
    small = [one.entry is not None and (one.entry.opens or one.entry.noise) for one in inner]
    return fold(token.text) in _GOING and all(small)


def _is_state_at_end(state: ParserState, end: int, at: int) -> bool:
    """The tordu of `de béquille tordu`, with which a clause ends."""
    token, after = state.tokens[end], state.peek(end + 1)
    ends = after is None or after.kind == "join"
    said = fold(token.text)
    return ends and end > at + 1 and said in bench_words("condition") and not tells_sort(token)


def _is_counted_place(state: ParserState, at: int, end: int) -> bool:
    """The 2 of `behind the 2 headlamp brackets`, with which a note ends."""
    between = state.tokens[at + 1 : end]
    rest = state.tokens[end + 1 :]
    small = bool(between) and all(
        one.entry is not None and (one.entry.noise or one.entry.opens) for one in between
    )
    placed = bool(rest) and all(is_unread(one) or _is_place(one) for one in rest)
    return small and placed and rest[-1].text.lower().endswith("s")


def _is_place(token: Token) -> bool:
    return token.entry is not None and token.entry.place


def _is_of_place(token: Token, after: Token | None) -> bool:
    """The 3 mm of `through 3 mm plate`, the 8 of `from 8 holes`."""
    if after is None or fold(token.text) in OF:
        return False
    return is_unread(after) or (fold(after.text) == "plate")


#: Words of these roles say something of what sat there, and name no part.
_TELL = ("condition", "hedge", "facing", "negation", "absent", "describing")


def continues_place(state: ParserState, token: Token) -> bool:
    before = state.before
    if before is None or not state.line.place or before.entry is None or not before.entry.place:
        return False
    if state.line.words and state.line.words[-1] == before.text:
        return False  # + earth tag
    if state.text[before.end : token.start].strip(" -/"):
        return False  # carb, count later
    said = fold(token.text)
    tells = any(said in bench_words(role) for role in _TELL)
    return token.text[0].isalpha() and not tells and not nearest_word(token.text)
