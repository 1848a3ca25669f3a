"""How many: which figures and number words of a bag note count its pieces."""

from __future__ import annotations

from itertools import pairwise

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import BELONGS, Each, ParserState, tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
    look_up,
    nearest_word,
)

#: Of what has no length, 1 short says that one is missing: 22 balls, 1 short?
_NEVER_LONG = RINGS | {"ball", "nut", "self-locking nut", "circlip", "castle nut"}
#: Nobody writes a larger count on a bag.
_MOST = 250
#: The name of a count that stands behind what it counts, without an x.
BEHIND = "behind"
_WITH = BELONGS - {"+", "&"} | {"w/", "c/w"}
_GOING_ON = ("thread", "numbers", "gauge", "bearing")
#: Below this a lone figure behind a screw is a count, not a length in mm.
SHORTEST = 8
#: A line may repeat what locks it so often: two copper washers on a banjo bolt.
_REPEATED_AT_MOST = 4


def says_where(state: ParserState, token: Token, at: int) -> bool:
    """`one end`, `both sides` count no fasteners."""
    follower = state.peek(at + 1)
    before = state.tokens[at - 1] if at else None
    if fold(token.text) == "both" and before is not None and fold(before.text) == "on":
        return True  # lockwire on both
    if fold(token.text) == "both" and follower is not None and state.line.count is not None:
        named = follower.entry is not None and follower.entry.place
        return named and fold(follower.text).endswith("s") and state.line.thing
    return (
        token.name == "word"
        and follower is not None
        and fold(follower.text).removesuffix("s") in ("end", "side", "face")
        and state.line.core
    )


def part_of_several(state: ParserState, token: Token, at: int) -> int:
    """How many there are of which the `3 of` of `3 of 4 screws` are a part; else 0."""
    follower = state.peek(at + 1)
    if follower is not None and fold(follower.text) == "the":
        follower = state.peek(at + 2)
        if at and fold(state.tokens[at - 1].text) in ("got", "have", "found", "only"):
            return 0  # got 3 of the 4: three are here
    if follower is None or not token.text.lower().endswith("of"):
        return 0
    many = follower.count or (follower.numbers[0].whole if follower.numbers else 0)
    return many if many > token.count and len(follower.numbers) < 2 else 0


def note_each(state: ParserState, token: Token) -> None:
    """`M5x12, M5x16, 2 each` and `2 each: M5x12, M5x16`: the count of every thing listed."""
    behind = any(line.thing for line in state.lines)
    sets = token.name == "sets"
    state.each.append(Each(token.count, token.text, len(state.lines) - 1, behind, sets))


def note_per_side(state: ParserState, token: Token) -> None:
    """`M6x20 2 each side`: a place when the count fits it, else two readings."""
    line = state.line
    if line.count == 2 * token.count:
        line.place.append(token.text)
    elif line.per_side is None and (line.count is None or token.count == 1):
        line.count = token.count
        _, _, where = token.text.partition(" ")
        line.place.append(where or token.text)
        line.per_side = line.place[-1], token.count
    else:
        line.words.append(token.text)


def names_thing(state: ParserState, count: int, at: int) -> bool:
    """The 3 of `3 springs, 3 cups`: a part that is no fastener, with a count of its own."""
    follower, after = state.peek(at + 1), state.peek(at + 2)
    if follower is None or follower.entry is None or not follower.entry.place:
        return False
    said = fold(follower.text)
    if after is not None and after.kind not in ("join", "place"):
        ends = state.peek(at + 3)
        if said.endswith("s") and (after.numbers or after.count) and not after.cross:
            kind = ends.entry.kind if ends is not None and ends.entry else ""
            return bool(kind) and not tells_sort(follower)  # 2 rubbers 2 bolts
        side = after.entry is not None and after.entry.place and tells_sort(after)
        if not (side and said.endswith("s") and (ends is None or ends.kind == "join")):
            return False
    known = said in bench_words("place") or said in bench_words("pair of sides")
    several = count == 1 or said.endswith("s")
    return several and not known and not tells_sort(follower)


def add_thing(state: ParserState, count: int, token: Token, at: int) -> None:
    line = state.line
    if line.core or line.count is not None:
        line = state.new(token.start)
    line.count, line.thing_named = count, True
    line.words.append(state.tokens[at + 1].text)


def may_be_length(state: ParserState, token: Token) -> bool:
    """The 20 of `M6 bolt x 20`, but not of `M6 bolts x 20`."""
    line = state.line
    if line.thread is None and len(line.figures) == 1 and line.kind in THREADED_KINDS:
        size = line.figures[0].token  # the 60 of 8mm stud x 60
        sized = len(size.numbers) == 1 and bool(size.numbers[0].unit or "/" in size.text)
        return sized and not line.plural and token.count >= SHORTEST
    thread = line.thread.thread if line.thread else None
    inch = thread is not None and thread.system not in ("ISO metric", "BA")
    if inch and token.count == 1 and not line.figures and line.kind not in NO_LENGTH:
        return True  # 3/16 BSW socket x 1
    return (
        line.thread is not None
        and (line.kind in THREADED_KINDS - NO_LENGTH or (not line.kind and bool(line.head)))
        and not line.plural
        and not line.figures
        and token.count >= SHORTEST
    )


def take_condition(state: ParserState, token: Token, at: int) -> int:
    """How many tokens say `1 missing`, `1 longer at the back` of a line, and count nothing new."""
    follower = state.peek(at + 1)
    if follower is None or not state.line.core:
        return 0
    if not state.line.thing and state.line.count is not None and not state.join:
        return 0  # 2 new 2 old nuts
    behind = state.peek(at + 2)
    if not state.line.thing and behind is not None and behind.entry and behind.entry.kind:
        return 0  # rear brake plate 2 rusty O-rings
    some = token.count or (token.numbers[0].whole if token.numbers else 0)
    compared = fold(follower.text).split()[:1] in [[word] for word in bench_words("comparative")]
    so_far = _counted_so_far(state.line)
    several = state.line.surely_plural and not so_far and compared and some == 1
    other = state.line.thing and (0 < some < so_far or several)  # cover bolts, 1 longer
    ends = state.peek(at + 2) is None  # 2 longer M6x45 are a line of their own
    differs = other and (
        (compared and (some == 1 or ends))
        or (some == 1 and follower.kind == "word" and bool(state.join) and not is_slip(follower))
    )
    lacks = state.line.kind in _NEVER_LONG and 0 < some < so_far
    lacks = lacks and fold(follower.text) == "short" and bool(state.join)
    if fold(follower.text) not in bench_words("condition") and not (differs or lacks):
        return 0
    end = at + 2
    while compared and differs and (one := state.peek(end)) is not None and _says_where(one):
        end += 1
    state.line.words.append(state.text[token.start : state.tokens[end - 1].end])
    return end - at


def _says_where(token: Token) -> bool:
    entry = token.entry
    return entry is not None and not entry.kind and (entry.place or entry.opens or entry.noise)


def count_lock(state: ParserState, count: int, bracketed: bool = False) -> bool:
    """`M8 bolts x4 & nuts x4` is a nut on each; `washers x8` are a line of their own."""
    line, token = state.line, state.lock_token
    if state.lock is None or token is None or token.entry is None or line.count is None:
        return False
    if bracketed and state.lock.counted:  # 1 bolt + 2 washers (x3)
        line.words.append(f"x{count}")
        line.asked = f"x{count}", (count * line.count, line.count)
        return True
    listed = state.text[: token.start].rstrip().endswith(",")  # nut (5), flat washer (10)
    own = bracketed and (count == line.count or listed)
    if not token.entry.kind or not (own or is_plural(token.text)):
        return False
    if count != line.count:
        state.line_of_lock().count = count
    return True


def _counted_so_far(line: ParsedLine) -> int:
    """How many there are already; the figure of `bolts 4 + 4 washers` is a count as well."""
    bare = line.surely_plural and len(line.figures) == 1
    bare = bare and (line.thread is None or not line.figures[0].adjacent)
    numbers = line.figures[0].token.numbers if bare else ()
    return line.count or (numbers[0].whole if len(numbers) == 1 and not numbers[0].unit else 0)


def _only_describes(state: ParserState, at: int) -> bool:
    """Whether nothing but how it looks stands between there and the end of the note."""
    rest = state.tokens[at:]
    return bool(rest) and all(
        one.entry is not None and not one.entry.kind and bool(one.entry.head or one.entry.drive)
        for one in rest
    )


def add_count(state: ParserState, count: int, token: Token, at: int) -> None:
    line = state.line
    follower = state.peek(at + 1)
    if token.name == "word" and count == 1 and _gives_one_each(state) and locks_next(state, at):
        state.repeat = 1  # avec une rondelle: one each
        return
    if (
        locks_next(state, at)
        and line.kind not in RINGS | {"other"}
        and bool(line.kind or line.thread or line.head)
        and (state.join in BELONGS or (state.join and _is_on_each(state, at)))
        and ((_counted_so_far(line) or 1) == 1 or _is_on_each(state, at))
        and count <= _REPEATED_AT_MOST
    ):
        state.repeat = count
        return
    sized = line.thread or line.figures or line.gauge
    goes_on = follower is not None and follower.kind in _GOING_ON and not sized and not state.join
    goes_on = goes_on and not line.bearing
    behind = token.cross and state.before is not None and state.before.kind == "numbers"
    of_others = line.kind in RINGS and line.place and follower is not None and follower.thread
    headed = line.header and line.count is None and not line.figures
    opens = bool(line.thing) and begins_line(state, follower) and not behind and not headed
    opens = opens and bool(not goes_on or of_others)
    same = follower is not None and follower.entry is not None and bool(line.kind)
    same = same and bool(follower and follower.entry and follower.entry.kind == line.kind)
    if opens and same and not state.join and line.count is None and line.surely_plural:
        opens = False  # fuel pipe clips 2 jubilee
    if opens and not state.join and line.count is None and _only_describes(state, at + 1):
        opens = False  # M6 x 55 qty 3 hex socket
    if opens and state.join and _is_bare_thread(state) and _names_threaded(follower):
        opens = False  # either 1/4 UNF or M6, 3 nuts
    placed = follower is not None and bool(follower.entry and follower.entry.place)
    unit = token.name == "" and token.text[-1:].isalpha() and token.text[-1:] not in "xX"
    placed = placed or (follower is not None and follower.kind == "numbers")
    bare = line.thread is None and not line.figures
    behind_name = follower is not None and (
        follower.kind == "standard" or (follower.kind == "thread" and bare)
    )
    placed = placed or behind_name  # screws 2 off 4BA
    if placed and unit and line.kind and line.count is None and not state.join:
        opens = False  # nuts 2 off front, screws 4 off 3/8
    if _counts_unknown(state, token):
        word = line.words.pop()
        line = state.new(token.start)
        line.words, line.thing_named, line.count = [word], True, count
        return
    behind_it = token.text[0] in "xX" or token.name == BEHIND
    opens = opens and not (token.cross and behind_it and not state.join)
    after = state.peek(at + 2)
    if follower is not None and follower.kind == "numbers" and after is not None:
        opens = opens and fold(after.text) not in bench_words("condition")  # 2 off 1 damaged
    slip = follower is not None and bool(state.join) and is_slip(follower)
    if line.count is not None or opens or slip:
        line = state.new(token.start)
    line.count = count


def _is_bare_thread(state: ParserState) -> bool:
    """Whether nothing but a thread was said so far."""
    line = state.line
    sized = line.figures or line.gauge or line.head or line.drive or line.locks or line.tools
    return len(state.lines) == 1 and line.thread is not None and not (sized or line.kind)


def _names_threaded(token: Token | None) -> bool:
    entry = token.entry if token is not None else None
    return entry is not None and entry.kind in THREADED_KINDS


def _gives_one_each(state: ParserState) -> bool:
    """The une of `4 vis avec une rondelle`; `2 tuercas y una arandela` are three pieces."""
    return state.join in BELONGS or bool(state.join and (state.line.count or 1) == 1)


def _counts_unknown(state: ParserState, token: Token) -> bool:
    """The second 4 of `springs x 4, dingles x 4`."""
    line, before = state.line, state.before
    if not (token.cross and state.join and line.count is not None and before is not None):
        return False
    return before.kind == "word" and bool(line.words) and line.words[-1] == before.text


def _is_on_each(state: ParserState, at: int) -> bool:
    """The two washers of `2 bolts with 2 washers each` are on each of them."""
    behind = [one.text for one in state.tokens[at + 2 : at + 4] if one.kind != "join"]
    words = {fold(word) for word in (*state.line.place, *behind)}
    return bool(words & {"each", "ea", "je", "chacun", "cada uno", "ciascuno"})


def locks_next(state: ParserState, at: int) -> bool:
    follower = state.peek(at + 1)
    if (
        follower is not None
        and follower.kind == "phrase"
        and follower.entry
        and follower.entry.material
        and not follower.entry.kind
    ):
        follower = state.peek(at + 2)
    return bool(
        state.line.core and follower is not None and follower.entry and follower.entry.locks
    )


def begins_line(state: ParserState, follower: Token | None) -> bool:
    """Whether a count with this behind it begins something new."""
    if follower is None:
        return False
    if follower.kind in ("thread", "gauge", "bearing", "standard"):
        return True
    if follower.kind == "numbers":
        return bool(state.line.kind or state.line.thread)
    entry = follower.entry
    if entry is None:
        return False
    if entry.material and not entry.kind and state.join:
        after = next((one for one in state.tokens if one.start >= follower.end), None)
        entry = after.entry if after is not None and after.entry else entry
    sort = entry.place and tells_sort(follower)
    return bool(entry.kind or entry.locks or entry.head or entry.drive or sort)


#: More than so many are not counted behind another count.
_LIKELY = 12


def is_count(state: ParserState, number: int, follower: Token) -> bool:
    line = state.line
    if line.figures and state.join and line.count is not None and _names_sort_or_size(follower):
        return number <= _MOST  # 1 largo 50 y 1 corto 30
    # two circlips 35 bearing
    named = follower.entry is not None and bool(follower.entry.kind)
    size = named and number > _LIKELY and not state.join and line.count not in (None, number)
    if size or number > _MOST or (line.figures and not (line.kind or line.thread)):
        return False  # 45, 45, 55, 70 M6
    if is_slip(follower) and (line.thing or line.words) and state.join:
        return True
    if follower.kind == "join":
        return _counts_before_join(state, follower)
    if fold(follower.text) in bench_words("others"):
        return bool(state.join) or not is_unread(state.before)
    if not line.thing and line.words and fold(follower.text) in bench_words("condition"):
        return True  # 2 new 2 old nuts
    if not line.thing and line.count is None:
        return _counts_first(state, follower)
    if follower.kind == "numbers" and line.count is not None and state.join:
        # 3 shims .010" and 1 .020"
        first = follower.numbers[0]
        sized = first.unit or not first.text.isdecimal() or follower.behind == "long"
        return bool(sized) and not follower.cross
    behind_thread = state.before is not None and state.before.kind == "thread" and not state.join
    one_more = number == 1 and _is_other_kind(line.kind, follower)
    several = _is_several(line.kind, follower) or one_more
    if line.thread is not None and behind_thread and not several:
        return False  # M6 20 hex: a length, or a doubt, never a new line
    return _counts_next(state, follower)


def _counts_before_join(state: ParserState, join: Token) -> bool:
    """The 1 of `1 w/ dowel`, the 4 of `4 - M6x20`."""
    line = state.line
    if line.count is not None or line.thing:
        return False
    with_it = join.name in _WITH and not line.place
    return with_it or (join.name == "-" and not line.core)


def _names_sort_or_size(token: Token) -> bool:
    """Whether the next of a list of sorts or lengths may follow: short, da 8, 45 long."""
    of = token.entry is not None and token.entry.opens
    return tells_sort(token) or of or token.behind == "long"


def _counts_first(state: ParserState, follower: Token) -> bool:
    """Whether the first figure of a line counts; the 30 of `wibble 30 inner` is a size."""
    entry = follower.entry
    head = entry is not None and entry.head not in ("", "internal", "external")
    named = follower.kind in _GOING_ON or head or bool(entry and (entry.kind or entry.drive))
    if is_unread(state.before) and not state.join and not named:
        return False
    return follower.kind != "numbers" or len(follower.numbers) > 1


def _counts_next(state: ParserState, follower: Token) -> bool:
    """Whether what stands behind a number begins a line of its own, which it counts."""
    line, entry = state.line, follower.entry
    known = line.count is not None
    if entry is not None and entry.material and not entry.kind:  # 2 plastic bushes
        after = next((one for one in state.tokens if one.start >= follower.end), None)
        entry = after.entry if after is not None and after.entry else entry
    if entry is not None and (entry.kind or entry.locks):
        return bool(line.kind or line.thread or known)
    bare = bool(line.head or line.drive) and not (line.kind or line.thread)
    if entry is not None and (entry.head or entry.drive) and (state.join or bare) and known:
        return True  # 2 hex 2 slotted M5
    if entry is not None and entry.opens and not line.thread and line.surely_plural:
        return known or bool(state.join)  # balls, 17 in top race 16 in bottom
    if entry is not None and entry.place and tells_sort(follower):
        return known
    return follower.kind == "thread" and (known or bool(state.join) or bool(line.kind))


def is_slip(token: Token) -> bool:
    """Whether a word is probably a slip for a kind: `2 nutts`."""
    near = nearest_word(token.text) if token.kind == "word" and token.text.isalpha() else ""
    said = look_up((near,)) if near else None
    return said is not None and bool(said[1].kind)


def _is_several(kind: str, follower: Token) -> bool:
    """The washers of `banjo bolt M10x1 3 copper washers`."""
    entry = follower.entry
    other = entry is not None and entry.kind not in ("", kind)
    return bool(kind) and other and fold(follower.text).endswith("s")


def _is_other_kind(kind: str, follower: Token) -> bool:
    """The nut of `2 studs 1/4 BSF 1 nut missing`."""
    entry = follower.entry
    return bool(kind) and entry is not None and entry.kind not in ("", kind)


def is_first_sort(state: ParserState, follower: Token, at: int) -> bool:
    """The first 2 of `M6 studs 2 long 2 short`."""
    line = state.line
    second = [one for one in state.tokens[at + 2 : at + 8] if one.kind != "place"]
    firsts = [word for one in line.place for word in fold(one).split()[:1]]
    sorted_by = any(word in bench_words("sort") for word in firsts)
    if line.count is not None or not line.kind or sorted_by or not tells_sort(follower):
        return False
    return any(
        (one.count or (one.numbers and one.numbers[0].whole)) and tells_sort(other)
        for one, other in pairwise(second)
    )
