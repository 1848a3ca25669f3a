"""Text as exact dots: measured and drawn piece by piece, each piece drawn once and kept.

Tags of one machine share most of their words, so keeping the pieces makes a long run cheap.
"""

import re
from functools import lru_cache
from typing import NamedTuple

from PIL import Image, ImageDraw

from labels.fonts import Style, font_for, runs

BLACK, WHITE = 0, 1
_PIECES = re.compile(r"[^ \-]+|-+| +")


class _Piece(NamedTuple):
    """A few letters, drawn: the dots, where they lie from the pen, and how far the pen goes."""

    dots: Image.Image | None
    right: int
    down: int
    advance: int


@lru_cache(maxsize=8192)
def _piece(text: str, style: Style) -> _Piece:
    parts = [(font_for(face, style), part) for face, part in runs(text)]
    lengths = [round(font.getlength(part)) for font, part in parts]
    boxes = [font.getbbox(part, mode="1", anchor="ls") for font, part in parts]
    starts = [sum(lengths[:at]) for at in range(len(lengths))]
    left = min(int(start + box[0]) for start, box in zip(starts, boxes, strict=True))
    right = max(int(start + box[2]) for start, box in zip(starts, boxes, strict=True))
    top = min(int(box[1]) for box in boxes)
    bottom = max(int(box[3]) for box in boxes)
    if right <= left or bottom <= top:
        return _Piece(None, 0, 0, sum(lengths))
    dots = Image.new("1", (right - left, bottom - top))
    draw = ImageDraw.Draw(dots)
    for start, (font, part) in zip(starts, parts, strict=True):
        draw.text((start - left, -top), part, font=font, fill=1, anchor="ls")
    return _Piece(dots, left, top, sum(lengths))


@lru_cache(maxsize=16384)
def text_width(text: str, style: Style) -> int:
    """How far the pen goes for a printable text, in dots."""
    return sum(_piece(part, style).advance for part in _PIECES.findall(text))


def draw_text(
    image: Image.Image, x: int, baseline: int, text: str, style: Style, ink: int = BLACK
) -> int:
    """Draw a printable text in a 1-bit image from pen position `x`; gives the pen's new x."""
    for part in _PIECES.findall(text):
        piece = _piece(part, style)
        if piece.dots:
            image.paste(ink, (x + piece.right, baseline + piece.down), piece.dots)
        x += piece.advance
    return x


def wrap(text: str, room: int, style: Style) -> tuple[str, str]:
    """The longest beginning of a text that fits a room, broken at a blank where one is.

    Gives (that beginning, the rest). A word that is too long by itself is broken within.
    """
    words = text.split(" ")
    line = ""
    for at, word in enumerate(words):
        longer = f"{line} {word}" if line else word
        if text_width(longer, style) > room:
            if line:
                return line, " ".join(words[at:])
            taken = _letters_within(word, room, style)
            return word[:taken], " ".join([word[taken:], *words[at + 1 :]])
        line = longer
    return line, ""


def _letters_within(word: str, room: int, style: Style) -> int:
    """How many letters of a word fit; at least one, and never parting a letter from its mark."""
    taken = 1
    while taken < len(word) and text_width(word[: taken + 1], style) <= room:
        taken += 1
    return taken


def cut(text: str, room: int, style: Style) -> str:
    """The text shortened with … so that it fits the room; empty when not even that fits."""
    if text_width(text, style) <= room:
        return text
    kept = text
    while kept and text_width(f"{kept.rstrip()}…", style) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…" if kept else ""
