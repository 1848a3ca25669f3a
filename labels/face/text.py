"""Text as exact dots: measured and drawn piece by piece, each piece drawn once and kept.

Tags of one machine share most of their words, so keeping the pieces makes a long run cheap.
"""

import re
import unicodedata
from functools import lru_cache
from typing import NamedTuple

from PIL import Image, ImageDraw, features

from labels.face.bidi import goes_left, mirrored, visual_runs
from labels.face.fonts import CAPITAL, Style, font_for, runs
from labels.face.hyphens import breaks
from labels.face.scripts import script_of

# Words, but digits one by one: all digits are equally wide, and every code has other ones.
_PIECES = re.compile(r"[^ \-\d]+|\d|-+| +")
_PIECES_LEFTWARDS = re.compile(r"[^ ]+| +")
_NOT_FIRST = frozenset("、。，．・：；？！）」』】〕〉》ーゃゅょっァィゥェォャュョッ々")
_NOT_LAST = frozenset("（「『【〔〈《")
_REFERENCE = 1000
"""The em in which lengths are measured; they grow in proportion with the em."""
_COARSE = 40
"""Smaller letters are drawn larger and reduced, which spaces and weighs them more evenly."""
_FINER = 8
_APART = 1
"""Blank dots between two small letters at least: at 203 dots per inch they would run together."""
_INKED = 140
"""A reduced dot is inked when it is darker than this (0 black, 255 white): a touch bold."""


class GlyphRun(NamedTuple):
    """A few letters, drawn: the dots (1 is ink), and where they lie from the pen."""

    dots: Image.Image | None
    right: int
    down: int


class Letter(NamedTuple):
    """One small letter, and how far the pen goes for it in whole dots."""

    piece: GlyphRun
    advance: int


@lru_cache(maxsize=8192)
def _reference_width(text: str, bold: bool, width: int) -> float:
    style = Style(_REFERENCE, bold, width)
    return sum(float(font_for(face, style).getlength(shaped(part))) for face, part in runs(text))


def shaped(part: str) -> str:
    """A part as the layout engine is given it: without raqm, which turns what goes left round by
    itself, its letters are put in the order in which they are drawn."""
    if joins_letters() or not goes_left(part):
        return part
    return "".join(reversed(_letters(part)))


@lru_cache(maxsize=4096)
def text_width(text: str, style: Style) -> int:
    """How far the pen goes for a printable text, in dots."""
    return sum(_advance(part, style) for part in _PIECES.findall(text))


def _advance(part: str, style: Style) -> int:
    if style.size < _COARSE and not part.isspace() and not drawn_whole(part):
        return sum(_letter(letter, style).advance for letter in _letters(part))
    return round(_reference_width(part, style.bold, style.width) * style.size / _REFERENCE)


def text_pieces(text: str, style: Style) -> list[tuple[Image.Image, int, int]]:
    """A printable text as pictures (1 is ink), each with its place right of the pen's start and
    down from the baseline, in dots."""
    placed = []
    pen = 0
    for part in _in_order(text):
        piece = _piece(part, style)
        if piece.dots:
            placed.append((piece.dots, pen + piece.right, piece.down))
        pen += _advance(part, style)
    return placed


def _in_order(text: str) -> list[str]:
    """The pieces of a text from left to right as they are drawn."""
    if not goes_left(text):
        return _PIECES.findall(text)
    found: list[str] = []
    for run in visual_runs(text):
        pieces = _PIECES_LEFTWARDS.findall(run.text) if run.leftwards else []
        turned = (piece if goes_left(piece) else mirrored(piece) for piece in reversed(pieces))
        found += turned if run.leftwards else _PIECES.findall(run.text)
    return found


def drawn_whole(part: str) -> bool:
    """Whether a piece is drawn whole: its letters join, stack or go left."""
    return any((script := script_of(letter)) is not None and script.shaped for letter in part)


def joins_letters() -> bool:
    """Whether Pillow's layout engine can shape: without raqm Arabic letters stay apart and Thai
    marks may lie beside their letters."""
    return bool(features.check("raqm"))


def tail(text: str, style: Style) -> int:
    """How far a printable text reaches below the baseline, in dots: the J and the Q do."""
    return max((down + dots.height for dots, _, down in text_pieces(text, style)), default=0)


@lru_cache(maxsize=2048)
def _piece(text: str, style: Style) -> GlyphRun:
    if style.size >= _COARSE or text.isspace():
        return _drawn(text, style)
    if drawn_whole(text):
        return _reduced(text, style)
    pen, placed = 0, []
    for letter in _letters(text):
        piece, advance = _letter(letter, style)
        if piece.dots:
            placed.append((piece.dots, pen + piece.right, piece.down))
        pen += advance
    if not placed:
        return GlyphRun(None, 0, 0)
    left = min(right for _, right, _ in placed)
    top = min(down for _, _, down in placed)
    width = max(right + dots.width for dots, right, _ in placed) - left
    height = max(down + dots.height for dots, _, down in placed) - top
    whole = Image.new("1", (width, height))
    for dots, right, down in placed:
        whole.paste(1, (right - left, down - top), dots)
    return GlyphRun(whole, left, top)


def _letters(text: str) -> list[str]:
    """The text letter by letter, each with the marks that combine with it."""
    letters: list[str] = []
    for character in text:
        if letters and unicodedata.combining(character):
            letters[-1] += character
        else:
            letters.append(character)
    return letters


@lru_cache(maxsize=4096)
def _letter(letter: str, style: Style) -> Letter:
    """A small letter on whole dots: the same wherever it stands, and apart from the next."""
    piece = _reduced(letter, style)
    width = round(_reference_width(letter, style.bold, style.width) * style.size / _REFERENCE)
    if not piece.dots:
        return Letter(piece, width)
    right = max(0, piece.right)
    return Letter(piece._replace(right=right), max(width, right + piece.dots.width + _APART))


def _reduced(text: str, style: Style) -> GlyphRun:
    """Small letters, drawn larger and reduced; rows and columns left blank are taken off."""
    large = _drawn(text, style._replace(size=style.size * _FINER))
    if not large.dots:
        return large
    left, top = large.right // _FINER, large.down // _FINER
    right = -(-(large.right + large.dots.width) // _FINER)
    bottom = -(-(large.down + large.dots.height) // _FINER)
    room = Image.new("L", ((right - left) * _FINER, (bottom - top) * _FINER), 255)
    room.paste(0, (large.right - left * _FINER, large.down - top * _FINER), large.dots)
    dots = room.reduce(_FINER).point(_THRESHOLD, "1")
    inked = dots.getbbox()
    if not inked:
        return GlyphRun(None, 0, 0)
    return GlyphRun(dots.crop(inked), left + inked[0], top + inked[1])


_THRESHOLD = [255 if shade < _INKED else 0 for shade in range(256)]


def _drawn(text: str, style: Style) -> GlyphRun:
    ordered = runs(text)
    leftwards = goes_left(text)
    if leftwards:
        ordered.reverse()
    parts = [
        (font_for(face, style), shaped(part) if goes_left(part) == leftwards else mirrored(part))
        for face, part in ordered
    ]
    starts, pen = [], 0.0
    for font, part in parts:
        starts.append(round(pen))
        pen += font.getlength(part)
    boxes = [font.getbbox(part, mode="1", anchor="ls") for font, part in parts]
    left = min(int(start + box[0]) for start, box in zip(starts, boxes, strict=True))
    right = max(int(start + box[2]) for start, box in zip(starts, boxes, strict=True))
    top = min(int(box[1]) for box in boxes)
    bottom = max(int(box[3]) for box in boxes)
    if right <= left or bottom <= top or text.isspace():
        return GlyphRun(None, 0, 0)
    dots = Image.new("1", (right - left, bottom - top))
    draw = ImageDraw.Draw(dots)
    for start, (font, part) in zip(starts, parts, strict=True):
        draw.text((start - left, -top), part, font=font, fill=1, anchor="ls")
    return GlyphRun(dots, left, top)


def wrap(text: str, room: int, style: Style) -> tuple[str, str]:
    """The longest beginning of a text that fits a room, broken at a blank where one is.

    Gives (that beginning, the rest). A word that is too long by itself is broken between two
    syllables, with a hyphen; where none is found that fits, between any two letters.
    """
    words = text.split(" ")
    line = ""
    for at, word in enumerate(words):
        longer = f"{line} {word}" if line else word
        if text_width(longer, style) > room:
            if line:
                return line, " ".join(words[at:])
            taken, mark = _broken(word, room, style)
            return word[:taken] + mark, " ".join([word[taken:], *words[at + 1 :]])
        line = longer
    return line, ""


def _broken(word: str, room: int, style: Style) -> tuple[int, str]:
    """How many letters of a word that is too long go on the line, and what is set after them."""
    for at, mark in reversed(breaks(word)):
        if text_width(word[:at] + mark, style) <= room:
            return at, mark
    return _letters_within(word, room, style), ""


def least_em(capital: float) -> int:
    """The least em in dots whose capitals are at least so many dots high once they are dots."""
    size = max(1, int(capital / CAPITAL))
    while any(_capital_dots(Style(size, bold)) < capital for bold in (False, True)):
        size += 1
    return size


def _capital_dots(style: Style) -> int:
    dots = _piece("H", style).dots
    return dots.height if dots else 0


def _letters_within(word: str, room: int, style: Style) -> int:
    """How many letters of a word fit, at least one; marks stay with their letter, and a line does
    not begin with what closes a sentence (common practice of Chinese and Japanese typesetting)."""
    letters = _letters(word)
    taken = 1
    while taken < len(letters) and text_width("".join(letters[: taken + 1]), style) <= room:
        taken += 1
    while 1 < taken < len(letters) and (
        letters[taken] in _NOT_FIRST or letters[taken - 1] in _NOT_LAST
    ):
        taken -= 1
    return sum(map(len, letters[:taken]))


def cut(text: str, room: int, style: Style) -> str:
    """The text shortened with … so that it fits the room; empty when not even that fits."""
    if text_width(text, style) <= room:
        return text
    kept = text
    while kept and text_width(f"{kept.rstrip()}…", style) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…" if kept else ""
