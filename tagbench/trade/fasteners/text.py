"""The short form of a fastener: read as people type it, spelled in one standard way."""

from __future__ import annotations

from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners import pieces as pieces, sizes as sized
from tagbench.trade.fasteners.sizes import Size
from tagbench.trade.fasteners.spelling import spell, spell_all
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, is_single_use
from tagbench.trade.fasteners.words import NotUnderstood, read_words, settle_kind
from tagbench.trade.threads.designation import plain_text
from tagbench.trade.threads.thread import Thread

#: Sizes of something that is given in all three directions: 14x20x1.5, key 5x5x20.
_BOX = 3

__all__ = [
    "NotUnderstood",
    "as_note",
    "parse_fastener",
    "parse_fasteners",
    "spell",
    "spell_all",
    "typed_lines",
]


def parse_fasteners(text: str) -> tuple[Fastener, ...]:
    """Every fastener of a text, separated with `;` or line ends; none for an empty text.

    NotUnderstood, a BadInput, for the first one that cannot be read.
    """
    return tuple(parse_fastener(line) for line in typed_lines(text))


def typed_lines(text: str) -> list[str]:
    """The text cut at `;` and line ends that do not stand in parentheses or brackets."""
    depth, cut, apart = 0, [], pieces.bracketed(text)
    for at, sign in enumerate(text):
        depth = max(0, depth + (sign == "(") - (sign == ")")) if at not in apart else depth
        at_end = sign == "\n" or (sign == ";" and depth == 0 and at not in apart)
        depth = 0 if sign == "\n" else depth
        cut.append("\n" if at_end else sign)
    return [line.strip() for line in "".join(cut).splitlines() if line.strip()]


def as_note(text: str) -> Fastener:
    """A line that could not be read, kept as it was typed."""
    return Fastener(kind="other", note=text.strip(), typed=text.strip())


def parse_fastener(text: str) -> Fastener:
    """One fastener, such as `4 off M6 x 20 socket 8.8 zinc + lock washer, 8-10 N·m (upper)`.

    NotUnderstood says which word is not understood and carries the typed text.
    """
    typed = text.strip()
    try:
        return _fastener(typed)
    except NotUnderstood:
        raise
    except BadInput as error:
        raise NotUnderstood(str(error), typed) from error


def _fastener(typed: str) -> Fastener:
    note, text = pieces.take_note(typed)
    place, text = pieces.take_places(text)
    torque, text = pieces.take_torque(plain_text(text))
    said, text = pieces.take_quantity(text)
    if said is None and (said := pieces.count_in_place(place) or None):
        place = ""
    if note and not text.strip(" ,"):
        return Fastener(quantity=said or 1, kind="other", note=note, place=place, typed=typed)
    span, text = sized.take_span(text)
    thread, length, text = sized.take_thread(text)
    if said is None:
        said, text = pieces.take_count_behind(text, length is not None)
    grade, text = sized.take_grade(text, bare=thread is not None)
    locking, text = pieces.take_locking(text)
    sizes, text = sized.take_sizes(text)
    words = read_words(text, typed, screw=bool(thread and length))
    settle_kind(words, thread is not None, bool(sizes), typed)
    measured = _measured(words.kind, thread, length, sizes, typed)
    once = is_single_use(words.kind, words.material, (*words.locking, *locking))
    return Fastener(
        quantity=said or 1,
        kind=words.kind,
        head=words.head,
        drive=words.drive,
        grade=grade,
        material=words.material,
        place=place,
        locking=(*words.locking, *locking),
        single_use=once if words.single_use is None else words.single_use,
        torque=torque,
        note=", ".join(part for part in (measured.extra, span, note) if part),
        typed=typed,
        thread=measured.thread,
        diameter=measured.diameter,
        length=measured.length,
        length_unit=measured.unit,
    )


class _Measured(msgspec.Struct, frozen=True):
    thread: str = ""
    diameter: float | None = None
    length: float | None = None
    unit: Literal["mm", "in"] = "mm"
    extra: str = ""


def _measured(
    kind: str,
    thread: Thread | None,
    length: Size | None,
    sizes: tuple[Size, ...],
    typed: str,
) -> _Measured:
    if thread is None:
        return _unthreaded(kind, sizes, typed)
    if length is None and sizes:
        length, sizes = sizes[0], sizes[1:]
    if sizes:
        raise NotUnderstood(
            f'There is one number too many in "{typed}"; write thread and length as M5x0.8x12'
            " and separate several fasteners with ;.",
            typed,
        )
    if kind in THREADED_KINDS:
        if length is None:
            return _Measured(thread.designation)
        return _Measured(thread.designation, None, length.value, length.unit)
    return _for_thread(thread, length)


def _for_thread(thread: Thread, length: Size | None) -> _Measured:
    """A washer or circlip named by the thread it goes on: `lock washer M8`."""
    if thread.system in ("ISO metric", "BA"):
        inside = Size(thread.diameter_mm, "mm")
    else:
        inside = Size(round(thread.diameter_mm / 25.4, 6), "in")
    if length and length.unit != inside.unit:
        raise BadInput("Give both sizes in one unit, such as 8.4x16 mm.")
    return _Measured("", inside.value, length.value if length else None, inside.unit)


def _unthreaded(kind: str, sizes: tuple[Size, ...], typed: str) -> _Measured:
    if kind in THREADED_KINDS and sizes:
        raise NotUnderstood(
            f'"{typed}" gives a size and no thread; write the thread of a {kind} as M8 or 1/4-20.',
            typed,
        )
    if len({size.unit for size in sizes}) > 1:
        raise BadInput("Give both sizes in one unit, such as 3.2x32 mm.")
    values = [size.value for size in sizes]
    unit = sizes[0].unit if sizes else "mm"
    if len(values) == _BOX and kind == "key":
        return _Measured("", values[0], values[2], unit, f"{values[1]:g} high")
    extra = f"{values[2]:g} thick" if len(values) == _BOX else ""
    first, second, *_ = (*values, None, None)
    return _Measured("", first, second, unit, extra)
