"""Which fasteners are safety-critical: only the maker's figure will do for them."""

from __future__ import annotations

import re
from functools import cache

from tagbench.trade.published import read_table


@cache
def _words() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple(
        (re.compile(rf"(?<![a-z])(?:{row['pattern']})", re.IGNORECASE), row["names"])
        for row in read_table("safety_words")
    )


def safety_critical(*texts: str) -> str:
    """What makes a fastener safety-critical, such as `brake`; empty when nothing says so.

    Looks through the names of assembly, part and fastener, compounds included (handlebar,
    flywheel). It errs on the safe side: a brake-light switch counts as brake.
    """
    joined = " ".join(text.replace("-", " ").replace("_", " ") for text in texts)
    for pattern, names in _words():
        if pattern.search(joined):
            return names
    return ""
