"""Reads a thread designation in any usual spelling and gives it the standard one."""

from __future__ import annotations

import re

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import tidy
from tagbench.trade.threads.inch_words import scan_ba, scan_inch, scan_spoke
from tagbench.trade.threads.metric_words import Scan, scan_metric
from tagbench.trade.threads.pipe import pipe_threads, scan_pipe
from tagbench.trade.threads.sizes import by_designation
from tagbench.trade.threads.thread import Thread

#: A left-hand thread. The LH of `M10 LH crankcase half` may be a side of the machine.
LEFT_HAND = re.compile(
    r"\s?-?\s?(?:LH\b(?!\s(?!nut|bolt|screw|stud|thread|thd|plug|x\s?[0-9])[a-z])"
    r"|left[ -]?hand(?:ed)?\b)",
    re.IGNORECASE,
)
#: In `1/4x20` the cross can only stand before a pitch when nothing follows.
_SIZE_CROSS_PITCH = re.compile(r"(#?[0-9.][0-9/. -]*[\"″”]?)\s?x\s?([0-9]{2})")
_STAR = re.compile(r"(?<=[0-9])\s?\*\s?(?=[0-9.])")
_INITIALS = re.compile(r"\b(?:[A-Za-z]\.){2,}")
_FORMS = "write it as M5x0.8, 1/4-20, #10-32, 1/4 BSW, 5/16 BSF, 5/16-26 BSC, 2BA or G 1/4"


def plain_text(text: str) -> str:
    """`text` tidied, crosses as x, initials such as B.S.F. without their points."""
    joined = _INITIALS.sub(lambda found: found[0].replace(".", ""), tidy(text))
    joined = _STAR.sub("x", joined)
    return joined.replace("×", "x").replace("✕", "x").replace("–", "-").replace("−", "-")


def scan_thread(text: str, start: int = 0) -> Scan | None:
    """The thread that begins at `start` in a text from `plain_text`, or None.

    BadInput when a designation is begun that names no thread or more than one.
    """
    found = (
        scan_pipe(text, start)
        or scan_spoke(text, start)
        or scan_metric(text, start)
        or scan_ba(text, start)
        or scan_inch(text, start)
    )
    left = LEFT_HAND.match(text, found.end) if found else None
    if found is None or left is None:
        return found
    return Scan(left_handed(found.thread), left.end())


def left_handed(thread: Thread) -> Thread:
    """The same thread cut left-handed, spelled with LH behind it."""
    return msgspec.structs.replace(thread, designation=f"{thread.designation} LH", left_hand=True)


def parse_thread(text: str) -> Thread:
    """The thread that `text` names: `M5`, `m8x1,25`, `1/4 whit`, `No. 10-32`, `2 BA`, …

    BadInput, with the accepted forms, for anything that is not one thread and nothing more.
    """
    if known := by_designation().get(text) or pipe_threads().get(text):
        return known
    clean = plain_text(text)
    if crossed := _SIZE_CROSS_PITCH.fullmatch(clean):
        clean = "-".join(crossed.groups())
    found = scan_thread(clean)
    if found is None or not clean:
        raise BadInput(f"“{clean[:40]}” is not a thread known here; {_FORMS}.")
    rest = clean[found.end :].strip()
    if rest:
        name = found.thread.designation
        raise BadInput(f"“{rest[:40]}” after {name} is not part of a thread; {_FORMS}.")
    return found.thread
