"""What the terminal can do: whether it shows the screens at all, and which signs it knows."""

from __future__ import annotations

import os
import struct
import sys
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from functools import cache

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from tagbench.trade.published import read_table

NO_SCREENS = frozenset(["dumb", "unknown", "emacs"])
"""Terminals, by `TERM`, that move no cursor."""
PLAIN_LOCALES = frozenset(["C", "POSIX"])


def why_no_screens(environ: Mapping[str, str] = os.environ) -> str:
    """Why the screens cannot be shown here, in a sentence with the way out; empty when they can."""
    if not (sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()):
        return "The screens need a terminal; see `tagbench --help` for the commands."
    name = environ.get("TERM", "")
    if not name or name in NO_SCREENS:
        return (
            f"This terminal cannot show the screens (TERM is {name or 'not set'}); set TERM to "
            "what it is, such as vt100 or xterm, or use the commands: tagbench --help."
        )
    return ""


def knows_signs(environ: Mapping[str, str], encoding: str) -> bool:
    """Whether the terminal shows more than ASCII: its locale says so, unless it is asked not to.

    Python takes the plain locales for UTF-8 (PEP 538, PEP 540), so they are looked at here.
    """
    if environ.get("TAGBENCH_ASCII", "0") not in ("", "0"):
        return False
    names = (environ.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    named = next(filter(None, names), "")
    coerced = named.startswith("C.") and not environ.get("LC_ALL") and _plain(environ)
    plain = named in PLAIN_LOCALES or coerced
    return not plain and encoding.replace("-", "").casefold() == "utf8"


def _plain(environ: Mapping[str, str]) -> bool:
    return environ.get("LANG", "") in PLAIN_LOCALES


@cache
def shows_signs() -> bool:
    """Whether this terminal shows more than ASCII."""
    return knows_signs(os.environ, getattr(sys.__stderr__, "encoding", None) or "ascii")


def plain_signs(text: str) -> str:
    """The text in ASCII, as wide as before: bars and arrows in plain signs, letters bare."""
    if text.isascii():
        return text
    return "".join(map(_plain_sign, text))


@cache
def _signs() -> Mapping[int, str]:
    """Sign → the plain one in its place, as wide as it is."""
    rows = read_table("plain_signs", "tagbench.screens.frame")
    return {ord(sign): row["plain"] for row in rows for sign in row["signs"]}


@cache
def _plain_sign(sign: str) -> str:
    plain = sign.translate(_signs())
    if plain.isascii():
        return plain
    bare = unicodedata.normalize("NFKD", sign)[0]
    wide = cell_len(sign)
    return bare if bare.isascii() and wide == 1 else "?" * wide


class PlainSigns(LineFilter):
    """Writes what is drawn in ASCII, for terminals that know no more."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Each segment with its signs made plain."""
        return [Segment(plain_signs(text), style, control) for text, style, control in segments]


def give_size() -> None:
    """Gives a terminal that has none, such as a serial line, the usual size of 80 x 24.

    As `stty rows 24 columns 80` would. Nothing happens where it has one, or is no terminal.
    """
    try:
        import fcntl
        import termios
    except ImportError:  # Windows, where a window always has a size
        return
    if sys.__stdout__ is None:
        return
    with suppress(OSError):
        known = os.get_terminal_size(sys.__stdout__.fileno())
        if not (known.columns and known.lines):
            fcntl.ioctl(sys.__stdout__, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
