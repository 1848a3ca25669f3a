"""What the figures of a line mean for its kind, with the choices where there are two readings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners.draft import Draft, Figure
from tagbench.trade.fasteners.own_sizes import (
    bearing_size,
    numbered_size,
    takes_fine_thread,
    usual_threads,
)
from tagbench.trade.fasteners.thread_words import is_pitch, threads_of_size
from tagbench.trade.fasteners.tokens import Number, Token, standards, tool_name
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    NUMBERED,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
    fold_words,
    is_single_use,
    look_up,
    nearest_word,
    phrases,
)
from tagbench.trade.quantities.shown import inch_fraction
from tagbench.trade.threads.designation import left_handed, parse_thread
from tagbench.trade.threads.sizes import metric_by_diameter
from tagbench.trade.threads.thread import Thread
from tagbench.trade.tools.spanners import spanner_sizes

#: Most pieces that a lone figure may be the count of.
_MOST = 60
#: A bare number behind an inch thread is inches up to here.
_INCHES_AT_MOST = 6
#: A lone figure behind thread and length is a count up to here, and in doubt from there on.
_LIKELY_COUNT = 12
#: From here on a lone figure behind an x is a length in mm and no count.
_SURELY_LONG = 8
#: Gauge numbers of wood and tapping screws go up to here.
_GAUGES = 24
#: Known by what they go round: 12-20 is a range and no thread.
_GRIPS = ("hose clip", "clamp", "clip")
_WORD_SIZES = MappingProxyType({"long": "length", "thick": "thickness", "across": "diameter"})
_PIPE = re.compile(r"^(?:G|R|Rp|Rc)\s?[0-9]|BSP|NPT|gas\b", re.IGNORECASE)
_POWERS = (2, 4, 8, 16, 32, 64)


class Option(msgspec.Struct, frozen=True):
    """One reading of a doubtful word."""

    says: str
    """The reading in words: `4 of them`, `4 mm long`."""
    meaning: str
    """The same for the reader, to be handed back in `picks`."""


class Choice(msgspec.Struct, frozen=True):
    """A word with two readings, best first."""

    line: int
    """Which line of the reading, from 0."""
    token: str
    """The doubtful word as typed; the key in `picks`."""
    options: tuple[Option, ...]
    """The readings, best first; leaving it as a word is always possible too."""
    taken: str
    """The meaning that stands in the record; empty while the word is kept as it is."""


class Meaning(msgspec.Struct):
    """The record of one line while its figures are read."""

    line: Draft
    at: int
    picks: Mapping[str, str]
    fields: dict[str, object] = msgspec.field(default_factory=dict)
    choices: list[Choice] = msgspec.field(default_factory=list)
    chosen: list[str] = msgspec.field(default_factory=list)
    thread: Thread | None = None
    words: list[str] = msgspec.field(default_factory=list)

    # what is sure

    def size(self, field: str, number: Number) -> None:
        """Sets diameter, length or thickness; all of a line stand in one unit."""
        unit = number.unit or ("in" if "/" in number.text else "mm")
        value = number.value
        if not value:
            self.words.append(number.text)
            return
        have = self.fields.get("length_unit")
        if have is None:
            self.fields["length_unit"] = have = unit
        if have != unit:
            factor = Fraction("25.4")
            value = value * factor if have == "mm" else value / factor
        self.fields[field] = float(value) if have == unit else round(float(value), 6)

    def doubt(self, token: str, options: Iterable[Option], assume: bool = False) -> None:
        """A word with several readings: the one picked, or the first when that may be assumed."""
        offered = tuple(dict.fromkeys(options))
        known = {option.meaning: option for option in offered}
        picked = self.picks.get(token, "")
        taken = (
            picked
            if picked in known
            else offered[0].meaning
            if assume and offered and picked != "words"
            else ""
        )
        if taken:
            self.apply(taken)
            self.chosen.append(f"“{token}”: {known[taken].says}")
        else:
            self.words.append(token)
        if offered:
            self.choices.append(Choice(self.at, token, offered, taken))

    def apply(self, meaning: str) -> None:
        """Writes one meaning into the record."""
        for part in meaning.split("|"):
            field, _, value = part.partition(":")
            if field == "count":
                self.fields["quantity"] = int(value)
            elif field in ("length", "diameter", "thickness"):
                figure, unit = value.rsplit(" ", 1)
                self.size(field, Number(_fraction(figure), figure, unit))
            elif field == "thread":
                self.set_thread(value)
            elif field == "tool":
                self.fields["tool"] = value
            else:
                self.fields[field] = value

    def set_thread(self, designation: str) -> None:
        """The thread of the line by its standard name."""
        self.fields["thread"] = designation
        try:
            self.thread = parse_thread(designation)
        except BadInput:
            self.thread = None


def _fraction(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.replace(" ", "-").split("-")), Fraction(0))


def read_line(
    line: Draft, at: int, picks: Mapping[str, str], typed: str
) -> tuple[Fastener, tuple[Choice, ...]]:
    """The record of one line, and the choices in it."""
    said = Meaning(line, at, picks, words=list(line.words))
    if line.count:
        said.fields["quantity"] = line.count
    _by_standard(said)
    _by_number(said)
    _settle_thread(said)
    figures = _threads_from_figures(said, list(line.figures))
    kind = _settle_kind(said)
    if kind in RINGS:
        _ring(said, figures)
    elif kind in THREADED_KINDS:
        _threaded(said, figures)
    else:
        _other(said, figures)
    _handed(said)
    _slips(said)
    return _record(said, kind, typed), tuple(said.choices)


def _by_standard(said: Meaning) -> None:
    line = said.line
    if not line.standard:
        return
    said.fields["standard"] = line.standard
    row = standards().get(line.standard)
    if row is None:
        return
    line.kind = line.kind or row["kind"]
    line.head = line.head or row["head"]
    line.drive = line.drive or row["drive"]


def _by_number(said: Meaning) -> None:
    line = said.line
    if line.bearing:
        line.kind = line.kind or "bearing"
        said.fields["number"] = line.bearing
        size = bearing_size(line.bearing)
        if size:
            said.fields |= dict(zip(("diameter", "length", "thickness"), size, strict=True))
            said.fields["length_unit"] = "mm"
    if line.gauge is None:
        return
    name = line.gauge.name
    if not line.kind and name.upper().startswith("ST"):
        line.kind = "self-tapping screw"
    if line.kind in THREADED_KINDS:
        _gauge_of_screw(said, line.gauge)
        return
    if not line.kind or (line.kind == "key" and not line.head and len(name) < 3):
        said.words.append(line.gauge.text)
        return
    own = name if name.upper().startswith("ST") or line.kind not in NUMBERED else f"#{name}"
    said.fields["number"] = own if line.kind in NUMBERED else f"#{name}"
    if name.upper().startswith("ST"):
        said.fields |= {"length_unit": "mm", "diameter": float(name[2:])}
    elif own_size := numbered_size(line.kind, name):
        said.fields["length_unit"] = "in"
        said.fields["diameter"] = own_size[0]
        if own_size[1]:
            said.fields["length"] = own_size[1]


def _gauge_of_screw(said: Meaning, token: Token) -> None:
    """`#8 screw`: a machine screw of either series, or one for wood or sheet metal."""
    name, options = token.name, []
    options += [
        Option(f"{one.designation} thread", f"thread:{one.designation}")
        for one in threads_of_size(f"#{name}")
        if one.system == "unified"
    ]
    if said.line.kind == "screw":
        for kind in ("wood screw", "self-tapping screw"):
            if numbered_size(kind, name):
                options.append(Option(f"{kind} number {name}", f"kind:{kind}|number:#{name}"))
    said.doubt(token.text, options)


def _settle_thread(said: Meaning) -> None:
    line = said.line
    found = line.thread
    if found is None:
        return
    if line.kind in _GRIPS and (span := re.fullmatch(r"([0-9]+)\s?-\s?([0-9]+)", line.thread_text)):
        line.notes.insert(0, f"{span[1]}-{span[2]} mm")
        return
    if line.kind and line.kind not in THREADED_KINDS and found.thread is not None:
        _goes_on(said, found.thread)
        return
    fine = found.bare and takes_fine_thread(line.kind, line.head)
    if found.thread is not None and not fine:
        said.fields["thread"] = found.thread.designation
        said.thread = found.thread
        return
    if fine and found.thread is not None:
        size = f"M{found.size.replace(',', '.')}"
        names = usual_threads(line.kind, line.head, size) or tuple(
            one.designation for one in metric_by_diameter().get(found.thread.diameter_mm, ())
        )
        options = [Option(name, f"thread:{name}") for name in names]
    else:
        options = []
        for one in found.options:
            count = f"count:{one.count}|" if one.count else ""
            words = f"{one.count} of {one.thread}" if one.count else one.thread
            options.append(Option(words, f"{count}thread:{one.thread}"))
        if line.count:
            options.sort(key=lambda one: one.meaning.startswith("count"))
        elif line.plural:
            options.sort(key=lambda one: not one.meaning.startswith("count"))
    said.doubt(line.thread_text, options)


def _goes_on(said: Meaning, thread: Thread) -> None:
    """A washer or circlip named by the thread it goes on: `lock washer M8`."""
    if not thread.diameter_mm:
        said.words.append(said.line.thread_text)
    elif thread.system in ("ISO metric", "BA"):
        said.fields |= {"diameter": thread.diameter_mm, "length_unit": "mm"}
    else:
        said.fields |= {"diameter": round(thread.diameter_mm / 25.4, 6), "length_unit": "in"}


def _settle_kind(said: Meaning) -> str:
    line = said.line
    if "kind" in said.fields:
        line.kind = str(said.fields.pop("kind"))
    threaded = bool(line.thread or said.fields.get("thread"))
    if line.kind not in ("circlip", "star washer") and line.head in (
        "internal",
        "external",
        "wire",
    ):
        if line.kind or threaded:
            line.place.append(line.head)
            line.head = ""
    named = line.figures or line.gauge or threaded
    if not line.kind and (line.head or line.drive) and line.words and not named:
        said.words += [word for word in (line.head, line.drive) if word]
        line.head = line.drive = ""
    if not line.kind:
        if (
            said.fields.get("thread")
            or line.thread is not None
            or (
                (line.head or line.drive)
                and line.head not in ("internal", "external", "E", "wire", "woodruff")
            )
        ):
            if _is_unknown_thing(line):
                line.kind = "other"
                return line.kind
            pipe = line.thread is not None and _PIPE.search(line.thread_text)
            line.kind = "fitting" if pipe else "screw"
        elif line.head in ("internal", "external", "E", "wire"):
            line.kind = "circlip"
        else:
            line.kind = "other"
    return line.kind


def _is_unknown_thing(line: Draft) -> bool:
    """`M6 whatsit` has a thread, but nobody says that it is a screw."""
    length = any(figure.adjacent for figure in line.figures)
    words = [word for said in line.words for word in said.split()]
    named = any(
        word.isalpha() and len(word) > 2 and fold(word) not in bench_words("condition")
        for word in words
    )
    return named and line.thread is not None and not (length or line.head or line.drive)


# threads typed without their letter


def _threads_from_figures(said: Meaning, figures: list[Figure]) -> list[Figure]:
    """`8x1.25x25`, `1/4x20 bolt`, `3/8 bolt 24 tpi`: threads typed as mere sizes."""
    line = said.line
    if line.tpi is not None:
        figures = _by_tpi(said, figures)
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
        if len(figure.token.numbers) == 1 and len(fitting) == 1:
            said.set_thread(fitting[0].designation)
            return [other for other in figures if other is not figure]
        if fitting and tpi:
            said.doubt(
                f"{figure.token.text} {tpi.text}",
                [Option(one.designation, f"thread:{one.designation}") for one in fitting],
            )
            return [other for other in figures if other is not figure]
    if tpi is not None:
        said.words.append(tpi.text)
    return figures


def _inch_name(number: Number) -> str:
    return inch_fraction(number.value) if "/" in number.text or number.unit == "in" else ""


def _thread_of_chain(said: Meaning, token: Token) -> bool:
    """Reads a chain of sizes as thread and length where the figures leave no doubt."""
    numbers = list(token.numbers)
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
        said.fields["quantity"] = numbers[0].whole
        numbers = numbers[1:]
    if _is_metric(numbers) and (
        said.line.kind or len(numbers) > 2 or not numbers[1].text.isdecimal()
    ):
        said.set_thread(f"M{float(numbers[0].value):g}x{float(numbers[1].value):g}")
    elif name := _inch_thread(numbers):
        said.set_thread(name)
        if len(numbers) > 2:
            said.fields["length_unit"] = "in"
    else:
        return False
    for number in numbers[2:3]:
        said.size("length", number)
    said.words += [number.text for number in numbers[3:]]
    return True


def _is_metric(numbers: list[Number]) -> bool:
    if len(numbers) < 2 or "/" in numbers[0].text or "/" in numbers[1].text:
        return False
    size, pitch = float(numbers[0].value), float(numbers[1].value)
    longer = len(numbers) < 3 or (
        "/" not in numbers[2].text and numbers[2].value >= Fraction(numbers[1].value)
    )
    return size >= 3 and is_pitch(size, pitch, tight=False) and longer


def _inch_thread(numbers: list[Number]) -> str:
    size, per_inch = _inch_name(numbers[0]), numbers[1].whole
    if not size or "/" not in numbers[0].text:
        return ""
    fitting = [one for one in threads_of_size(size) if abs(one.threads_per_inch - per_inch) < 0.01]
    unified = [one for one in fitting if one.system == "unified"]
    chosen = unified or fitting
    return chosen[0].designation if len(chosen) == 1 else ""


# what has a thread


def _threaded(said: Meaning, figures: list[Figure]) -> None:
    for figure in figures:
        if len(figure.token.numbers) > 1 or figure.token.behind == "span":
            _chain_of_screw(said, figure)
        else:
            _figure_of_screw(said, figure)


def _chain_of_screw(said: Meaning, figure: Figure) -> None:
    """Diameter and length without a thread, or so many of a length behind one."""
    token, line = figure.token, said.line
    numbers = list(token.numbers)
    free = numbers[0].whole and line.count is None and "quantity" not in said.fields
    has_thread = line.thread is not None or bool(said.fields.get("thread"))
    if token.behind == "span":
        _lengths(said, token)
    elif has_thread and len(numbers) == 2 and free and "length" not in said.fields:
        said.fields["quantity"] = numbers[0].whole
        said.size("length", numbers[1])
    elif has_thread or line.kind in NO_LENGTH:
        said.words.append(token.text)
    elif len(numbers) == 3 and free and numbers[0].value < 40:
        said.fields["quantity"] = numbers[0].whole
        _diameter_and_length(said, token, numbers[1:])
    elif len(numbers) > 2:
        said.words.append(token.text)
    elif (
        numbers[0].unit
        or "/" in numbers[0].text
        or line.count is not None
        or token.behind == "across"
        or (figure.behind_kind and (not line.plural or fold(line.kind_words) == "vis"))
    ):
        _diameter_and_length(said, token, numbers)
    else:
        _two_bare(said, token, numbers)


def _two_bare(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """`4x20 screws`: a size, or four of them."""
    first, second = numbers
    options = []
    if float(first.value) in metric_by_diameter():
        coarse = next(
            (one for one in metric_by_diameter()[float(first.value)] if one.series == "coarse"),
            None,
        )
        if coarse:
            options.append(
                Option(
                    f"{coarse.designation}, {_mm(second)} mm long",
                    f"thread:{coarse.designation}|length:{_mm(second)} mm",
                )
            )
    if first.whole and first.whole <= _MOST:
        options.append(
            Option(
                f"{first.whole} of them, {_mm(second)} mm long",
                f"count:{first.whole}|length:{_mm(second)} mm",
            )
        )
    said.doubt(token.text, options)


def _diameter_and_length(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """D x L of a screw whose thread is not said; the threads of that size are offered."""
    first, second = numbers
    inches = any(number.unit == "in" or "/" in number.text for number in numbers)
    unit = "in" if inches else "mm"
    if inches and not threads_of_size(inch_fraction(first.value)):
        if threads_of_size(inch_fraction(second.value)):
            first, second = second, first  # 3" x 3/8": the length first
    said.size("diameter", Number(first.value, first.text, unit))
    said.size("length", Number(second.value, second.text, unit))
    _offer_threads(said, token.text, first, unit, kept=True)


def _offer_threads(said: Meaning, text: str, first: Number, unit: str, kept: bool = False) -> None:
    """Offers the threads of a nominal size; `kept` when the size stands in the record already."""
    if unit == "mm":
        known = [one for one in metric_by_diameter().get(float(first.value), ()) if one.common < 3]
        known.sort(key=lambda one: one.series != "coarse")
    else:
        known = list(threads_of_size(inch_fraction(first.value)))
    options = [
        Option(f"{one.designation} thread", f"thread:{one.designation}") for one in known[:6]
    ]
    if kept:
        picked = said.picks.get(text, "")
        taken = picked if picked in {option.meaning for option in options} else ""
        if taken:
            said.apply(taken)
            said.fields.pop("diameter", None)
            said.chosen.append(f"“{text}”: {taken.partition(':')[2]} thread")
        if options:
            said.choices.append(Choice(said.at, text, tuple(options), taken))
        return
    options.append(
        Option(
            f"takes a {tool_name(Number(first.value, first.text, unit))}",
            f"tool:{tool_name(Number(first.value, first.text, unit))}",
        )
    )
    if said.line.kind not in NO_LENGTH and unit == "mm" and first.value > 5:
        options.append(Option(f"{_mm(first)} mm long", f"length:{_mm(first)} mm"))
    said.doubt(text, options)


def _lengths(said: Meaning, token: Token) -> None:
    """`M6x20/25` or `M6x20-25`: either length may be meant."""
    options = [Option(f"{_mm(one)} mm long", f"length:{_mm(one)} mm") for one in token.numbers]
    said.doubt(token.text, options)


def _mm(number: Number) -> str:
    return f"{float(number.value):g}"


def _figure_of_screw(said: Meaning, figure: Figure) -> None:
    token, line = figure.token, said.line
    number = token.numbers[0]
    if token.behind == "long":
        _set_length(said, number, token)
    elif token.behind == "across":
        _offer_threads(
            said, token.text, number, number.unit or ("in" if "/" in number.text else "mm")
        ) if not said.fields.get("thread") else said.words.append(token.text)
    elif token.behind:
        said.size("thickness", number)
    elif not said.fields.get("thread") and line.thread is None:
        _without_thread(said, figure, number)
    elif line.kind in NO_LENGTH:
        _figure_of_nut(said, figure, number)
    elif "length" in said.fields:
        _second_figure(said, figure, number)
    elif number.unit:
        _length_with_unit(said, figure, number)
    elif "/" in number.text:
        _fraction_behind(said, figure, number)
    else:
        _bare_figure(said, figure, number)


def _set_length(said: Meaning, number: Number, token: Token) -> None:
    if "length" in said.fields or said.line.kind in NO_LENGTH:
        said.words.append(token.text)
        return
    unit = number.unit or ("in" if "/" in number.text or _inches_by_thread(said, number) else "mm")
    said.size("length", Number(number.value, number.text, unit))


def _inches_by_thread(said: Meaning, number: Number) -> bool:
    """Behind an inch thread a small bare number is inches; behind BA only up to two."""
    if said.thread is None or said.thread.system == "ISO metric":
        return False
    return number.value <= (2 if said.thread.system == "BA" else _INCHES_AT_MOST)


def _without_thread(said: Meaning, figure: Figure, number: Number) -> None:
    """`8mm bolt`, `3/8 nut`, `nuts 4`: a thread, a spanner, a length or a count."""
    token, line = figure.token, said.line
    unit = number.unit or ("in" if "/" in number.text else "")
    if token.cross and line.gauge is not None and "length" not in said.fields:
        _set_length(said, number, token)
        return
    if unit:
        _offer_threads(said, token.text, number, unit)
        return
    options = _count_options(said, number)
    if figure.behind_kind and line.plural and options:
        said.doubt(token.text, options, assume=True)
        return
    if float(number.value) in metric_by_diameter():
        coarse = next(
            (
                one.designation
                for one in metric_by_diameter()[float(number.value)]
                if one.series == "coarse"
            ),
            "",
        )
        options = [Option(f"{coarse} thread", f"thread:{coarse}"), *options] if coarse else options
    said.doubt(token.text, options)


def _count_options(said: Meaning, number: Number) -> list[Option]:
    taken = said.line.count is not None or "quantity" in said.fields
    if taken or not 0 < number.whole <= _MOST:
        return []
    return [Option(f"{number.whole} of them", f"count:{number.whole}")]


def _spanner_option(said: Meaning, number: Number) -> list[Option]:
    """The reading as a spanner, when a head or nut of that thread has that width."""
    if said.thread is None or not said.thread.diameter_mm:
        return []
    try:
        sizes = spanner_sizes(said.thread, "nut" if "nut" in said.line.kind else "bolt")
    except BadInput:
        return []
    unit = number.unit or ("in" if "/" in number.text else "mm")
    across = float(number.value) * (25.4 if unit == "in" else 1.0)
    if not any(abs(size.across_mm - across) < 0.06 for size in sizes):
        return []
    name = tool_name(number)
    return [Option(f"takes a {name}", f"tool:{name}")]


def _figure_of_nut(said: Meaning, figure: Figure, number: Number) -> None:
    """A nut has no length: a lone figure is a spanner or a count."""
    spanner, count = _spanner_option(said, number), _count_options(said, number)
    token = figure.token
    if spanner and (number.unit or "/" in number.text):
        said.doubt(token.text, spanner, assume=True)
    elif count and not spanner:
        likely = not figure.adjacent or number.whole <= _LIKELY_COUNT
        said.doubt(token.text, count, assume=likely)
    else:
        said.doubt(token.text, [*spanner, *count])


def _second_figure(said: Meaning, figure: Figure, number: Number) -> None:
    """A figure behind thread and length: how many, or the spanner."""
    spanner, count = _spanner_option(said, number), _count_options(said, number)
    sure = bool(count) and not spanner and figure.last and number.whole <= _LIKELY_COUNT
    said.doubt(figure.token.text, [*count, *spanner], assume=sure)


def _length_with_unit(said: Meaning, figure: Figure, number: Number) -> None:
    spanner = [] if figure.adjacent and figure.token.cross else _spanner_option(said, number)
    if not spanner or figure.token.cross == "tight":
        said.size("length", number)
        return
    unit = number.unit
    said.doubt(
        figure.token.text,
        [Option(f"{number.text} {unit} long", f"length:{_plain(number)} {unit}"), *spanner],
    )


def _plain(number: Number) -> str:
    return inch_fraction(number.value) or f"{float(number.value):g}"


def _fraction_behind(said: Meaning, figure: Figure, number: Number) -> None:
    """An inch fraction is a length; 20/25 behind a metric thread is two of them."""
    denominator = int(number.text.split("/")[-1])
    if denominator not in _POWERS:
        both = [
            Number(Fraction(part), part, "mm")
            for part in number.text.split("/")
            if part.isdecimal()
        ]
        options = [
            Option(f"{one.text} mm long", f"length:{one.text} mm") for one in both if one.value
        ]
        said.doubt(figure.token.text, options)
        return
    spanner = [] if figure.adjacent else _spanner_option(said, number)
    if spanner:
        said.doubt(
            figure.token.text,
            [Option(f"{number.text} in long", f"length:{_plain(number)} in"), *spanner],
        )
        return
    said.size("length", number)


def _bare_figure(said: Meaning, figure: Figure, number: Number) -> None:
    """A number without a unit behind the thread of a screw."""
    if said.thread is None and figure.token.cross and number.value >= _SURELY_LONG:
        said.size("length", Number(number.value, number.text, "mm"))
    elif said.thread is None:
        said.doubt(
            figure.token.text,
            [
                *_count_options(said, number),
                Option(f"{number.text} mm long", f"length:{_mm(number)} mm"),
            ],
        )
    elif said.thread.system == "ISO metric":
        _bare_metric(said, figure, number)
    else:
        _bare_inch(said, figure, number)


def _bare_metric(said: Meaning, figure: Figure, number: Number) -> None:
    thread = said.thread
    diameter = thread.diameter_mm if thread else 0.0
    value, token = float(number.value), figure.token
    length = Option(f"{_mm(number)} mm long", f"length:{_mm(number)} mm")
    count, spanner = _count_options(said, number), _spanner_option(said, number)
    crossed = bool(token.cross)
    if figure.adjacent and crossed and (figure.token.cross == "tight" or value > diameter):
        if value >= 0.5 * diameter or not number.whole:
            said.size("length", number)
        else:
            said.doubt(token.text, [*count, length])
    elif figure.adjacent and crossed:
        said.doubt(token.text, [*count, length], assume=bool(count) and value < 0.5 * diameter)
    elif figure.adjacent and not number.whole:
        said.size("length", number)
    elif figure.adjacent and value > diameter and not spanner:
        said.doubt(token.text, [length, *count], assume=True)
    elif token.cross and not figure.adjacent:
        long = not said.line.plural and value >= 8
        said.doubt(
            token.text, [length, *count] if long else [*count, length], assume=bool(count) or long
        )
    elif said.line.count is not None and value > diameter and not spanner:
        said.doubt(token.text, [length], assume=True)
    elif count and value < 0.5 * diameter:
        said.doubt(token.text, [*count, length])
    else:
        said.doubt(token.text, [length, *spanner, *count])


def _bare_inch(said: Meaning, figure: Figure, number: Number) -> None:
    """`1/4 UNC x 2`, `2BA x 12`: inches, millimetres or pieces."""
    token, value = figure.token, number.value
    crossed = bool(token.cross)
    count = _count_options(said, number)
    options = []
    most = 2 if said.thread and said.thread.system == "BA" else _INCHES_AT_MOST
    if value <= most:
        options.append(Option(f"{number.text} in long", f"length:{_plain(number)} in"))
    if value >= 3:
        options.append(Option(f"{number.text} mm long", f"length:{_mm(number)} mm"))
    sure = (
        not number.whole
        or (figure.adjacent and crossed and number.whole == 1)
        or (said.line.count is not None and len(options) == 1)
    )
    if sure and options:
        said.apply(options[0].meaning)
        return
    behind = token.cross and figure.behind_kind and not figure.adjacent
    said.doubt(token.text, [*count, *options], assume=bool(count) and behind)


# rings, discs and seals


def _ring(said: Meaning, figures: list[Figure]) -> None:
    figures = _in_one_chain(figures)
    for figure in figures:
        token, numbers = figure.token, list(figure.token.numbers)
        if token.behind == "span":
            said.words.append(token.text)
        elif token.behind:
            said.size(_WORD_SIZES[token.behind], numbers[0])
        elif len(numbers) == 1:
            _single_of_ring(said, figure, numbers[0])
        else:
            _chain_of_ring(said, token, numbers)


def _is_many(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """The 2 of `lockwashers 3/8 x 2`, which can be no outside diameter."""
    alone = re.search(r"\sx\s?[0-9]+$", token.text) is not None and numbers[1].text.isdecimal()
    plural = said.line.plural and said.line.kind.endswith("washer")
    return bool(
        plural and alone and ("/" in numbers[0].text or numbers[1].value < numbers[0].value)
    )


def _in_one_chain(figures: list[Figure]) -> list[Figure]:
    """`seal 20 35 7`, typed with blanks, is a chain like 20x35x7."""
    if len(figures) != 3 or any(
        len(figure.token.numbers) != 1 or figure.token.cross for figure in figures
    ):
        return figures
    numbers = tuple(figure.token.numbers[0] for figure in figures)
    if not numbers[0].value < numbers[1].value > numbers[2].value:
        return figures
    text = " ".join(figure.token.text for figure in figures)
    token = msgspec.structs.replace(figures[0].token, numbers=numbers, text=text)
    return [Figure(token, figures[0].adjacent, figures[0].behind_kind, figures[-1].last)]


def _single_of_ring(said: Meaning, figure: Figure, number: Number) -> None:
    kind, token = said.line.kind, figure.token
    unit = number.unit or ("in" if "/" in number.text else "mm")
    sized = Number(number.value, number.text, unit)
    if kind == "shim" and (number.value < 3 or number.unit) and "thickness" not in said.fields:
        said.size("thickness", sized)
    elif kind.endswith("washer") and "diameter" not in said.fields and not figure.token.cross:
        said.size("diameter", sized)
    elif "diameter" in said.fields and "length" not in said.fields and token.cross == "tight":
        said.size("length", sized)
    elif token.cross and _count_options(said, number):
        said.doubt(token.text, _count_options(said, number), assume=True)
    elif "diameter" in said.fields and "length" not in said.fields and token.cross:
        said.size("length", sized)
    elif "diameter" in said.fields:
        said.doubt(
            token.text, _count_options(said, number), assume=figure.last and said.line.plural
        )
    else:
        label = f"{_plain(number)} {unit}"
        options = [
            Option(f"{label} inside", f"diameter:{label}"),
            Option(f"{label} outside", f"length:{label}"),
        ]
        if kind in ("spacer", "bush", "gasket", "O-ring"):
            options.append(Option(f"{label} thick or long", f"thickness:{label}"))
        said.doubt(token.text, [*options, *_count_options(said, number)])


def _follows_x(said: Meaning, token: Token) -> bool:
    return bool(token.cross)


def _chain_of_ring(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """Inside, outside, thickness; a count before them where four figures stand."""
    counted = said.line.count is not None
    open_count = not counted and "quantity" not in said.fields
    free = bool(numbers[0].whole) and open_count
    odd = (
        len(numbers) == 3
        and numbers[2].value > numbers[1].value
        and said.line.kind not in ("spacer", "bush")
    )
    if free and (len(numbers) == 4 or odd):
        said.fields["quantity"] = numbers[0].whole
        numbers = numbers[1:]
    if said.line.kind == "shim" and len(numbers) == 2 and not counted:
        if numbers[0].value < 3 and numbers[1].text.isdecimal():  # 0.1 mm x 3
            said.size("thickness", numbers[0])
            said.fields["quantity"] = int(numbers[1].text)
            return
    if len(numbers) == 2 and open_count and _is_many(said, token, numbers):
        said.fields["quantity"] = int(numbers[1].text)
        numbers = numbers[:1]
    if len(numbers) > 3 or "diameter" in said.fields:
        said.words.append(token.text)
        return
    inches = any("/" in number.text or number.unit == "in" for number in numbers)
    fields = ("diameter", "length", "thickness")
    if (
        len(numbers) == 2
        and numbers[1].value < numbers[0].value
        and said.line.kind.endswith("washer")
    ):
        fields = ("diameter", "thickness", "")
    for field, number in zip(fields, numbers, strict=False):
        said.size(
            field, Number(number.value, number.text, number.unit or ("in" if inches else "mm"))
        )


# pins, keys, clips, springs and what is known by a number


def _other(said: Meaning, figures: list[Figure]) -> None:
    for figure in figures:
        token, numbers = figure.token, list(figure.token.numbers)
        if token.behind == "span":
            _span(said, token)
        elif said.line.kind == "other":
            _figure_of_nothing(said, figure)
        elif token.behind and len(numbers) == 1:
            said.size(_WORD_SIZES[token.behind], numbers[0])
        elif len(numbers) == 1:
            _single(said, figure, numbers[0])
        else:
            _chain(said, figure, numbers)


def _figure_of_nothing(said: Meaning, figure: Figure) -> None:
    """A figure in a line that does not say what it is."""
    number = figure.token.numbers[0]
    only = len(figure.token.numbers) == 1
    said.doubt(figure.token.text, _count_options(said, number) if only else [])


def _span(said: Meaning, token: Token) -> None:
    """What a hose clip goes round, `20-32 mm`, which is no thread."""
    if said.line.kind not in _GRIPS:
        said.words.append(token.text)
        return
    low, high = token.numbers
    unit = low.unit or high.unit or "mm"
    said.line.notes.insert(0, f"{low.text}-{high.text} {unit}")


def _single(said: Meaning, figure: Figure, number: Number) -> None:
    kind, token = said.line.kind, figure.token
    unit = number.unit or ("in" if "/" in number.text else "mm")
    if (
        kind in NUMBERED
        and not number.unit
        and "number" not in said.fields
        and _by_own_number(said, figure, number)
    ):
        return
    if (
        "diameter" in said.fields
        and "length" not in said.fields
        and (
            _follows_x(said, token)
            or number.unit
            or "/" in number.text
            or not number.whole
            or "number" in said.fields
        )
    ):
        inch = (
            "in"
            if said.fields.get("number") and not number.unit and number.value <= _INCHES_AT_MOST
            else unit
        )
        said.size("length", Number(number.value, number.text, inch))
    elif "diameter" in said.fields or (token.cross and number.whole):
        said.doubt(token.text, _count_options(said, number), assume=True)
    elif (
        kind in ("roller", "spring", "connecting link", "cable tie", "clip", "clamp", "lock wire")
        and not number.unit
        and kind != "lock wire"
    ):
        said.doubt(
            token.text, _count_options(said, number), assume=said.line.plural and figure.behind_kind
        )
    elif kind == "key" or kind in NUMBERED:
        label = f"{_plain(number)} {unit}"
        says = "wide" if kind == "key" else "thick"
        said.doubt(
            token.text,
            [
                Option(f"{label} {says}", f"diameter:{label}"),
                Option(f"{label} long", f"length:{label}"),
                *_count_options(said, number),
            ],
        )
    else:
        said.size("diameter", Number(number.value, number.text, unit))


def _by_own_number(said: Meaning, figure: Figure, number: Number) -> bool:
    """`8s woodscrew`, `woodruff key 404`: a lone number that is one of its own table."""
    kind = said.line.kind
    size = numbered_size(kind, number.text)
    if size is None or (kind == "key" and (len(number.text) < 3 or said.line.head != "woodruff")):
        return False
    if kind != "key":
        return False
    said.fields |= {"number": f"#{number.text}", "length_unit": "in", "diameter": size[0]}
    if size[1]:
        said.fields["length"] = size[1]
    return True


def _chain(said: Meaning, figure: Figure, numbers: list[Number]) -> None:
    kind, token = said.line.kind, figure.token
    free = bool(numbers[0].whole) and said.line.count is None and "quantity" not in said.fields
    if kind == "ball" and len(numbers) == 2 and numbers[1].whole and said.line.count is None:
        said.fields["quantity"] = numbers[1].whole
        said.size("diameter", numbers[0])
        return
    most = 3 if kind in ("key", "spring") else 2
    if len(numbers) == most + 1 and free:
        said.fields["quantity"] = numbers[0].whole
        numbers = numbers[1:]
    if len(numbers) > most or "diameter" in said.fields or "length" in said.fields:
        said.words.append(token.text)
        return
    inches = any("/" in number.text or number.unit == "in" for number in numbers)
    if kind in ("wood screw", "self-tapping screw", "drive screw", "taper pin") and _by_gauge(
        said, numbers
    ):
        return
    ends_in_count = re.search(r"\sx\s?[0-9]+$", token.text) is not None
    if kind == "circlip" and ends_in_count and said.line.count is None and numbers[1].value < 5:
        unit = "in" if inches else "mm"
        size = f"diameter:{_plain(numbers[0])} {unit}"
        count = Option(f"{numbers[1].text} of them", f"{size}|count:{numbers[1].text}")
        thick = Option(
            f"{numbers[1].text} {unit} thick", f"{size}|thickness:{numbers[1].text} {unit}"
        )
        said.doubt(token.text, [count, thick])
        return
    if (
        free
        and not figure.behind_kind
        and re.search(r"\sx\s", token.text)
        and said.line.plural
        and numbers[0].value <= 12
        and kind != "key"
    ):
        said.doubt(token.text, [_sized(numbers, inches), _counted(numbers, inches)])
        return
    _in_order(said, numbers, inches)


def _sized(numbers: list[Number], inches: bool) -> Option:
    unit = "in" if inches else "mm"
    first, second = map(_plain, numbers[:2])
    return Option(f"{first} by {second} {unit}", f"diameter:{first} {unit}|length:{second} {unit}")


def _counted(numbers: list[Number], inches: bool) -> Option:
    unit = "in" if inches else "mm"
    second = _plain(numbers[1])
    return Option(
        f"{numbers[0].whole} of them, {second} {unit}",
        f"count:{numbers[0].whole}|diameter:{second} {unit}",
    )


def _by_gauge(said: Meaning, numbers: list[Number]) -> bool:
    """`8 x 1 1/4 woodscrew` is number 8 by inches; `4 x 40` is millimetres."""
    first, second = numbers[:2]
    if ("/" in first.text or first.unit == "in") and second.text.isdecimal() and len(numbers) == 2:
        if first.value < 4 < second.value <= _GAUGES and said.line.head != "hex":
            first, second = Number(second.value, second.text, ""), first  # 1-1/2" x 8
    small = "/" in second.text or (second.value <= 4 and not second.unit) or second.unit == "in"
    if not first.whole and not (first.text.isdecimal() and first.unit == "in"):
        return False
    if not small or int(first.value) > _GAUGES:
        return False
    size = numbered_size(said.line.kind, first.text)
    if size is None or (said.line.kind == "taper pin" and first.unit):
        return False
    said.fields |= {"number": f"#{first.text}", "length_unit": "in", "diameter": size[0]}
    said.size("length", Number(second.value, second.text, "in"))
    return True


def _in_order(said: Meaning, numbers: list[Number], inches: bool) -> None:
    """Diameter and length; a key is width, height, length, or width and height alone."""
    fields: tuple[str, ...] = ("diameter", "length", "thickness")
    if said.line.kind == "key":
        low = 2.5 if said.line.head == "woodruff" else 1.0
        height = len(numbers) == 3 or numbers[1].value <= numbers[0].value * Fraction(low)
        fields = ("diameter", "thickness", "length") if height else ("diameter", "length")
    elif said.line.kind == "circlip":
        fields = ("diameter", "thickness" if numbers[1].value < numbers[0].value else "length")
    for field, number in zip(fields, numbers, strict=False):
        said.size(
            field, Number(number.value, number.text, number.unit or ("in" if inches else "mm"))
        )


# the rest of the line


def _handed(said: Meaning) -> None:
    """A left-hand thread where that is said of the thread, else a choice with the left side."""
    for token, close in said.line.handed:
        named = re.search(r"th|gewinde", token.text, re.IGNORECASE)
        if said.thread is None or said.thread.left_hand:
            said.words.append(token.text)
        elif close or named:
            said.thread = left_handed(said.thread)
            said.fields["thread"] = said.thread.designation
        else:
            left = left_handed(said.thread).designation
            said.doubt(
                token.text,
                [Option("left-hand thread", f"thread:{left}"), Option("on the left", "place:left")],
            )


def _slips(said: Meaning) -> None:
    """Offers the known word that a slip of the keys probably stands for."""
    for word in said.line.words:
        near = nearest_word(word) if word.isalpha() else ""
        entry = look_up((near,)) if near else None
        if entry is None or entry[1].place or entry[1].noise:
            continue
        fields = [
            f"{name}:{getattr(entry[1], name)}"
            for name in ("kind", "head", "drive", "material")
            if getattr(entry[1], name)
        ]
        if any(
            getattr(said.line, part.split(":")[0], "") not in ("", "other", [], "screw")
            for part in fields
        ):
            continue
        meaning = "|".join(fields)
        if not meaning:
            continue
        taken = meaning if said.picks.get(word) == meaning else ""
        if taken:
            said.apply(meaning)
            said.words.remove(word)
            said.chosen.append(f"“{word}”: {near}")
        said.choices.append(Choice(said.at, word, (Option(near, meaning),), taken))


def _record(said: Meaning, kind: str, typed: str) -> Fastener:
    line, fields = said.line, said.fields
    kind = str(fields.pop("kind", kind))
    head = str(fields.pop("head", line.head))
    drive = str(fields.pop("drive", line.drive))
    material = str(fields.pop("material", " ".join(line.material)))
    places = [*line.place, *([str(fields.pop("place"))] if "place" in fields else [])]
    if (
        kind == "other"
        and places
        and not line.words
        and not said.choices
        and line.count is None
        and not line.figures
        and not line.bracketed
    ):
        said.words, places = [*places], []
    if head == "socket" and drive == "hex socket":
        drive = ""
    if drive == "hex socket" and not head:
        head, drive = "socket", ""
    locking = tuple(lock.words for lock in line.locks)
    once = is_single_use(kind, material, locking)
    tools = list(
        dict.fromkeys([*line.tools, *([str(fields.pop("tool"))] if "tool" in fields else [])])
    )
    called = _called(line.kind_words, kind, head)
    return Fastener(
        kind=kind,
        head=head,
        drive=drive,
        grade=line.grade,
        material=material,
        place=", ".join(" ".join(place.split()) for place in places),
        locking=locking,
        single_use=once if line.single_use is None else line.single_use,
        torque=line.torque,
        note=", ".join(note for note in line.notes if note),
        typed=typed,
        called=called,
        tool=", ".join(tools),
        words=" ".join(word for word in said.words if word),
        chosen=tuple(said.chosen),
        **fields,  # type: ignore[arg-type]
    )


def _called(words: str, kind: str, head: str) -> str:
    """The person's own word, unless it is the standard one or its plural."""
    if not words:
        return ""
    own = tuple(fold_words(words))
    usual = {tuple(fold_words(kind)), tuple(fold_words(f"{head} {kind}"))}
    singular = (*own[:-1], own[-1].removesuffix("s"))
    plainer = (*own[:-1], own[-1].removesuffix("es"))
    return "" if usual & {own, singular, plainer} else words


def said_by(called: str) -> Mapping[str, str]:
    """What the person's own word says of kind, head, drive and material."""
    words = tuple(fold_words(called))
    known = phrases().get(words)
    if known is not None:
        return known
    found = look_up(words)
    if found is None or found[0] != len(words):
        return {}
    entry = found[1]
    return {
        name: getattr(entry, name)
        for name in ("kind", "head", "drive", "material")
        if getattr(entry, name)
    }
