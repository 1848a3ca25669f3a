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
