"""One fastener as it is typed."""

from __future__ import annotations

from tagbench.records import Fastener
from tagbench.trade.fasteners.text import parse_fasteners


def parse_fastener(text: str) -> Fastener:
    """The one fastener of a text such as `4 off M6 x 20 socket 8.8 + lock washer (upper)`."""
    (found,) = parse_fasteners(text)
    return found
