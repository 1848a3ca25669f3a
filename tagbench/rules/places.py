"""Clock positions in what a person wrote about a place."""

from __future__ import annotations

import re

_RUN = re.compile(
    r"(?P<run>(?:half past\s+)?\d{1,2}(?:[:.]\d{2}|\s*½)?"
    r"(?:\s*(?:,|;|and|&|\+|/)\s*(?:half past\s+)?\d{1,2}(?:[:.]\d{2}|\s*½)?)*)"
    r"\s*o['’]?\s?clock",
    re.IGNORECASE,
)
_ONE = re.compile(r"(?:half past\s+)?\d{1,2}(?:[:.]\d{2}|\s*½)?", re.IGNORECASE)


def clock_positions(text: str) -> list[str]:
    """`long ones at 12, 4 and 8 o'clock` → `["12", "4", "8"]`; empty when there is none."""
    return [one for found in _RUN.finditer(text) for one in _ONE.findall(found["run"])]


def mirror_clock(text: str, *, upright: bool) -> str:
    """The clock positions of a text as a mirror shows them: `2 o'clock` → `10 o'clock`.

    `upright`: the mirror lies below, so that 12 and 6 change places and 3 and 9 stay.
    """
    return _RUN.sub(
        lambda run: (
            _ONE.sub(lambda one: _mirrored(one[0], 6 if upright else 12), run["run"])
            + run[0][len(run["run"]) :]
        ),
        text,
    )


def _mirrored(text: str, turn: int) -> str:
    """One position on the other side: `half past 4` → `half past 7`, `12` stays `12`."""
    half = text.casefold().startswith("half") or "½" in text
    hour, _, minutes = re.sub(r"half past\s+|\s*½", "", text, flags=re.IGNORECASE).partition(
        ":" if ":" in text else "."
    )
    total = (turn * 60 - int(hour) * 60 - (30 if half else int(minutes or 0))) % 720
    hours, rest = divmod(total, 60)
    if half:
        return f"half past {hours or 12}" if "½" not in text else f"{hours or 12} ½"
    return f"{hours or 12}:{rest:02}" if minutes else f"{hours or 12}"
