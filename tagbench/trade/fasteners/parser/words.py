"""What the words of a bag note say of their line: kind, head, drive, metal."""

from __future__ import annotations

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.locking import (
    add_lock,
    is_finer_nut,
    is_lock,
    is_metal_of_lock,
    is_of_its_own,
)
from tagbench.trade.fasteners.parser.pieces import is_piece
from tagbench.trade.fasteners.parser.places import add_place_word
from tagbench.trade.fasteners.parser.prepared_words import how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token, count_alone
from tagbench.trade.fasteners.vocabulary import (
    PARTS_LIKE_HEADS,
    RINGS,
    THREADED_KINDS,
    PhraseMeaning,
    bench_words,
    fold,
    nearest_word,
)

#: Joints between two things of which there are as many.
_PAIRING = ("and", "&", "+", "und", "et", "y", "e", "/")
#: They say of what sort screws are that were named already.
_SORTS_OF_SCREW = frozenset(
    ("self tapping", "self-tapping", "self tap", "self tappers", "drilling")
)
#: What has no head: there such a word says how it is.
_HEADLESS = RINGS | frozenset(
    ("pin", "dowel pin", "taper pin", "spring pin", "cotter pin", "roller", "ball", "bearing",
     "seal", "oil seal", "O-ring", "spring", "shim", "gasket", "key")
)  # fmt: skip
#: What a ring is named by that seals it: rondelle cuivre bouchon de vidange.
_SEALED = frozenset(("plug", "drain plug", "spark plug", "bleed screw"))
#: What no screw is made of: behind a comma it is a thing of its own.
_SOFT = frozenset(("plastic", "rubber", "felt", "leather", "paper", "cork", "fibre"))
#: Of these, what nothing with a thread is made of.
_NO_METAL = frozenset(("felt", "paper", "cork"))


def add_phrase(state: ParserState, token: Token, at: int) -> int:
    entry = token.entry or PhraseMeaning()
    if _is_same_kind_again(state, at) or _is_sort_of_another(state, at):
        state.new(token.start)
    if _is_cap_of_its_own(state, token, at):
        cap = state.new(token.start)
        cap.kind, cap.words = "other", [token.text]
        return 1
    if _says_what_it_does(state, token, at):
        state.line.words.append(token.text)
        return 1
    if entry.opens or entry.place:
        return add_place_word(state, token, at)
    if entry.noise and not (entry.kind or entry.head or entry.locks):
        return 1
    if _says_which_nut(state, token, entry):
        state.line.words += _other_words(state.line.kind_words)
        state.line.kind, state.line.kind_words = entry.kind, token.text
        return 1
    if is_of_its_own(state, token, at):
        many = state.repeat or None
        state.new(token.start).count = many  # + 2 circlips ext 10
    elif entry.locks and state.repeat and not is_lock(state, entry):
        many = state.repeat
        state.new(token.start).count = many  # pivot pin + 2 split pins
    elif entry.locks and is_lock(state, entry):
        state.lock = add_lock(state, token)
        state.lock_token = token
        return 1
    return _add_name(state, token, entry, at)


def _is_cap_of_its_own(state: ParserState, token: Token, at: int) -> bool:
    """The cap of `spark plug and cap`, which is no head of a screw."""
    follower = state.peek(at + 1)
    named = follower is not None and follower.entry is not None and follower.entry.kind
    joined = state.join.strip() in ("and", "+", "&", "plus", "with", "w/") and state.line.kind
    before = state.peek(at - 1) if at else None
    article = before is not None and fold(before.text) in ("a", "1", "one")
    alone = article and (follower is None or follower.kind == "join")
    return fold(token.text) == "cap" and bool(joined or alone) and not named


#: What a fastener does, right before its name; elsewhere it says where: screws holding the cover.
_DOES = frozenset(("fixing", "securing", "holding", "retaining", "fastening", "through", "thru"))


def _says_what_it_does(state: ParserState, token: Token, at: int) -> bool:
    """The fixing of `4 fixing nuts M6`."""
    follower = state.peek(at + 1)
    named = follower is not None and follower.entry is not None and follower.entry.kind
    return fold(token.text) in _DOES and bool(named) and not state.line.kind


def _says_which_nut(state: ParserState, token: Token, entry: PhraseMeaning) -> bool:
    """The castle of `axle nut, castle`."""
    named = "nut" in fold(token.text) or is_plural(token.text)
    return state.join == "," and is_finer_nut(state.line.kind, entry.kind) and not named


def _is_same_kind_again(state: ParserState, at: int) -> bool:
    """The thin of `thick washer, thin washer`, which begins the second one."""
    kind = state.line.kind
    if not state.join or not kind:
        return False
    for token in state.tokens[at : at + 4]:
        if token.entry is None or token.entry.opens:
            return False
        if token.entry.kind:
            first = state.tokens[at]
            if token is first:
                return False
            part = first.entry is not None and first.entry.place and not tells_sort(first)
            listed = bool(part) and state.join == ","
            locks = bool(token.entry.locks) and is_lock(state, token.entry)
            return listed or token.entry.kind == kind or not locks
    return False


def _is_sort_of_another(state: ParserState, at: int) -> bool:
    """The big of `circlip + big washer`, which says which washer, and begins its line."""
    line, follower = state.line, state.peek(at + 1)
    if not (state.join in BELONGS and line.kind and tells_sort(state.tokens[at])):
        return False
    entry = follower.entry if follower is not None else None
    if entry is None or not entry.kind:
        return False
    return line.kind not in THREADED_KINDS or not is_lock(state, entry)


def _add_name(state: ParserState, token: Token, entry: PhraseMeaning, at: int) -> int:
    """Takes a word that says what it is, how its head looks or what it is made of."""
    line = state.line
    if state.lock is not None and entry.material and not state.join and not entry.kind:
        state.lock.made_of(entry.material)
        return 1  # nuts brass
    if _is_head_of_lock(state, entry) and state.lock is not None:
        state.lock.words.append(token.text)
        return 1
    state.lock = None
    if line.header and entry.kind and line.kind not in ("", entry.kind) and not line.figures:
        _header_is_place(state)
    follower = state.peek(at + 1)
    if (
        _is_part_of_machine(state, token, at)
        or _is_no_steel(state, token, follower)
        or (entry.head and _is_cap(state, token))
    ):
        line.words.append(token.text)
        return 1
    _line_of(state, token, entry, follower)
    if entry.kind and not _take_kind(state, token, entry):
        if not state.join:
            sealed = entry.foreign and entry.kind in _SEALED and state.line.kind in RINGS
            (state.line.place if sealed else state.line.words).append(token.text)
            return 1
        paired = _is_pair(state, token)
        state.new(token.start).paired = paired
        _take_kind(state, token, entry)
    if entry.kind == "other":
        state.line.thing_named = True
    if is_metal_of_lock(state, entry, at):
        return 2
    _describe(state, token, entry)
    return 1


def _is_no_steel(state: ParserState, token: Token, follower: Token | None) -> bool:
    """The HT of an HT lead."""
    placed = follower is not None and bool(follower.entry and follower.entry.place)
    said = fold(token.text)
    return (said in ("va", "ht") and not state.line.thing) or (said == "ht" and placed)


def _is_head_of_lock(state: ParserState, entry: PhraseMeaning) -> bool:
    """The square of `M5x25 + nut square`."""
    lock = state.lock
    looks = bool(entry.head) and not entry.kind and not state.join
    return lock is not None and looks and is_piece(lock) and state.before is lock.token


def _is_part_of_machine(state: ParserState, token: Token, at: int) -> bool:
    """The flange of `2 nuts 1/4 BSF exh. flange`."""
    if fold(token.text) not in PARTS_LIKE_HEADS:
        return False
    follower = state.peek(at + 1)
    if follower is not None:  # trans pan 8 pcs M6
        counts = bool(follower.count or follower.numbers) and not follower.cross
        line = state.line
        alone = not (line.thing or line.count is not None or line.figures or line.gauge)
        listed = follower.name == "," and at > 0  # inner flange, 2 screws
        first = alone and (counts or (listed and at == len(line.place)))
        return first or (follower.kind == "join" and _is_behind_part(state, at))
    before = state.tokens[at - 1] if at else None
    if before is not None and before.name == "." and at > 1:
        before = state.tokens[at - 2]
    return is_unread(before) or _is_behind_part(state, at)


def _is_behind_part(state: ParserState, at: int) -> bool:
    """The flange of `2 0BA studs, carb flange`."""
    before = state.tokens[at - 1] if at else None
    part = before is not None and before.entry is not None and before.entry.place
    listed = at > 1 and state.tokens[at - 2].kind == "join"
    return bool(part and listed and before is not None and not tells_sort(before))


def _is_pair(state: ParserState, token: Token) -> bool:
    """The bolts of `4 nuts and bolts M6`, which are as many as the nuts."""
    line = state.line
    if state.join not in _PAIRING:
        return False
    nut_and_bolt = {line.kind, token.entry.kind if token.entry else ""} == {"nut", "bolt"}
    several = is_plural(line.kind_words), is_plural(token.text)
    return all(several) or (nut_and_bolt and not any(several) and line.count is None)


def _header_is_place(state: ParserState) -> None:
    """`exhaust clamp: 1 bolt`: the clamp says where the bolt is from."""
    line = state.line
    heading, _, _ = state.text[line.start : line.end].partition(":")
    line.place, line.kind, line.kind_words = [heading.strip()], "", ""
    line.header = False


def _line_of(
    state: ParserState, token: Token, entry: PhraseMeaning, follower: Token | None
) -> None:
    """Begins another line where a kind or a metal is not of this one."""
    before = state.line
    if not (
        _is_other_metal(state, entry, follower)
        or _is_next_kind(state, entry)
        or _is_unthreaded_next(state, entry)
        or _is_behind_and(state, token, entry)
        or (before.thing_named and state.join and entry.kind and not before.kind)
        or _is_other_circlip(state, entry)
        or _is_with_unknown(state, entry)
        or _is_behind_listed(state, entry)
        or _is_screw_beside_ring(state, entry)
        or _is_behind_sort(state, entry, follower)
        or _is_behind_bearing(state, entry)
    ):
        return
    before.thing_named = before.thing_named or _is_with_unknown(state, entry)
    screw = _is_screw_beside_ring(state, entry)
    other = _is_other_circlip(state, entry)
    apart = _is_behind_and(state, token, entry)
    line = state.new(token.start)
    line.apart = apart
    if not (entry.kind or screw):
        # the words of an internal circlip do not name the external one beside it
        line.kind, line.kind_words = before.kind, before.kind if other else before.kind_words
        line.thread, line.thread_text = before.thread, before.thread_text


def _is_behind_bearing(state: ParserState, entry: PhraseMeaning) -> bool:
    """The seals of `6204 x2 + 6303 drive side, seals 20x35x7`: the number is that of a bearing."""
    line = state.line
    other = bool(entry.kind) and "bearing" not in entry.kind and not entry.locks
    return bool(line.bearing) and not line.kind and state.join == "," and other


def _is_behind_sort(state: ParserState, entry: PhraseMeaning, follower: Token | None) -> bool:
    """The collars of `springs 2 inner 2 outer, collars 2`: they have a count of their own."""
    line = state.line
    sorted_ones = not line.kind and line.count and line.place and state.join == ","
    named = len(state.lines) > 1 and state.lines[-2].kind not in ("", entry.kind)
    counted = follower is not None and bool(follower.count or how_many(follower))
    return bool(sorted_ones and named and entry.kind and counted)


def _is_other_metal(state: ParserState, entry: PhraseMeaning, follower: Token | None) -> bool:
    """The fibre of `copper washers 3/8 x 4 & fibre 1/2 x 2`, of `copper washers, fibre washers`."""
    line = state.line
    other = entry.material and entry.material not in line.material
    if not (other and state.join and line.material and line.kind):
        return False
    if entry.kind == line.kind or (
        follower and follower.entry and follower.entry.kind == line.kind
    ):
        return True
    if not entry.kind and how_many(follower) and (line.count is not None or line.figures):
        return True  # 0BA nuts brass 2, steel 3
    return not entry.kind and bool(line.figures) and line.kind not in THREADED_KINDS


def _is_screw_beside_ring(state: ParserState, entry: PhraseMeaning) -> bool:
    """The grub of `collar 16mm bore, grub M5`, of `key 3/16, grub 1/4`: no ring or key has such a
    head."""
    screw = entry.head in ("grub", "socket", "hex", "cheese", "pan") and not entry.kind
    headless = state.line.kind in RINGS or (entry.head == "grub" and state.line.kind in _HEADLESS)
    return bool(screw and state.join) and headless


def _is_behind_listed(state: ParserState, entry: PhraseMeaning) -> bool:
    """The washers of `2 bolts 6x16 and 1 6x20, washers x3`: the 6x20 is a bolt."""
    line, before = state.line, state.lines[-2] if len(state.lines) > 1 else None
    listed = before is not None and before.kind in THREADED_KINDS and bool(before.figures)
    sized = line.count is not None and bool(line.figures) and not (line.kind or line.thread)
    ring = entry.kind not in THREADED_KINDS and bool(entry.kind)
    return listed and sized and ring and state.join == ","


def _is_with_unknown(state: ParserState, entry: PhraseMeaning) -> bool:
    """The washers of `axe 12 long 110 avec rondelles`: the sizes are those of the axe."""
    line = state.line
    sized = bool(line.figures) and not (line.thread or line.kind or line.head or line.drive)
    return bool(entry.kind) and sized and state.join in BELONGS


def _is_other_circlip(state: ParserState, entry: PhraseMeaning) -> bool:
    """The int of `circ. ext 15 + int 42`."""
    line = state.line
    sized = line.kind == "circlip" and bool(line.head and line.figures)
    return bool(sized and state.join and entry.head and entry.head != line.head)


def _is_unthreaded_next(state: ParserState, entry: PhraseMeaning) -> bool:
    """The key of `grub M5x5, key 3x3`, the grommets of `4 M6 hex, rubber grommets`: what has a
    thread and a length, or the head of a screw, is none."""
    line = state.line
    headed = bool(line.head or line.drive or line.locks)
    sized = headed or any(figure.adjacent for figure in line.figures)
    sized = sized or (line.count is not None and bool(line.place) and entry.kind not in RINGS)
    sized = (line.thread is not None and sized) or line.head == "grub"  # collar, grub, key
    other = entry.kind and entry.kind not in THREADED_KINDS
    return bool(other and not line.kind and sized and state.join)


def _is_behind_and(state: ParserState, token: Token, entry: PhraseMeaning) -> bool:
    """The cup washers of `2 1/4 x 1 whit csk and cup washers`, the gasket of `6004ZZ + gasket`."""
    line, at = state.line, state.tokens.index(token)
    if not entry.kind or line.kind or not at or state.tokens[at - 1].kind != "join":
        return False
    if state.join == "+":
        return line.core or bool(line.tools or line.count)
    told = line.thread or line.head or line.gauge or line.bearing or line.figures
    return bool(told or (line.count and line.core)) and state.join in _PAIRING


def _is_next_kind(state: ParserState, entry: PhraseMeaning) -> bool:
    """`plain washers M6 (2) spring washers M6 (2)`: a counted line is closed by its brackets."""
    line, before = state.line, state.before
    counted = before is not None and before.kind == "place" and count_alone(before.name)
    return bool(entry.kind and counted and line.kind and (line.thread or line.figures))


def _describe(state: ParserState, token: Token, entry: PhraseMeaning) -> None:
    line = state.line
    if fold(token.text) == "rh" and _is_right_hand(state):
        line.place.append(token.text)
        return
    for field in ("head", "drive"):
        _say(state, field, getattr(entry, field), token)
    soft = entry.material in _SOFT and not entry.kind
    never = entry.material in _NO_METAL and line.thread is not None and not entry.kind
    never = never and not line.kind and not _is_before_kind(state, token)
    if never or (soft and (_is_other_thing(state, token) or _is_of_place(state, token))):
        line.words.append(token.text)
    elif entry.material and entry.material not in line.material:
        line.material.append(entry.material)
    elif not (entry.kind or entry.head or entry.drive or entry.material):
        line.words.append(token.text)


def _is_before_kind(state: ParserState, token: Token) -> bool:
    follower = state.peek(state.tokens.index(token) + 1)
    return follower is not None and bool(follower.entry and follower.entry.kind)


def _is_of_place(state: ParserState, token: Token) -> bool:
    """The rubber of `footrest rubber bolts`: no bolt is made of it."""
    at = state.tokens.index(token)
    before, follower = state.tokens[at - 1] if at else None, state.peek(at + 1)
    placed = before is not None and before.entry is not None and before.entry.place
    entry = follower.entry if follower is not None else None
    if entry is not None and entry.place and state.line.kind in THREADED_KINDS:
        return not tells_sort(follower) if follower is not None else False  # plastic panel
    return placed and entry is not None and entry.kind in THREADED_KINDS


def _is_other_thing(state: ParserState, token: Token) -> bool:
    """The rubber of `bolt M8, washer & rubber`, of `rubber cap missing`."""
    if state.join and state.line.thing:
        return (
            len(state.lines) > 1 or state.line.kind not in RINGS or "bearing" in state.line.kind
        )  # gasket, paper
    follower = next((one for one in state.tokens if one.start >= token.end), None)
    if follower is None or state.line.kind not in THREADED_KINDS:
        return False
    return follower.kind == "word" or fold(follower.text) in ("cap", "caps")


def _is_cap(state: ParserState, token: Token) -> bool:
    """A cap with the name of a part before it, `fork caps`, `rubber cap`, is no socket head."""
    before = state.before
    if fold(token.text) not in ("cap", "caps") or before is None:
        return False
    if state.line.kind not in ("", "screw", "bolt"):
        return True
    if before.kind == "word":
        return not nearest_word(before.text)  # sockt cap
    entry = before.entry
    return bool(entry and (entry.place or entry.material))


def _names_part(token: Token) -> bool:
    entry = token.entry
    return entry is not None and entry.place and not (entry.kind or entry.opens)


def _is_right_hand(state: ParserState) -> bool:
    """RH is a round head on screws and rivets, and the right hand beside an LH."""
    beside = any(fold(one.text) in ("lh", "lhs") for one in state.tokens)
    at = next(at for at, one in enumerate(state.tokens) if fold(one.text) == "rh")
    follower = state.peek(at + 1)
    if follower is not None and follower.entry and follower.entry.place:
        return True  # rh footrest bolt
    leader = state.peek(at - 1) if at else None
    parted = follower is not None and follower.kind == "join" and follower.text.strip() == ","
    if parted and leader is not None and (is_unread(leader) or _names_part(leader)):
        return True  # footrest rh, 2 bolts
    kind = state.line.kind
    return beside or bool(kind and "screw" not in kind and kind not in ("bolt", "rivet"))


def _say(state: ParserState, field: str, value: str, token: Token) -> None:
    line = state.line
    before = getattr(line, field)
    if not value or before == value:
        return
    if field == "head" and (before, value) == ("cheese", "socket") and token.entry:
        line.head = value  # Zylinderschraube mit Innensechskant
        return
    told = state.before is not None and fold(state.before.text) in bench_words("condition")
    headless = line.kind in _HEADLESS or line.kind.endswith(" pin")
    if field == "head" and headless and (state.join or told):
        line.words.append(token.text)  # pivot pin, worn oval
        return
    if before and not (field == "head" and line.kind == "circlip"):
        line.words.append(token.text)
        return
    setattr(line, field, f"{before} {value}".strip())


def _other_words(words: str) -> list[str]:
    """The axle of an `axle nut` that is called a nyloc behind it."""
    first, _, last = words.rpartition(" ")
    return [first] if first and fold(last).removesuffix("s") in ("nut", "screw") else []


def _figure_of_place(state: ParserState) -> None:
    """The 2 of `kingpin 2, cotters` says something of the kingpin, and is no size of the cotter."""
    line = state.line
    first = line.figures[0].token if len(line.figures) == 1 else None
    lone = first is not None and len(first.numbers) == 1 and not (first.cross or first.behind)
    said = line.thread or line.head or line.gauge or line.count is not None
    if state.join == "," and first is not None and lone and line.place and not said:
        line.figures = []
        line.words.append(first.text)


def _are_plain_washers(line: ParsedLine) -> bool:
    """Whether washers were named by their sort, or with a colon: washers: 4 flat, 4 spring."""
    sorts = {fold(word) for said in (*line.words, line.kind_words) for word in said.split()}
    plain = line.header or bool(sorts & {"flat", "plain", "flats", "plains"})
    return "washer" in line.kind and is_plural(line.kind_words) and plain


def _take_kind(state: ParserState, token: Token, entry: PhraseMeaning) -> bool:
    line = state.line
    if not line.kind:
        _figure_of_place(state)
        line.kind_with = state.join in BELONGS and not line.thread and bool(line.count)
        line.kind, line.kind_words = entry.kind, token.name or token.text
        line.kind_token = token
        line.counted_first = line.count is not None and not line.figures and not line.thread
        english = fold(token.text) in ("spring", "springs")
        if entry.kind == "spring" and english and any(map(_are_plain_washers, state.lines)):
            # washers: 4 flat, 4 spring
            line.kind, line.kind_words = "lock washer", f"{token.text} washer"
        return True
    if state.join == "," and line.kind == "screw" and fold(token.text) in _SORTS_OF_SCREW:
        line.kind, line.kind_words = entry.kind, token.text
        return True  # 12 screws, self tapping
    if state.join in (",", "-") and line.kind == entry.kind == "key" and not line.head:
        return True  # key of the flywheel, half moon
    if state.join:
        return False
    before = state.before
    # the nuts of `u-bolt + 2 nuts exhaust clamp` are no part of its name
    own = before is not None and fold(line.kind_words).endswith(fold(before.text))
    own = own and not is_plural(line.kind_words)  # split pins axle nuts
    if own and before and before.entry and before.entry.kind and not entry.foreign:
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
    if line.kind == "screw" or entry.kind == line.kind or is_finer_nut(line.kind, entry.kind):
        line.words += _other_words(line.kind_words) if entry.kind != line.kind else []
        line.kind = entry.kind
        line.kind_words = token.text
        return True
    return False
