"""Metric designations as people write them: `M5x0.8`, `M5`, `m8 × 1,25`, `M10 fine`."""

from __future__ import annotations

import re
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.threads.sizes import metric_by_diameter, metric_thread
from tagbench.trade.threads.thread import Thread

_NUMBER = r"[0-9]{1,3}(?:[.,][0-9]{1,3})?|[.,][0-9]{1,3}"


@cache
def _metric() -> re.Pattern[str]:
    return re.compile(
        rf"M\s?(?P<size>{_NUMBER})(?![0-9])"
        rf"(?:\s?[x×*-]\s?(?P<pitch>{_NUMBER})(?![0-9./]|\s?(?:mm|in|\"|cm)))?"
        r"(?:\s?-?\s?(?P<grade>coarse|fine)\b)?"
        r"(?:\s?-\s?[0-9][a-hA-H](?:[0-9][a-hA-H])?\b)?",
        re.IGNORECASE,
    )


#: A second number from half the diameter on is a length: no screw has so steep a thread.
_LENGTH_FROM = 0.5
#: The steepest pitch that a thread of its diameter can carry.
_STEEPEST = 1 / 3


class Scan(msgspec.Struct, frozen=True):
    """A thread found in a text, and where it ends."""

    thread: Thread
    end: int
    """Index of the first character behind the designation."""


def scan_metric(text: str, start: int = 0) -> Scan | None:
    """The metric thread that begins at `start` in the tidy `text`, or None.

    The 12 of `M5x12` is left for the reader of lengths; the 1.25 of `M12x1.25` is the pitch.
    BadInput when the second number can be neither, or "fine" leaves the pitch open.
    """
    found = _metric().match(text, start)
    if found is None:
        return None
    size, second = _value(found["size"]), found["pitch"]
    if second is None:
        return Scan(_by_word(size, (found["grade"] or "coarse").lower()), found.end())
    if _is_pitch(size, _value(second)):
        return Scan(_with_pitch(size, _value(second)), found.end())
    if _value(second) < _LENGTH_FROM * size:
        raise BadInput(
            f"M{size:g} takes no pitch of {_value(second):g} mm; {_choices(size)}"
            " or give a length of at least half the diameter."
        )
    return Scan(_by_word(size, "coarse"), found.end("size"))


def _value(text: str) -> float:
    return float(text.replace(",", "."))


def _known(size: float) -> tuple[Thread, ...]:
    return metric_by_diameter().get(size, ())


def _is_pitch(size: float, number: float) -> bool:
    if any(thread.pitch_mm == number for thread in _known(size)):
        return True
    return 0.1 <= number < _LENGTH_FROM * size and number <= _STEEPEST * size


def _with_pitch(size: float, pitch: float) -> Thread:
    known = (thread for thread in _known(size) if thread.pitch_mm == pitch)
    return next(known, None) or metric_thread(size, pitch)


def _by_word(size: float, word: str) -> Thread:
    fitting = [thread for thread in _known(size) if thread.series == word]
    if word == "coarse" and fitting:
        return fitting[0]
    if word == "fine" and len(fitting) == 1:
        return fitting[0]
    what = f"M{size:g} fine" if word == "fine" else f"M{size:g} alone"
    raise BadInput(f"{what} does not say the pitch; {_choices(size, word)}.")


def _choices(size: float, word: str = "") -> str:
    known = [t.designation for t in _known(size) if word != "fine" or t.series == "fine"]
    return f"write {' or '.join(known)}" if known else "write it with its pitch, such as M30x2"
