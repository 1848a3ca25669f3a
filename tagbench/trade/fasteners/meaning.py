"""What the tokens of a line mean together: its kind, thread and sizes as one record."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tagbench.records import Fastener
from tagbench.trade.fasteners.choices import GRIPS, MOST_PIECES, Meaning, WordChoice
from tagbench.trade.fasteners.counts.figures import without_counts
from tagbench.trade.fasteners.kept_words import in_order
from tagbench.trade.fasteners.options import Option, in_all, numbered, of_them, threaded
from tagbench.trade.fasteners.own_sizes import (
    bearing_size,
    numbered_size,
    takes_fine_thread,
    usual_threads,
)
from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.pin_figures import read_pin
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.remark_clauses import says_reused
from tagbench.trade.fasteners.ring_figures import read_ring
from tagbench.trade.fasteners.screw_figures import HEX_KEYED, read_screw
from tagbench.trade.fasteners.settled_kind import head_words, settle_kind
from tagbench.trade.fasteners.thread_figures import threads_from_figures
from tagbench.trade.fasteners.thread_words import ThreadFound, threads_of_size
from tagbench.trade.fasteners.tokens import Token, standards
from tagbench.trade.fasteners.vocabulary import (
    NUMBERED,
    RINGS,
    THREADED_KINDS,
    bench_roles,
    bench_words,
    count_said,
    fold,
    fold_words,
    is_single_use,
    look_up,
    nearest_word,
    phrases,
)
from tagbench.trade.threads.designation import left_handed
from tagbench.trade.threads.sizes import metric_by_diameter
from tagbench.trade.threads.thread import Thread


def read_line(
    line: ParsedLine, at: int, picks: Mapping[str, str], typed: str
) -> tuple[Fastener, tuple[WordChoice, ...]]:
    """The record of one line, and the choices in it."""
    if line.thread_text[:1] == "M" and fold(line.kind_words) == "bolzen":
        line.kind = "bolt"  # a pin has no thread
    said = Meaning(line, at, picks, words=list(line.words))
    if line.count:
        said.count(line.count)
    _by_standard(said)
    _by_number(said)
    _settle_thread(said)
    figures = threads_from_figures(said, list(line.figures))
    kind = settle_kind(said)
    if kind == "bearing" and _are_balls(line, figures):
        kind = line.kind = "ball"
    sized = any(len(one.token.numbers) == _RING_SIZES for one in figures)
    if kind == "roller" and sized and not line.plural:
        kind = line.kind = "needle bearing"  # needle roller 12x16x10
    figures = without_counts(said, kind, figures)
    if kind in RINGS:
        read_ring(said, figures)
    elif kind in THREADED_KINDS:
        read_screw(said, figures)
    else:
        read_pin(said, figures)
    _handed(said)
    _slips(said)
    _ask_how_many(said, _several_things(said) if kind == "other" else "")
    return _record(said, kind, typed), tuple(said.choices)


#: No two series are nearer than so many threads an inch.
_NEAR_TPI = 0.4
#: Inside, outside and width.
_RING_SIZES = 3
_CAP = ("cap screw", "cap screws", "capscrew", "capscrews")
#: No ball of a small machine is wider, in mm; no bearing has so small a size alone.
_WIDEST_BALL = 13
#: So many of one size are balls, and not bearings full of them.
_FEWEST_BALLS = 2
#: No machine of this size has so many bearings of one sort.
_SURELY_BALLS = 7


def _are_balls(line: ParsedLine, figures: Sequence[Figure]) -> bool:
    """`6mm ball bearings 24 of them` are loose balls."""
    if "ball" not in fold(line.kind_words) or line.bearing or len(figures) > 1:
        return False
    if not figures:  # 19 ball bearings 3/16 top, 19 bottom
        return line.plural and (line.count or 0) >= _SURELY_BALLS
    numbers = figures[0].token.numbers
    number = numbers[0]
    inch = number.unit == "in" or "/" in number.text
    second = numbers[1].text if len(numbers) > 1 else ""
    many = line.count or (int(second) if second.isdecimal() else 0)
    size = float(number.value) * (25.4 if inch else 1)
    return size <= _WIDEST_BALL and many >= _FEWEST_BALLS


def _by_standard(said: Meaning) -> None:
    line = said.line
    if not line.standard:
        return
    said.fields["standard"] = line.standard
    row = standards().get(line.standard)
    if row is None:
        return
    line.kind = line.kind or row["kind"]
    line.head = line.head or row["head"]
    line.drive = line.drive or row["drive"]


def _by_number(said: Meaning) -> None:
    line = said.line
    if line.kind == "other" and line.gauge is not None:
        said.words.append(line.gauge.text)  # ring terminal #10
        return
    if line.bearing:
        line.kind = line.kind or "bearing"
        said.fields["number"] = line.bearing
        size = bearing_size(line.bearing)
        if size:
            said.fields |= dict(zip(("diameter", "length", "thickness"), size, strict=True))
            said.fields["length_unit"] = "mm"
    if line.gauge is None:
        return
    _by_gauge(said, line.gauge)


def _by_gauge(said: Meaning, gauge: Token) -> None:
    """A number with # or no. before it, read in the table of its own kind."""
    line, name = said.line, gauge.name
    counts = re.match(r"n[.°º]", gauge.text, re.IGNORECASE) and name.isdecimal()
    if counts and line.kind not in NUMBERED and line.count is None and int(name) <= MOST_PIECES:
        said.count(int(name))  # viti M6x20 n.4
        return
    if not line.kind and name.upper().startswith("ST"):
        line.kind = "self-tapping screw"
    if line.kind in THREADED_KINDS:
        _gauge_of_screw(said, gauge)
        return
    if not line.kind or (line.kind == "key" and not line.head and len(name) < 3):
        said.words.append(gauge.text)
        return
    own = name if name.upper().startswith("ST") or line.kind not in NUMBERED else f"#{name}"
    said.fields["number"] = own if line.kind in NUMBERED else f"#{name}"
    if name.upper().startswith("ST"):
        said.fields |= {"length_unit": "mm", "diameter": float(name[2:])}
    elif own_size := numbered_size(line.kind, name):
        said.fields["length_unit"] = "in"
        said.fields["diameter"] = own_size[0]
        if own_size[1]:
            said.fields["length"] = own_size[1]


def _gauge_of_screw(said: Meaning, token: Token) -> None:
    """`#8 screw`: a machine screw of either series, or one for wood or sheet metal."""
    name, options = token.name, []
    options += [
        threaded(one.designation) for one in threads_of_size(f"#{name}") if one.system == "unified"
    ]
    if said.line.kind == "screw":
        for kind in ("wood screw", "self-tapping screw"):
            if numbered_size(kind, name):
                options.append(numbered(kind, name))
    said.doubt(token.text, options)


def _ask_otherwise(said: Meaning) -> bool:
    """Asks where so many threads an inch were said as the thread has not: `3/8 BSC x 20 tpi`."""
    line = said.line
    thread = line.thread.thread if line.thread is not None else None
    if thread is None or line.tpi is None or not thread.threads_per_inch:
        return False
    if abs(thread.threads_per_inch - float(line.tpi.name)) < _NEAR_TPI:
        return False
    said.doubt(line.thread_text, [threaded(thread.designation)])
    return True


def _settle_thread(said: Meaning) -> None:
    line = said.line
    found = line.thread
    if found is None:
        return
    if _ask_otherwise(said):
        return
    if line.kind in GRIPS and (span := re.fullmatch(r"([0-9]+)\s?-\s?([0-9]+)", line.thread_text)):
        line.notes.insert(0, f"{span[1]}-{span[2]} mm")
        return
    smooth = bool(line.kind) and line.kind not in THREADED_KINDS and line.kind != "other"
    if smooth and found.thread is not None:
        _goes_on(said, found.thread)
        return
    if found.bare and _is_said_fine(said):
        return
    counted = re.fullmatch(r"([0-9]{1,2})\sBA", line.thread_text, re.IGNORECASE)
    if counted and found.thread is not None and line.count is None and line.surely_plural:
        many = Option(f"{counted[1]} of them, their BA size not known", f"count:{counted[1]}")
        said.doubt(line.thread_text, [threaded(found.thread.designation), many])  # 2 BA nuts
        return
    fine = found.bare and takes_fine_thread(line.kind, line.head)
    if found.thread is not None and not fine:
        said.fields["thread"] = found.thread.designation
        said.thread = found.thread
        return
    options = _fine_threads(line, found) if fine else _threads_with_counts(line, found)
    said.doubt(line.thread_text, options)


def _fine_threads(line: ParsedLine, found: ThreadFound) -> list[Option]:
    """The usual threads of a plug or nipple of that size, else all of it."""
    size = f"M{found.size.replace(',', '.')}"
    across = found.thread.diameter_mm if found.thread is not None else 0.0
    names = usual_threads(line.kind, line.head, size) or tuple(
        one.designation for one in metric_by_diameter().get(across, ())
    )
    return [threaded(name) for name in names]


def _threads_with_counts(line: ParsedLine, found: ThreadFound) -> list[Option]:
    """Each thread that the text may say, with how many it says then; likeliest first."""
    options = [threaded(one.thread, one.count) for one in found.options]
    if line.count:
        options.sort(key=lambda one: one.meaning.startswith("count"))
    elif line.plural:
        options.sort(key=lambda one: not one.meaning.startswith("count"))
    return options


#: How people say a fine thread behind the size, folded.
_FINE = re.compile(
    r"\b(?:fine(?: (?:thread|pitch))?|fein(?:gewinde)?|(?:pas |filet(?:age)? )?fin"
    r"|(?:paso |rosca )?fin[oa]|(?:passo |filetto )?fine)\b",
    re.IGNORECASE,
)


def _is_said_fine(said: Meaning) -> bool:
    """`M10x25 fine`, `tuerca M10 paso fino`: the fine threads of that size are offered."""
    line = said.line
    bracketed = [place for place in line.place if _FINE.fullmatch(place)]
    fine = _FINE.search(" ".join((*line.words, *bracketed)))
    if fine is None or line.thread is None or line.thread.thread is None:
        return False
    known = metric_by_diameter().get(line.thread.thread.diameter_mm, ())
    options = [threaded(one.designation) for one in known if one.series == "fine"]
    line.place[:] = [place for place in line.place if place not in bracketed]
    rest = " ".join(said.words).replace(fine[0], " ", 1).split()
    said.words[:] = rest
    said.doubt(f"{line.thread_text} {fine[0]}", options)
    return True


def _goes_on(said: Meaning, thread: Thread) -> None:
    """A washer or circlip named by the thread it goes on: `lock washer M8`."""
    if not thread.diameter_mm:
        said.words.append(said.line.thread_text)
    elif thread.system in ("ISO metric", "BA"):
        said.fields |= {"diameter": thread.diameter_mm, "length_unit": "mm"}
    else:
        said.fields |= {"diameter": round(thread.diameter_mm / 25.4, 6), "length_unit": "in"}


def _handed(said: Meaning) -> None:
    """A left-hand thread where that is said of the thread, else a choice with the left side."""
    for token, close in said.line.handed:
        named = re.search(r"th|handed|gew|rosca|filet|pas", token.text, re.IGNORECASE)
        if said.thread is None or said.thread.left_hand:
            said.words.append(token.text)
        elif close or named:
            said.thread = left_handed(said.thread)
            said.fields["thread"] = said.thread.designation
        else:
            left = left_handed(said.thread).designation
            said.doubt(
                token.text,
                [Option("left-hand thread", f"thread:{left}"), Option("on the left", "place:left")],
            )


#: So many words name a thing that is no fastener.
_LONGEST_NAME = 4


def _several_things(said: Meaning) -> str:
    """The piston rings of a note that counts none, and names nothing else; else empty."""
    line = said.line
    if line.figures or line.thread or line.count is not None or line.ditto:
        return ""
    said_whole = re.sub(
        r"\s(?:w/|with|\+|&|and)$", "", line.text[line.start : line.end].strip(" ,;+&.")
    )
    name, *_ = re.split(r"[,;(]|\s-\s", said_whole)
    words = fold_words(name)
    if not 0 < len(words) <= _LONGEST_NAME or any(map(bench_roles, words)):
        return ""
    named = all(word.isalpha() for word in name.split())
    return name.split()[-1] if named and is_plural(name.split()[-1], line.text) else ""


def _ask_how_many(said: Meaning, several: str) -> None:
    """`2 each side` is four, or two of one side; `bolts` without a count asks how many.

    `several`: the word for several things that are no fasteners, empty where there are none.
    """
    line = said.line
    if line.asked is not None:
        typed, counts = line.asked
        _offer_count(said, typed, [in_all(many) for many in counts])
        return
    if line.per_side is not None:
        typed, many = line.per_side
        _offer_count(said, typed, [in_all(2 * many), in_all(many)])
        return
    side = next(filter(None, map(patterns()["each_side"].search, line.place)), None)
    many = line.count or 1
    *_, told = side.string[: side.start()].split() or [""] if side else [""]
    on_one = count_said(told)
    if side and 2 * on_one == many:
        return  # x 4 (2 each side)
    if side and (side[1].lower() != "both" or many % 2):  # 2 nuts each end of the axle
        _offer_count(said, side[0], [in_all(2 * many), in_all(many)])
        return
    asked = any("count" in one.meaning for choice in said.choices for one in choice.options)
    few = _few_words(line) or several
    if "quantity" in said.fields or asked or not (line.surely_plural or few):
        return
    _offer_count(said, line.kind_words or few, [of_them(many) for many in _HOW_MANY])


def _few_words(line: ParsedLine) -> str:
    """The quelques of `quelques rondelles`, which says that there are several."""
    words = [word for said in line.words for word in said.split()]
    return next((word for word in words if fold(word) in bench_words("few")), "")


def _offer_count(said: Meaning, token: str, options: Sequence[Option]) -> None:
    """Asks how many there are; the record keeps its count until that is answered."""
    known = {option.meaning: option for option in options}
    picked = said.picks.get(token, "")
    taken = picked if picked in known else ""
    if taken:
        said.apply(taken)
        said.chosen.append(f"“{token}”: {known[taken].says}")
    said.choices.append(WordChoice(said.at, token, tuple(options), taken))


#: Offered where several are named and not counted.
_HOW_MANY = (2, 3, 4, 5, 6, 8, 1)


def _slips(said: Meaning) -> None:
    """Offers the known word that a slip of the keys probably stands for."""
    for word in said.line.words:
        if fold(word) in bench_words("condition"):
            continue
        near = nearest_word(word) if word.isalpha() else ""
        entry = look_up((near,)) if near and near != fold(word) else None
        if entry is None or entry[1].place or entry[1].noise:
            continue
        fields = [
            f"{name}:{getattr(entry[1], name)}"
            for name in ("kind", "head", "drive", "material")
            if getattr(entry[1], name)
        ]
        if any(
            getattr(said.line, part.split(":")[0], "") not in ("", "other", [], "screw")
            for part in fields
        ):
            continue
        meaning = "|".join(fields)
        if not meaning:
            continue
        taken = meaning if said.picks.get(word) == meaning else ""
        if taken:
            said.apply(meaning)
            said.words.remove(word)
            said.chosen.append(f"“{word}”: {near}")
        said.choices.append(WordChoice(said.at, word, (Option(near, meaning),), taken))


def _record(said: Meaning, kind: str, typed: str) -> Fastener:
    line, fields = said.line, said.fields
    kind = str(fields.pop("kind", kind))
    head = str(fields.pop("head", line.head))
    drive = str(fields.pop("drive", line.drive))
    material = str(fields.pop("material", " ".join(line.material)))
    places = [*line.place, *([str(fields.pop("place"))] if "place" in fields else [])]
    if kind == "other" and head and not fields.get("thread"):
        said.words += head_words(line)
        head = ""
    if line.kind == "other" and line.kind_words:
        said.words.insert(0, line.kind_words)  # a thing that was counted in a list
    elif kind == "other" and not line.bracketed:
        said.words, places = _thing_itself(said.words, places, open_ended=_is_bare(said))
    if head == "socket" and drive == "hex socket":
        drive = ""
    if head == "socket" and line.grade.startswith("grade") and fold(line.kind_words) in _CAP:
        head = "hex"  # SAE grades are marked on hexagon cap screws (SAE J429, from memory)
    if head == "socket" and "nut" in kind:
        said.words.append(head)  # a 14mm socket turns nuts
        head = ""
    if drive == "hex socket" and head in ("", "cheese"):  # Zylinderschraube mit Innensechskant
        head, drive = "socket", ""
    said.words += [lock.place for lock in line.locks if lock.place]  # thick spring washer
    said.words += line.described
    locking = tuple(lock.shown for lock in line.locks)
    once = is_single_use(kind, material, locking)
    reused = any(map(says_reused, said.words))
    tools = list(
        dict.fromkeys([*line.tools, *([str(fields.pop("tool"))] if "tool" in fields else [])])
    )
    turned = "hex key" if head in HEX_KEYED or drive == "hex socket" else "spanner"
    tools = [re.sub(r"^key(?= [0-9])", turned, tool) for tool in tools]
    called = _called(line.kind_words, kind, head) if line.kind != "other" else ""
    return Fastener(
        kind=kind,
        head=head,
        drive=drive,
        grade=line.grade,
        material=material,
        place=", ".join(" ".join(place.split()) for place in places),
        locking=locking,
        single_use=once and not reused if line.single_use is None else line.single_use,
        torque=line.torque,
        note=", ".join(note for note in line.notes if note),
        typed=typed,
        called=called,
        tool=", ".join(tools),
        words=in_order(
            [word for word in said.words if word.strip(_EMPHASIS)], line.text, line.start
        ),
        chosen=tuple(said.chosen),
        **fields,  # type: ignore[arg-type]
    )


#: Signs that say nothing when they stand alone, as a ? or a + does.
_EMPHASIS = "!.-=*:, "


def _is_bare(said: Meaning) -> bool:
    """Whether it says neither how many nor how big, nor anything that is still asked."""
    line = said.line
    return not (line.words or said.choices or line.count is not None or line.figures)


def _thing_itself(
    words: list[str], places: list[str], *, open_ended: bool
) -> tuple[list[str], list[str]]:
    """The words and places of what is no fastener: a `fuse 15A` is a fuse, and not in one.

    Sides and what a small word opens stay places, unless nothing else is said (`open_ended`).
    """
    named = [place for place in places if open_ended or _names_part(place)]
    return [*words, *named], [place for place in places if place not in named]


def _names_part(place: str) -> bool:
    """Whether the words of a place name a part of the machine, not only a side or a sort."""
    said = fold_words(place)
    if "clock" in place or not said or said[0] in bench_words("opens"):
        return False
    roles = ("sort", "place", "pair of sides", "count", "weak")
    return not all(any(word in bench_words(role) for role in roles) for word in said)


def _called(words: str, kind: str, head: str) -> str:
    """The person's own word, unless it is the standard one or its plural."""
    words = words.rstrip(".")  # Schr., which ends a text without its point
    if not words:
        return ""
    own = tuple(fold_words(words))
    if not own:
        return ""
    usual = {tuple(fold_words(kind)), tuple(fold_words(f"{head} {kind}"))}
    singular = (*own[:-1], own[-1].removesuffix("s"))
    plainer = (*own[:-1], own[-1].removesuffix("es"))
    return "" if usual & {own, singular, plainer} else words


def said_by(called: str) -> Mapping[str, str]:
    """What the person's own word says of kind, head, drive and material."""
    words = tuple(fold_words(called))
    known = phrases().get(words)
    if known is not None:
        return known
    found = look_up(words)
    if found is None or found[0] != len(words):
        return {}
    entry = found[1]
    return {
        name: getattr(entry, name)
        for name in ("kind", "head", "drive", "material")
        if getattr(entry, name)
    }
