"""Reads msgspec without `typing_extensions`, which takes as long to read as all our records."""

from __future__ import annotations

import sys

_BACKPORTS = "typing_extensions"


def read_msgspec() -> None:
    """Imports msgspec, once.

    msgspec takes three names from `typing_extensions` where there is one, and from `typing`, which
    has had them since Python 3.11, where there is none; so there is none for that moment. Called
    before any other thread runs. Whoever imports it later gets it as ever.
    """
    if "msgspec" in sys.modules or _BACKPORTS in sys.modules:
        return
    sys.modules[_BACKPORTS] = None  # type: ignore[assignment]  # what importlib takes for “none”
    try:
        import msgspec  # noqa: F401
    finally:
        del sys.modules[_BACKPORTS]
