"""Setting words beside and below a symbol: shrink, then wrap, then cut with … and tell.

A block of text is set line by line; a line that lies beside the symbol starts right of it,
a line below it starts at the left edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from labels.face.fonts import ASCENT, DESCENT, Style
from labels.face.hyphens import HYPHEN
from labels.face.text import cut, text_width, wrap
from labels.stock.sizing import Area

SCALES = (1.6, 1.45, 1.3, 1.2, 1.1, 1.0, 0.93, 0.86, 0.8, 0.74, 0.69, 0.64, 0.6)
"""Sizes tried for all the words together, the largest that holds everything is used."""
_NARROWER = (100, 90, 80)
"""Widths of the letters, in per cent, tried before a line is made smaller."""


@dataclass(frozen=True, slots=True)
class Words:
    """One thing to say, such as the part's name."""

    name: str
    """What it is, for the report of what was cut."""
    text: str
    """Printable text."""
    size: float
    """Preferred em in dots."""
    bold: bool = False
    gap: float = 0.0
    """Room above it in dots."""
    most_lines: int = 9
    largest: float = 1e9
    """The em in dots that it never exceeds."""
    side: str = ""
    """A short word white on black in its first line; some stand at the end of it."""
    with_last: bool = False
    """It belongs to the words before it, and starts under them though it lies below the symbol,
    where it fits there on one line."""


@dataclass(frozen=True, slots=True)
class PlacedLine:
    """A line that has found its place."""

    text: str
    style: Style
    x: int
    baseline: int
    name: str = ""
    boxed: int = 0
    """White on a black box that reaches so many dots beyond the letters; 0 is plain."""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The corner with the symbol: lines whose top lies above `bottom` start at `right`."""

    right: int
    bottom: int


@dataclass(frozen=True, slots=True)
class Cut:
    """Words that did not fit whole: what was meant and what is printed of it (may be nothing)."""

    name: str
    text: str
    printed: str


@dataclass(frozen=True, slots=True)
class PlacedText:
    """Words in their place."""

    lines: tuple[PlacedLine, ...]
    bottom: int
    cuts: tuple[Cut, ...] = ()


class Flow:
    """The room for words on one label."""

    def __init__(self, area: Area, obstacle: Obstacle, smallest: int) -> None:
        """`smallest` is the least em in dots that can still be read."""
        self.area = area
        self.obstacle = obstacle
        self.smallest = smallest

    def set_words(self, words: Sequence[Words], top: int) -> PlacedText:
        """Set all the words from `top` down, at the largest scale at which nothing is cut."""
        for scale in SCALES:
            setting = self._at_scale(words, top, scale, cutting=False)
            if setting:
                return setting
        kept = self._with_room(words, top)
        final = self._at_scale(kept, top, SCALES[-1], cutting=True) or PlacedText((), top)
        lost = tuple(Cut(item.name, item.text, "") for item in words[len(kept) :])
        return replace(final, cuts=final.cuts + lost)

    def _with_room(self, words: Sequence[Words], top: int) -> Sequence[Words]:
        """The first words, as many as find room for one small line each."""
        y = top
        for at, item in enumerate(words):
            y += self._least_height(item)
            if y > self.area.bottom:
                return words[:at]
        return words

    def _at_scale(
        self, words: Sequence[Words], top: int, scale: float, *, cutting: bool
    ) -> PlacedText | None:
        lines: list[PlacedLine] = []
        cuts: list[Cut] = []
        y = top
        for at, item in enumerate(words):
            size = max(self.smallest, round(min(item.size * scale, item.largest)))
            y += round(item.gap * scale) if lines else 0
            rest = sum(self._least_height(other) for other in words[at + 1 :]) if cutting else 0
            limit = self.area.bottom - rest
            start = lines[-1].x if lines and item.with_last else 0
            found, y_after, left_over = self._one(item, size, y, limit, start)
            if left_over:
                if not cutting:
                    return None
                found, y_after, shown = self._one_cut(item, y, limit)
                if bare(shown) != bare(item.text):
                    cuts.append(Cut(item.name, item.text, shown))
            lines += found
            y = y_after
        return PlacedText(tuple(lines), y, tuple(cuts))

    def _least_height(self, item: Words) -> int:
        return _height(self.smallest) + round(item.gap * SCALES[-1])

    def span(self, y: int, height: int) -> tuple[int, int]:
        """Where a line from `y` down may start and end."""
        beside = y < self.obstacle.bottom
        return (self.obstacle.right if beside else self.area.left), self.area.right

    def _one(
        self, item: Words, size: int, y: int, limit: int, start: int = 0
    ) -> tuple[list[PlacedLine], int, str]:
        """Set one thing: on one line if narrower or slightly smaller letters allow it, and from
        `start` on if that is further right and it fits there."""
        left, right = self.span(y, _height(size))
        if start > left:
            style = self._fitting(item, size, right - start - _side_room(item, size))
            if style is not None:
                return self._lines(item, style, y, limit, start)
        style = self._fitting(item, size, right - left - _side_room(item, size))
        if style is None:
            style = Style(max(self.smallest, round(size * 0.92)), item.bold, 88)
        return self._lines(item, style, y, limit)

    def _fitting(self, item: Words, size: int, room: int) -> Style | None:
        smaller = max(self.smallest, round(size * 0.85))
        for style in (
            *(Style(size, item.bold, width) for width in _NARROWER),
            Style(smaller, item.bold, _NARROWER[-1]),
        ):
            if text_width(item.text, style) <= room:
                return style
        return None

    def _lines(
        self, item: Words, style: Style, y: int, limit: int, start: int = 0
    ) -> tuple[list[PlacedLine], int, str]:
        """Lines until the text, the lines allowed, or the room is used up; and what is left."""
        lines: list[PlacedLine] = []
        boxes: list[PlacedLine] = []
        rest = item.text
        height = _height(style.size)
        while rest and len(lines) < item.most_lines and y + height <= limit:
            left, right = self.span(y, height)
            left = max(left, start)
            baseline = y + round(ASCENT * style.size)
            if item.side and not lines:
                box = _side_line(item, style.size, left, right, baseline)
                boxes.append(box)
                room = _side_room(item, style.size)
                left, right = (left, right - room) if box.x > left + room else (left + room, right)
            text, rest = wrap(rest, right - left, style)
            lines.append(PlacedLine(text, style, left, baseline, item.name))
            y += height
        return boxes + lines, y, rest

    def _one_cut(self, item: Words, y: int, limit: int) -> tuple[list[PlacedLine], int, str]:
        """As much as goes in at the smallest size, the last line ending with …"""
        style = Style(self.smallest, item.bold, _NARROWER[-1])
        lines, y_after, rest = self._lines(item, style, y, limit)
        if lines and rest:
            last = lines[-1]
            _, right = self.span(last.baseline - round(ASCENT * style.size), 0)
            boxed = [line for line in lines if line.boxed and line.baseline == last.baseline]
            if boxed and boxed[0].x > last.x:
                right -= _side_room(item, style.size)
            joint = "" if last.text.endswith(HYPHEN) else " "
            shown = cut(f"{last.text.rstrip(HYPHEN)}{joint}{rest}", right - last.x, style)
            lines[-1] = PlacedLine(shown, style, last.x, last.baseline, last.name)
        return lines, y_after, _said(lines)


def _said(lines: Sequence[PlacedLine]) -> str:
    """What stands on the lines, without the hyphens that breaking words put there."""
    said = "".join(f"{line.text} " for line in lines if not line.boxed).rstrip()
    return said.replace(f"{HYPHEN} ", "")


def bare(text: str) -> str:
    """A text without what breaking lines takes from it or puts into it."""
    return text.replace(" ", "").replace(HYPHEN, "")


_AT_THE_END = frozenset(("right", "lower", "rear"))


def _side_style(size: int) -> Style:
    return Style(size, bold=True)


def _padding(size: int) -> int:
    return max(2, round(0.16 * size))


def _side_room(item: Words, size: int) -> int:
    """What the boxed word takes from its line, with the blank that sets it off."""
    if not item.side:
        return 0
    return text_width(item.side.upper(), _side_style(size)) + 4 * _padding(size)


def _side_line(item: Words, size: int, left: int, right: int, baseline: int) -> PlacedLine:
    word, style, padding = item.side.upper(), _side_style(size), _padding(size)
    x = left + padding
    if item.side.lower() in _AT_THE_END:
        x = right - padding - text_width(word, style)
    return PlacedLine(word, style, x, baseline, item.name, padding)


def _height(size: int) -> int:
    return round((ASCENT + DESCENT) * size)
