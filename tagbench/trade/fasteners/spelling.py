"""Spells a fastener in one way, with the person's own word for it, which reads back the same."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

import msgspec

from tagbench.records import Fastener, Torque
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import (
    LONG_RINGS,
    NUMBERED,
    PARTS_LIKE_HEADS,
    RINGS,
    THREADED_KINDS,
    fold_words,
    is_single_use,
    lexicon,
)

#: Sockets and spanners go by the thread of their bolts: 3/16 BSW socket.
_SPANNERS_BY_THREAD = ("BSW", "BSF")
#: Kinds that are named behind the size; all others are named first.
_NAMED_BEHIND = ("screw", "bolt", "stud", "set screw")
#: Kinds that go on a thread and are called by it: lock washer M8.
_CALLED_BY_THREAD = re.compile(r"washer$")
#: A lone figure of these may be anything, so it is spelled as a diameter.
_SINGLE_NEEDS_WORDS = ("spring", "connecting link", "cable tie", "clip", "clamp", "other")
_METRIC_SIZES = (1.6, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24)


def spell(fastener: Fastener) -> str:
    """The short form: `4x M5x0.8x12 pan`, `split pin 3.2x32`, `2x nyloc M8x1.25`, …

    What it says reads back to the same record; how many came back is not part of it.
    """
    counted = _is_count(fastener.place) or any(map(str.isdigit, fastener.words))
    once = fastener.quantity == 1 and not counted
    count = "" if once else f"{fastener.quantity}x "
    where = " ".join(fastener.place.split())
    if where.casefold() in PARTS_LIKE_HEADS:  # in brackets it would be the head
        rest = msgspec.structs.replace(fastener, place="")
        return f"{where}: {spell(rest)}"
    place = f" ({where})" if where else ""
    words = f" “{_words(fastener.words)}”" if fastener.words else ""
    note = f"note: {_one_line(fastener.note)}" if fastener.note else ""
    more = (*_tail(fastener), fastener.material, fastener.grade, fastener.thread)
    if fastener.kind == "other" and not any(more):
        said = f"{place.strip()}{words}".strip()
        return f"{count}{said} {note}".strip()
    named = " ".join(word for word in _named(fastener) if word)
    locking = "".join(f" + {item}" for item in fastener.locking)
    torque = f", {spell_torque(fastener.torque)}" if fastener.torque else ""
    return f"{count}{named}{locking}{torque}{place}{words}{f', {note}' if note else ''}".strip(" ,")


def _is_count(place: str) -> bool:
    """Whether a place would be read as a count."""
    if not place:
        return False
    from tagbench.trade.fasteners.tokens import count_alone

    counted = re.match(r"[0-9]+\s", place) and "clock" not in place  # 4 front
    return bool(counted or count_alone(place))


def spell_all(fasteners: Iterable[Fastener]) -> str:
    """Several fasteners in one line, separated with `; `."""
    return "; ".join(spell(fastener) for fastener in fasteners)


def standard_words(fastener: Fastener) -> str:
    """What it was understood as where the person has another word: `self-locking nut`."""
    if not fastener.called:
        return ""
    plain = msgspec.structs.replace(fastener, called="")
    return " ".join(word for word in (plain.head, plain.drive, plain.kind) if word)


def spell_torque(torque: Torque) -> str:
    """`8-10 N·m`, `25 kgf·cm estimate [manual p. 12]`."""
    figures = _figure(torque.low)
    if torque.high != torque.low:
        figures = f"{figures}-{_figure(torque.high)}"
    estimate = " estimate" if torque.estimate else ""
    source = _one_line(torque.source).replace("[", "(").replace("]", ")")
    source = f" [{source}]" if source else ""
    return f"{figures} {torque.unit}{estimate}{source}"


def _figure(value: float) -> str:
    """Up to six decimals, no trailing zeros, never an exponent."""
    text = f"{value:.6f}"
    return text.rstrip("0").rstrip(".")


def _one_line(text: str) -> str:
    return " ".join(text.replace(";", ",").split())


def _words(text: str) -> str:
    return " ".join(text.replace("”", '"').replace("“", '"').split())


def _named(fastener: Fastener) -> tuple[str, ...]:
    kind, size = fastener.kind, _size(fastener)
    own = _said_by(fastener.called)
    name = fastener.called or ("" if kind == "other" else kind)
    graded = fastener.grade.startswith("grade") and own.get("head") == "socket"
    told = own.get("head") == fastener.head or (graded and fastener.head == "hex")
    head = () if told else (fastener.head,)  # cap screws by grade are hexagon ones
    drive = () if own.get("drive") == fastener.drive else (fastener.drive,)
    material = "" if own.get("material") == fastener.material else fastener.material
    tail = (fastener.grade, material, *_tail(fastener), _once(fastener))
    unsaid = (
        kind == "screw"
        and not fastener.called
        and not (fastener.words and fastener.length is None)
        and not (fastener.head == "socket" and fastener.thread.endswith(_SPANNERS_BY_THREAD))
        and bool(fastener.thread or (size == "" and any((*head, *drive))))
    )
    both = lexicon().get(tuple(fold_words(f"{fastener.head} {name}"))) if any(head) else None
    if both and (fastener.called or both.head != fastener.head):
        return (*drive, name, size, *head, *tail)  # together they would be another word
    if kind not in _NAMED_BEHIND or not fastener.thread:
        return (*head, *drive, "" if unsaid else name, size, *tail)
    return (size, *head, *drive, "" if unsaid else name, *tail)


def _said_by(called: str) -> Mapping[str, str]:
    """What the person's own word says by itself."""
    if not called:
        return {}
    from tagbench.trade.fasteners.meaning import said_by

    return said_by(called)


def _tail(fastener: Fastener) -> tuple[str, ...]:
    """The standard and the tool, behind the name and the size."""
    return tuple(word for word in (fastener.standard, fastener.tool.replace(",", "")) if word)


def _once(fastener: Fastener) -> str:
    usual = is_single_use(fastener.kind, fastener.material, fastener.locking)
    if fastener.single_use == usual:
        return ""
    return "single-use" if fastener.single_use else "reusable"


def _size(fastener: Fastener) -> str:
    if fastener.thread:
        return _threaded(fastener)
    unit = fastener.length_unit
    if fastener.number:
        return _numbered(fastener)
    if fastener.kind in THREADED_KINDS:
        return _without_thread(fastener)
    sizes = _in_order(fastener)
    if not sizes:
        return _odd_sizes(fastener)
    called = _CALLED_BY_THREAD.search(fastener.kind) and len(sizes) == 1
    if unit == "in":
        return f"{_number_size(fastener) or ' x '.join(map(_inch, sizes)) + ' in'}"
    thread = "M" if called and sizes[0] in _METRIC_SIZES else ""
    words = fastener.kind in NUMBERED - {"key"} or (called and not thread)
    behind = " mm" if words else ""
    return thread + "x".join(_figure(size) for size in sizes) + behind


def _in_order(fastener: Fastener) -> list[float]:
    """The sizes that are read back from their mere order; none when they need words."""
    first, second, third = fastener.diameter, fastener.length, fastener.thickness
    kind = fastener.kind
    if first is None:
        return []
    if kind == "key":
        return _key_order(fastener, first)
    if second is None:
        alone = (
            third is None
            and kind not in NUMBERED
            and (kind not in RINGS or kind.endswith("washer"))
        )
        several = fastener.quantity == 1 and is_plural(fastener.called)
        return [first] if alone and not several and kind not in _SINGLE_NEEDS_WORDS else []
    if third is None:
        backwards = second < first and (kind.endswith("washer") or kind == "circlip")
        doubtful = kind == "O-ring" and second > 4 * first
        return [] if backwards or doubtful else [first, second]
    if kind not in RINGS and kind != "spring":
        return []
    odd = third > second and kind not in LONG_RINGS
    return [] if odd else [first, second, third]


def _key_order(fastener: Fastener, width: float) -> list[float]:
    high, long = fastener.thickness, fastener.length
    if high is not None and long is not None:
        return [width, high, long]
    most = width * (2.5 if fastener.head == "woodruff" else 1.0)
    if high is not None:
        return [width, high] if high <= most else []
    return [width, long] if long is not None and long > most else []


def _odd_sizes(fastener: Fastener) -> str:
    """Sizes that do not stand in their usual order, each with its word."""
    unit = fastener.length_unit
    show = _inch if unit == "in" else _figure
    said = []
    if fastener.diameter is not None:
        said.append(f"Ø{show(fastener.diameter)} {unit}")
    if fastener.length is not None:  # the second size of a ring is its outside
        across = "OD" if fastener.kind in RINGS else "long"
        said.append(f"{show(fastener.length)} {unit} {across}")
    if fastener.thickness is not None:
        said.append(f"{show(fastener.thickness)} {unit} thick")
    return " ".join(said)


def _numbered(fastener: Fastener) -> str:
    """`#8 x 3/4` of a wood screw, `6202-2RS`, `#404` of a key: the size follows from the number."""
    if fastener.length is None or fastener.kind.endswith("bearing") or fastener.kind == "key":
        return fastener.number
    if fastener.length_unit == "in":
        shown = _inch(fastener.length)
        return f"{fastener.number} x {shown}{'' if '/' in shown else ' in'}"
    return f"{fastener.number} x {_figure(fastener.length)} mm"


def _without_thread(fastener: Fastener) -> str:
    """Diameter and length of something whose thread is not yet known."""
    unit, show = fastener.length_unit, _inch if fastener.length_unit == "in" else _figure
    thick = f" {show(fastener.thickness)} {unit} thick" if fastener.thickness else ""
    if fastener.diameter is None:
        return (f"{show(fastener.length)} {unit} long" if fastener.length else "") + thick
    length = f" x {show(fastener.length)}" if fastener.length else ""
    return f"Ø{show(fastener.diameter)}{length} {unit}{thick}"


def _number_size(fastener: Fastener) -> str:
    """`#8` of a wood or tapping screw of an older book: 0.060 + 0.013 n in."""
    if fastener.kind not in ("wood screw", "self-tapping screw") or fastener.diameter is None:
        return ""
    number = round((fastener.diameter * 1000 - 60) / 13)
    if (60 + 13 * number) / 1000 != fastener.diameter:
        return ""
    return f"#{number}" + (f" x {_inch(fastener.length)}" if fastener.length else "")


def _threaded(fastener: Fastener) -> str:
    metric = fastener.thread.startswith("M")
    unit = fastener.length_unit
    show = _inch if unit == "in" else _figure
    thick = f" {show(fastener.thickness)} {unit} thick" if fastener.thickness else ""
    if fastener.length is None:
        return fastener.thread + thick
    if unit == "mm":
        join = "x" if metric and not fastener.thread.endswith("LH") else " x "
        # A whole number that is short for the thread could be read as a count.
        said = "" if metric and not _is_stubby(fastener) else " mm"
        return f"{fastener.thread}{join}{_figure(fastener.length)}{said}{thick}"
    fraction = _fraction(fastener.length)
    plain = not metric and fraction and not fastener.thread.endswith("BA")
    said = "" if plain and ("/" in fraction or fraction == "1") else " in"
    return f"{fastener.thread} x {_inch(fastener.length)}{said}{thick}"


def _is_stubby(fastener: Fastener) -> bool:
    found = re.match(r"M([0-9.]+)", fastener.thread)
    return bool(found and fastener.length and fastener.length < float(found[1]) / 2)


def _inch(value: float) -> str:
    return _fraction(value) or _figure(value)


def _fraction(inches: float) -> str:
    """`3/8` or `2` for a whole number of 64ths, else an empty text."""
    from fractions import Fraction  # with all about quantities, for the few lines in inches

    from tagbench.trade.quantities.shown import inch_fraction

    return inch_fraction(Fraction(inches))


def is_threaded(fastener: Fastener) -> bool:
    """True when the fastener has a thread of its own, and so can be mixed up with another."""
    return bool(fastener.thread) and fastener.kind in THREADED_KINDS
