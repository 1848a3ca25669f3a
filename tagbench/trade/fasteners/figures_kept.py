"""No figure that was typed is lost: what stands in no field of the records stands in the words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

import msgspec

from tagbench.records import Fastener
from tagbench.trade.fasteners.tokens import Number, Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import fold

_FIGURES = re.compile(r"[0-9]+")
_NUMBERS = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_NEAR = 0.006
_MM_PER_INCH = 25.4


def with_figures(text: str, lines: Sequence[Fastener]) -> list[Fastener]:
    """The lines of a tidy text, the last of them with the figures that no line has."""
    kept = list(lines)
    text = _SUM.sub(lambda found: "" if _is_counted(found[0], kept) else found[0], text)
    if not kept or _all_said(text, kept):
        return kept
    lost = list(_lost(tokens(text), kept))
    if lost:
        words = " ".join(filter(None, (kept[-1].words, *lost)))
        kept[-1] = msgspec.structs.replace(kept[-1], words=words)
    return kept


#: `22 + 23`, of which the sum is how many there are.
_SUM = re.compile(r"(?<![\w.,/])[1-9][0-9]?(?:\s?\+\s?[1-9][0-9]?)+(?=\s)")


def _is_counted(sum_typed: str, lines: Sequence[Fastener]) -> bool:
    many = sum(map(int, _FIGURES.findall(sum_typed)))
    return any(line.quantity == many for line in lines)


def _all_said(text: str, lines: Sequence[Fastener]) -> bool:
    """Whether each run of figures stands in the records as it was typed; the quick way."""
    said = set(_FIGURES.findall(" ".join(_said(lines))))
    said |= {f"{size:g}" for line in lines for size in _sizes(line)}
    said |= {str(line.quantity) for line in lines}
    return said.issuperset(_FIGURES.findall(text))


def _said(lines: Sequence[Fastener]) -> Iterator[str]:
    """Each text in the records."""
    for line in lines:
        yield from (
            line.words, line.place, line.note, line.tool, line.number, line.standard, line.grade,
            line.thread, line.head, line.called, line.material, *line.chosen, *line.locking,
        )  # fmt: skip
        yield line.torque.typed if line.torque else ""


def _sizes(line: Fastener) -> Iterator[float]:
    for size in (line.diameter, line.length, line.thickness):
        if size is not None:
            yield size
    yield from map(float, _NUMBERS.findall(line.thread))


def _lost(found: Sequence[Token], lines: Sequence[Fastener]) -> Iterator[str]:
    said = " ".join(map(_plain, _said(lines)))
    for token in found:
        if not _FIGURES.search(token.text) or _plain(token.text) in said:
            continue
        if token.kind in ("place", "quoted") and not count_alone(token.name):
            yield from _lost(tokens(token.name), lines)
        elif token.kind in ("numbers", "count", "place", "quoted"):
            numbers = token.numbers or (
                Number(value=Fraction(_count(token)), text=_count_text(token), unit=""),
            )
            if not all(_is_kept(number, said, lines) for number in numbers):
                yield token.text
        elif token.kind == "standard":
            yield from _suffix(token, lines)
        elif token.kind in ("thread", "tpi") and any(_has(line, token) for line in lines):
            continue
        elif token.kind in ("thread", "tpi", "word"):
            yield token.text


def _suffix(token: Token, lines: Sequence[Fastener]) -> Iterator[str]:
    """The -8 of `DIN 934-8`, which is a class or a size and no part of the standard's name."""
    if "-" not in token.text:
        return
    said = token.text.rpartition("-")[2]
    sizes = {size for line in lines for size in _sizes(line)}
    if not token.name.endswith(said) and float(said) not in sizes:
        yield f"-{said}"


def _has(line: Fastener, token: Token) -> bool:
    """Whether a line has that thread, or the size of it as a ring has."""
    thread = token.thread.thread if token.thread is not None else None
    if thread is None or not thread.diameter_mm:
        return bool(line.thread or line.diameter)
    sizes = _FIGURES.findall(thread.designation)[:1]
    scale = _MM_PER_INCH if line.length_unit == "in" else 1.0
    around = line.diameter is not None and abs(line.diameter * scale - thread.diameter_mm) < 1
    return around or (bool(line.thread) and sizes == _FIGURES.findall(line.thread)[:1])


def _plain(text: str) -> str:
    return fold(text.replace(" ", "").replace(",", "."))


def _count(token: Token) -> int:
    return token.count or count_alone(token.name)


def _count_text(token: Token) -> str:
    found = _FIGURES.search(token.text)
    return found[0] if found else str(_count(token))


def _part(text: str) -> Number:
    return Number(value=Fraction(text), text=text, unit="")


def _is_kept(number: Number, said: str, lines: Sequence[Fastener]) -> bool:
    """Whether a number is a count, a size in either unit, or stands in the words."""
    parts = number.text.split(" ")
    if len(parts) > 1 and all(_is_kept(_part(part), said, lines) for part in parts):
        return True  # hose clamps x2 5/8
    value = float(number.value)
    counts = [line.quantity for line in lines]
    whole = int(value) if value == int(value) else 0
    many = whole and any(count % whole == 0 for count in (*counts, sum(counts)))
    if many or re.search(rf"(?<![0-9.]){re.escape(_plain(number.text))}(?![0-9])", said):
        return True
    scale = (1.0, _MM_PER_INCH, 1 / _MM_PER_INCH)
    return any(
        abs(value * factor - size) < _NEAR * max(1.0, size)
        for line in lines
        for size in _sizes(line)
        for factor in scale
    )
