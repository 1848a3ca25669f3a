"""Threads that are typed as mere sizes: 8x1.25x25, 1/4x20 bolt, 3/8 bolt 24 tpi."""

from __future__ import annotations

import re
from fractions import Fraction

from tagbench.errors import BadInput
from tagbench.trade.fasteners.choices import INCHES_AT_MOST, Meaning, count_options, with_unit
from tagbench.trade.fasteners.options import size_long, threaded
from tagbench.trade.fasteners.parsed_line import Figure
from tagbench.trade.fasteners.thread_words import is_pitch, threads_of_size
from tagbench.trade.fasteners.tokens import Number, Token
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS
from tagbench.trade.quantities.shown import inch_fraction
from tagbench.trade.threads.designation import parse_thread


def threads_from_figures(said: Meaning, figures: list[Figure]) -> list[Figure]:
    """`8x1.25x25`, `1/4x20 bolt`, `3/8 bolt 24 tpi`: threads typed as mere sizes."""
    line = said.line
    if line.tpi is not None:
        figures = _by_tpi(said, figures)
    if line.thread is None and (not line.kind or line.kind in THREADED_KINDS):
        figures = _by_series(said, figures)
    if line.thread is not None or (line.kind and line.kind not in THREADED_KINDS):
        return figures
    rest = []
    for figure in figures:
        token = figure.token
        if said.fields.get("thread") or not _thread_of_chain(said, token):
            rest.append(figure)
    return rest


def _by_tpi(said: Meaning, figures: list[Figure]) -> list[Figure]:
    tpi = said.line.tpi
    for figure in figures:
        first = figure.token.numbers[0]
        size = _inch_name(first)
        fitting = (
            [
                one
                for one in threads_of_size(size)
                if abs(one.threads_per_inch - float(tpi.name)) < 0.01
            ]
            if tpi
            else []
        )
        if figure.token.behind == "long":
            continue  # 26tpi 1" under the head
        if len(figure.token.numbers) == 1 and len(fitting) == 1:
            said.set_thread(fitting[0].designation)
            return [other for other in figures if other is not figure]
        if fitting and tpi:
            said.doubt(
                f"{figure.token.text} {tpi.text}",
                [threaded(one.designation) for one in fitting],
            )
            return [other for other in figures if other is not figure]
    if tpi is not None:
        said.words.append(tpi.text)
    return figures


_SERIES = re.compile(r"BS[FWC]|UN[FC]|CEI|whit(?:worth)?\.?", re.IGNORECASE)


def _by_series(said: Meaning, figures: list[Figure]) -> list[Figure]:
    """`5/16 x 1 BSF`: the series stands behind the length."""
    word = next((one for one in said.line.words if _SERIES.fullmatch(one)), "")
    if not word or word not in said.words:
        return figures
    for figure in figures:
        if figure.token.behind:
            continue  # 1" long UNF
        counted, first, rest = _counted_size(said, figure.token)
        if len(rest) > 1 or not _inch_name(first):
            continue
        try:
            thread = parse_thread(f"{_inch_name(first)} {word}")
        except BadInput:
            continue
        said.set_thread(thread.designation)
        said.words.remove(word)
        if counted:
            said.count(counted)
        for length in rest:
            said.size("length", Number(length.value, length.text, length.unit or "in"))
        return [other for other in figures if other is not figure]
    return figures


def _counted_size(said: Meaning, token: Token) -> tuple[int, Number, list[Number]]:
    """How many, how thick and how long a chain of inches says: 2 x 1/4 x 1/2."""
    first, *rest = token.numbers
    counted = token.many if len(rest) > 1 and said.line.count is None else 0
    if counted and "/" in rest[0].text:
        first, *rest = rest
    whole, _, part = first.text.partition(" ")
    counts = whole.isdecimal() and part and said.line.count is None and said.line.plural
    if counts and len(rest) == 1 and Fraction(part) < rest[0].value < first.value:
        return int(whole), Number(Fraction(part), part, first.unit), rest  # 3 1/4 x 1 bolts
    if len(rest) == 1 and rest[0].value < first.value:
        return counted, rest[0], [first]  # 1" x 1/4: no screw is shorter than it is thick
    return counted, first, rest


def _inch_name(number: Number) -> str:
    return inch_fraction(number.value) if "/" in number.text or number.unit == "in" else ""


def _thread_of_chain(said: Meaning, token: Token) -> bool:
    """Reads a chain of sizes as thread and length where the figures leave no doubt."""
    numbers = list(token.numbers)
    if len(numbers) > 1 and "/" in numbers[0].text and numbers[1].text.isdecimal():
        per_inch = numbers[1].value > INCHES_AT_MOST  # 1/4" x 26 x 7/8"
        numbers = [Number(one.value, one.text, "") for one in numbers] if per_inch else numbers
    if any(number.unit == "in" for number in numbers) or token.behind or len(numbers) < 2:
        return False
    counted = said.line.count is not None
    if (
        not counted
        and len(numbers) > 2
        and numbers[0].whole
        and _is_metric(numbers[1:])
        and not _is_metric(numbers)
    ):
        said.count(numbers[0].whole)
        numbers = numbers[1:]
    if _is_metric(numbers) and (
        said.line.kind or len(numbers) > 2 or not numbers[1].text.isdecimal()
    ):
        said.set_thread(f"M{float(numbers[0].value):g}x{float(numbers[1].value):g}")
    elif name := _inch_thread(numbers):
        said.set_thread(name)
        _inches_behind(said, numbers[2:3])
        said.words += [number.text for number in numbers[3:]]
        return True
    elif several := _inch_threads(numbers):  # 1/4 x 26
        said.doubt(token.text, [threaded(one) for one in several])
        return True
    else:
        return False
    for number in numbers[2:3]:
        said.size("length", number)
    said.words += [number.text for number in numbers[3:]]
    return True


def _inches_behind(said: Meaning, numbers: list[Number]) -> None:
    """The length behind an inch thread: `1/4x20x1` is an inch long, x2 may be two of them."""
    for number in numbers:
        inch = Number(number.value, number.text, "in")
        if number.whole <= 1:
            said.size("length", inch)
            continue
        options = count_options(said, number)
        if number.value <= INCHES_AT_MOST:
            options.insert(0, size_long(with_unit(inch, "in")))
        said.doubt(f"x {number.text}", options)


def _is_metric(numbers: list[Number]) -> bool:
    if len(numbers) < 2 or "/" in numbers[0].text or "/" in numbers[1].text:
        return False
    size, pitch = float(numbers[0].value), float(numbers[1].value)
    longer = len(numbers) < 3 or (
        "/" not in numbers[2].text and numbers[2].value >= Fraction(numbers[1].value)
    )
    return size >= 3 and is_pitch(size, pitch, tight=False) and longer


def _inch_thread(numbers: list[Number]) -> str:
    chosen = _inch_threads(numbers)
    return chosen[0] if len(chosen) == 1 else ""


def _inch_threads(numbers: list[Number]) -> list[str]:
    """The threads of a size with so many an inch; unified ones before any other."""
    size, per_inch = _inch_name(numbers[0]), numbers[1].whole
    if not size or "/" not in numbers[0].text:
        return []
    fitting = [one for one in threads_of_size(size) if abs(one.threads_per_inch - per_inch) < 0.01]
    unified = [one for one in fitting if one.system == "unified"]
    return [one.designation for one in unified or fitting]
