"""How pictures are drawn in this terminal: by a graphics protocol, or else in half blocks.

The terminal is asked before the app takes it. The library that draws takes as long to be read as
the whole first screen, so that is left until a picture is drawn, and it asks nothing itself.
"""

from __future__ import annotations

import logging
import re
import sys
from typing import TYPE_CHECKING, Any, Literal, NoReturn

if TYPE_CHECKING:
    from textual.widget import Widget

GraphicsProtocol = Literal["", "sixel", "kitty"]

_QUESTION = "\x1b_Gi=1967,s=1,v=1,a=q,t=d,f=24;AAAA\x1b\\\x1b[c"
"""Whether it takes one dot of the kitty protocol; then what it is, which every terminal answers."""
_ATTRIBUTES = re.compile(r"\x1b\[\?([0-9;]*)c")
_TAKES_KITTY = re.compile(r"\x1b_Gi=1967[^\x1b]*;OK\x1b")
_SIXEL = "4"
"""Among the attributes of a terminal (DEC STD 070, primary device attributes)."""
WAIT_SECONDS = 0.1
"""How long the terminal may be silent before it is taken for one that gives no answer."""

_found: list[GraphicsProtocol] = []


def look_at_terminal() -> None:
    """Asks the terminal what it can draw; must be called before the app takes the terminal."""
    from textual_image._terminal import TerminalError, get_cell_size

    # What it does not learn it says with a traceback.
    logging.getLogger("textual_image").setLevel(logging.CRITICAL)
    _found.clear()
    try:
        _found.append(protocol_of(_ask()))
        get_cell_size()  # asks once and keeps the answer
    except (TerminalError, OSError):  # where nothing is known half blocks do
        pass


def protocol_of(answer: str) -> GraphicsProtocol:
    """The protocol that an answer speaks of; sixel first, since few draw the other one right."""
    attributes = _ATTRIBUTES.search(answer)
    if attributes and _SIXEL in attributes[1].split(";"):
        return "sixel"
    return "kitty" if _TAKES_KITTY.search(answer) else ""


def _ask() -> str:
    # One of its two modules has them, by the system; it does not export them.
    from textual_image._terminal import capture_mode, read  # type: ignore[attr-defined]

    if not (
        sys.__stdin__ and sys.__stdout__ and sys.__stdin__.isatty() and sys.__stdout__.isatty()
    ):
        return ""
    answer = ""
    with capture_mode():
        sys.__stdout__.write(_QUESTION)
        sys.__stdout__.flush()
        while not _ATTRIBUTES.search(answer):
            try:
                answer += read(sys.__stdin__.buffer.fileno(), 1, WAIT_SECONDS)
            except TimeoutError:
                break
    return answer


def can_draw_fine() -> bool:
    """Whether the terminal draws pictures dot by dot and not in half blocks."""
    return bool(_found and _found[0])


def picture_widget() -> type[Widget]:
    """The kind of widget that draws pictures here."""
    from textual_image import _terminal

    _terminal.capture_terminal_response = _not_now
    from textual_image import widget

    kinds: dict[GraphicsProtocol, type[Widget]] = {
        "sixel": widget.SixelImage,
        "kitty": widget.TGPImage,
    }
    return kinds.get(_found[0] if _found else "", widget.HalfcellImage)


def _not_now(*_args: Any, **_named: Any) -> NoReturn:
    """Takes the place of the library's question, whose answer the app would take for keys."""
    from textual_image._terminal import TerminalError

    raise TerminalError("the app has the terminal")
