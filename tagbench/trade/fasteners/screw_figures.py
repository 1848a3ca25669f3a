"""What figures mean on what has a thread: length, count, spanner, or a thread not yet known."""

from __future__ import annotations

import re
from fractions import Fraction

from tagbench.errors import BadInput
from tagbench.trade.fasteners.choices import (
    INCHES_AT_MOST,
    MOST_PIECES,
    Meaning,
    WordChoice,
    count_options,
    mm,
    with_unit,
)
from tagbench.trade.fasteners.options import (
    Option,
    numbered,
    of_them,
    size_as,
    size_long,
    threaded,
    together,
    turned_by,
)
from tagbench.trade.fasteners.own_sizes import numbered_size, takes_fine_thread, usual_threads
from tagbench.trade.fasteners.parsed_line import Figure
from tagbench.trade.fasteners.patterns import NUMBER, UNIT
from tagbench.trade.fasteners.thread_words import is_pitch, threads_of_size
from tagbench.trade.fasteners.tokens import Number, Token, shown_size, tool_name
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, fold
from tagbench.trade.quantities.shown import inch_fraction
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.sizes import metric_by_diameter
from tagbench.trade.threads.thread import Thread
from tagbench.trade.tools.spanners import is_across_flats, spanner_sizes

#: A lone figure behind thread and length is a count up to here, and in doubt from there on.
_LIKELY_COUNT = 12
#: From here on a lone figure behind an x is a length in mm and no count.
_SURELY_LONG = 8
#: No spoke is thicker, in mm.
_THICKEST_SPOKE = 4
#: Heads that are turned with a hex key.
HEX_KEYED = ("socket", "grub", "button")
#: No wood screw of a small machine is longer, in inches.
_LONGEST_WOOD_SCREW = 4
_POWERS = (2, 4, 8, 16, 32, 64)


def read_screw(said: Meaning, figures: list[Figure]) -> None:
    for figure in figures:
        if len(figure.token.numbers) > 1 or figure.token.behind == "span":
            if not _is_length_and_count(said, figure.token):
                _chain_of_screw(said, figure)
        else:
            _figure_of_screw(said, figure)


def _chain_of_screw(said: Meaning, figure: Figure) -> None:
    """Diameter and length without a thread, or so many of a length behind one."""
    token, line = figure.token, said.line
    numbers = list(token.numbers)
    free = token.many and line.count is None and "quantity" not in said.fields
    has_thread = line.thread is not None or bool(said.fields.get("thread"))
    count_first = numbers[0].text.isdecimal() and line.count is None and not has_thread
    if token.behind == "span":
        _lengths(said, token)
    elif has_thread and len(numbers) == 2 and _is_counted_length(said, figure):
        _set_length(said, numbers[0], token)  # M6x20x4, M6 20mm x 4
        many = count_options(said, Number(numbers[1].value, numbers[1].text, ""))
        said.doubt(f"x{numbers[1].text}", many, assume=True)
    elif count_first and len(numbers) == 2 and line.kind in NO_LENGTH and line.gauge is None:
        said.count(int(numbers[0].text))  # 8 x 8mm nuts
        _offer_threads(
            said,
            f"{numbers[1].text} {numbers[1].unit}".strip(),
            numbers[1],
            numbers[1].unit or ("in" if "/" in numbers[1].text else "mm"),
        )
    elif (
        count_first
        and len(numbers) == 2
        and (line.plural or re.match(r"[0-9]{1,2}\sx\s", token.text))
        and numbers[1].unit
        and not figure.behind_kind
    ):
        _two_bare(said, token, numbers)
    elif (
        (has_thread or (line.kind == "spoke" and token.many > _THICKEST_SPOKE))
        and len(numbers) == 2
        and free
        and "length" not in said.fields
    ):
        said.count(token.many)
        said.size("length", numbers[1])
    elif has_thread and len(numbers) == 2 and _is_own_size(said, numbers[0]):
        said.size("length", Number(numbers[1].value, numbers[1].text, numbers[1].unit or "in"))
    elif has_thread or line.kind in NO_LENGTH:
        said.words.append(token.text)
    else:
        _chain_without_thread(said, figure, bool(free))


def _chain_without_thread(said: Meaning, figure: Figure, free: bool) -> None:
    token, line = figure.token, said.line
    numbers = list(token.numbers)
    if len(numbers) == 3 and free and numbers[0].value < 40:
        said.count(token.many)
        _diameter_and_length(said, token, numbers[1:])
    elif len(numbers) > 2:
        said.words.append(token.text)
    elif (
        numbers[0].unit
        or "/" in numbers[0].text
        or line.count is not None
        or token.behind in ("across", "outside")
        or (figure.behind_kind and (not line.plural or fold(line.kind_words) == "vis"))
    ):
        _diameter_and_length(said, token, numbers)
    else:
        _two_bare(said, token, numbers)


def _is_gauge_first(said: Meaning, first: Number, second: Number, text: str) -> bool:
    """The 6 of `csk brass 6 x 5/8"`: a number of the gauge as likely as inches."""
    bare = re.match(r"[0-9]{1,2}\s?x", text) is not None and said.thread is None
    inches = second.unit == "in" or "/" in second.text
    known = bare and inches and numbered_size("wood screw", first.text) is not None
    return known and said.line.kind == "screw" and second.value < _LONGEST_WOOD_SCREW


def _is_own_size(said: Meaning, number: Number) -> bool:
    """The 1/4 of `ditto 1/4 x 2` behind a 1/4 BSF."""
    across = said.thread.diameter_mm if said.thread and "/" in number.text else 0.0
    return (
        bool(across)
        and abs(float(number.value) * 25.4 - across) < 0.01
        and "length" not in said.fields
    )


def _is_counted_length(said: Meaning, figure: Figure) -> bool:
    """`x20x4` and `20mm x 4` behind a thread."""
    if figure.adjacent and figure.token.cross:
        return True
    typed = re.fullmatch(rf"{NUMBER}\s?{UNIT}\s?x\s?[0-9]{{1,2}}", figure.token.text, re.IGNORECASE)
    return bool(typed) and figure.adjacent and "length" not in said.fields and not said.line.count


def _is_length_and_count(said: Meaning, token: Token) -> bool:
    """`spokes 184mm x 18`, `bolts 8mm x 4`: a size, then how many; no screw is that short."""
    line, numbers = said.line, token.numbers
    typed = re.fullmatch(rf"{NUMBER}\s?{UNIT}\sx\s?([0-9]{{1,3}})", token.text, re.IGNORECASE)
    if typed is None or len(numbers) != 2 or not line.plural or line.count is not None:
        return False
    if said.thread is not None or numbers[1].value >= numbers[0].value:
        return False
    said.count(int(typed[1]))
    if line.kind == "spoke":
        said.size("length", numbers[0])
    else:
        _offer_threads(said, with_unit(numbers[0], numbers[0].unit), numbers[0], numbers[0].unit)
    return True


def _two_bare(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """`4x20 screws`: a size, or four of them."""
    first, second = numbers
    if not (first.whole or first.text.isdecimal()):
        _diameter_and_length(said, token, numbers)  # spokes 2.6x180
        return
    options, length = [], size_long(with_unit(second, "mm"))
    if second.unit == "mm" and first.text.isdecimal():
        first = Number(first.value, first.text, "")
        known = [
            one for one in metric_by_diameter().get(float(second.value), ()) if one.common == 1
        ]
        known.sort(key=lambda one: one.series != "coarse")
        options += [threaded(one.designation, first.whole) for one in known[:2]]
    if float(first.value) in metric_by_diameter():
        coarse = next(
            (one for one in metric_by_diameter()[float(first.value)] if one.series == "coarse"),
            None,
        )
        if coarse:
            options.append(together(threaded(coarse.designation), length))
    if first.whole and first.whole <= MOST_PIECES:
        options.append(together(of_them(first.whole), length))
    said.doubt(token.text, options)


#: So small a number of a wood screw is hardly met; behind a fraction it is a length in inches.
_SMALL_GAUGE = 3


def _as_gauge(said: Meaning, numbers: list[Number], text: str) -> list[Option]:
    """`3/4 x 8`: wood screws are named length first as well as number first; none for others."""
    first, second = numbers
    if _is_gauge_first(said, first, second, text):
        long = size_long(with_unit(second, "in"))
        kinds = ("wood screw", "self-tapping screw")
        gauges = [together(numbered(kind, first.text), long) for kind in kinds]
        wide = size_as(with_unit(second, "in"), "thick", "diameter")
        return [*gauges, together(wide, size_long(with_unit(first, "in")))]
    size = numbered_size("wood screw", second.text) if second.text.isdecimal() else None
    short = "/" in first.text and first.value < _LONGEST_WOOD_SCREW
    short = short and second.value > _SMALL_GAUGE  # 1/4 x 1: an inch long
    if said.line.kind != "screw" or said.thread is not None or size is None or not short:
        return []
    inches = with_unit(first, "in")
    return [
        together(numbered("wood screw", second.text), size_long(inches)),
        together(size_as(inches, "thick", "diameter"), size_long(with_unit(second, "in"))),
    ]


def _diameter_and_length(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """D x L of a screw whose thread is not said; the threads of that size are offered."""
    first, second = numbers
    if gauge := _as_gauge(said, numbers, token.text):
        said.doubt(token.text, gauge)
        return
    inches = any(
        number.unit == "in" or "/" in number.text or number.text.startswith(".")
        for number in numbers
    )
    unit = "in" if inches else "mm"
    if inches and first.unit == "mm":  # 6 mm x 1 in
        said.size("diameter", first)
        said.size("length", Number(second.value, second.text, "in"))
        _offer_threads(said, token.text, first, "mm", kept=True)
        return
    known = [bool(threads_of_size(inch_fraction(number.value))) for number in numbers]
    if inches and known == [False, True]:
        first, second = second, first  # 3" x 3/8": the length first
    said.size("diameter", Number(first.value, first.text, unit))
    said.size("length", Number(second.value, second.text, unit))
    _offer_threads(said, token.text, first, unit, kept=True)


def _offer_threads(said: Meaning, text: str, first: Number, unit: str, kept: bool = False) -> None:
    """Offers the threads of a nominal size; `kept` when the size stands in the record already."""
    usual = usual_threads(said.line.kind, said.line.head, f"M{mm(first)}") if unit == "mm" else ()
    if usual:
        known = [parse_thread(name) for name in usual]
    elif unit == "mm":
        known = [one for one in metric_by_diameter().get(float(first.value), ()) if one.common < 3]
        known.sort(key=lambda one: one.series != "coarse")
    else:
        known = list(threads_of_size(inch_fraction(first.value)))
        known = [*_pipes(said, inch_fraction(first.value)), *known]
    options = [threaded(one.designation) for one in known[:6]]
    if kept:
        offered = {option.meaning: option for option in options}
        picked = said.picks.get(text, "")
        taken = picked if picked in offered else ""
        if taken:
            said.apply(taken)
            said.fields.pop("diameter", None)
            said.chosen.append(f"“{text}”: {offered[taken].says}")
        if options:
            said.choices.append(WordChoice(said.at, text, tuple(options), taken))
        return
    tool = tool_name(Number(first.value, first.text, unit))
    if said.line.head in HEX_KEYED:
        tool = tool.replace("spanner", "hex key")
    options.append(turned_by(tool))
    if said.line.kind not in NO_LENGTH and unit == "mm" and first.value > 5:
        options.append(size_long(with_unit(first, "mm")))
    said.doubt(text, options)


def _pipes(said: Meaning, size: str) -> list[Thread]:
    """The pipe threads of a plug or nipple of that size in inches, the likeliest first."""
    if said.line.kind not in ("plug", "drain plug", "fitting", "grease nipple"):
        return []
    names = [f"G {size}", f"R {size}", f"{size} NPT"]
    if any(fold(word) in ("taper", "tapered") for word in said.line.words):
        names = names[1:]
    found = []
    for name in names:
        try:
            found.append(parse_thread(name))
        except BadInput:
            continue
    return found


def _lengths(said: Meaning, token: Token) -> None:
    """`M6x20/25` or `M6x20-25`: either length may be meant."""
    said.doubt(token.text, [size_long(with_unit(one, "mm")) for one in token.numbers])


def _figure_of_screw(said: Meaning, figure: Figure) -> None:
    token, line = figure.token, said.line
    number = token.numbers[0]
    if _repeats_tpi(said, token, number):
        said.chosen.append(f"“{token.text}”: {token.text} threads per inch")
    elif token.behind == "long":
        _set_length(said, number, token)
    elif token.behind in ("across", "outside"):
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


def _repeats_tpi(said: Meaning, token: Token, number: Number) -> bool:
    """The 26 of `3/8 cycle thread nut 26`, which the thread says already."""
    if said.thread is None or said.thread.system == "ISO metric" or not said.thread.pitch_mm:
        return False
    per_inch = abs(said.thread.threads_per_inch - number.whole) < 0.01
    return per_inch and not token.cross and not token.behind and "quantity" not in said.fields


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
    return number.value <= (2 if said.thread.system == "BA" else INCHES_AT_MOST)


def _without_thread(said: Meaning, figure: Figure, number: Number) -> None:
    """`8mm bolt`, `3/8 nut`, `nuts 4`: a thread, a spanner, a length or a count."""
    token, line = figure.token, said.line
    unit = number.unit or ("in" if "/" in number.text else "")
    if token.cross and line.gauge is not None and "length" not in said.fields:
        _set_length(said, number, token)
        return
    mixed = re.fullmatch(r"([0-9]{1,2}) ([0-9]{1,2}/[0-9]{1,2})", number.text)
    if mixed and not number.unit and count_options(said, Number(Fraction(mixed[1]), mixed[1], "")):
        _count_and_fraction(said, token, mixed)
        return
    if unit:
        _offer_threads(said, token.text, number, unit)
        return
    if token.cross and number.value >= _SURELY_LONG and not line.plural:
        _set_length(said, number, token)
        return
    options = count_options(said, number)
    if token.cross and number.value >= _SURELY_LONG and line.count is not None:
        _set_length(said, number, token)
        return
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
        options = [threaded(coarse), *options] if coarse else options
    if number.whole >= _SMALLEST_HEAD and is_across_flats(float(number.value)):
        options.append(turned_by(tool_name(number)))  # nut 22
    said.doubt(token.text, options)


#: No nut or head of a machine is narrower, in mm.
_SMALLEST_HEAD = 7


def _count_and_fraction(said: Meaning, token: Token, mixed: re.Match[str]) -> None:
    """`2 1/2 bolts`: two of half an inch, or two and a half inches."""
    many, size = int(mixed[1]), mixed[2]
    options = [threaded(one.designation, many) for one in threads_of_size(size) if one.common == 1]
    whole = [threaded(one.designation) for one in threads_of_size(f"{many}-{size}")[:4]]
    options = [*options, *whole] if said.line.plural else [*whole, *options]
    if said.line.kind not in NO_LENGTH:
        options.append(size_long(f"{many}-{size} in"))
    said.doubt(token.text, options)


def _spanner_option(said: Meaning, number: Number) -> list[Option]:
    """The reading as a spanner, when a head or nut of that thread has that width."""
    if said.thread is None or not said.thread.diameter_mm:
        return []
    if said.line.head in HEX_KEYED and number.value < said.thread.diameter_mm:
        return [turned_by(f"hex key {shown_size(number)}")]
    try:
        sizes = spanner_sizes(said.thread, "nut" if "nut" in said.line.kind else "bolt")
    except BadInput:
        return []
    unit = number.unit or ("in" if "/" in number.text else "mm")
    across = float(number.value) * (25.4 if unit == "in" else 1.0)
    if not any(abs(size.across_mm - across) < 0.06 for size in sizes):
        return []
    return [turned_by(tool_name(number))]


def _figure_of_nut(said: Meaning, figure: Figure, number: Number) -> None:
    """A nut has no length: a lone figure is a spanner or a count."""
    spanner, count = _spanner_option(said, number), count_options(said, number)
    token = figure.token
    if token.cross and count and figure.behind_kind:  # Muttern M8 x12
        said.doubt(token.text, [*count, *spanner], assume=True)
    elif spanner and (number.unit or "/" in number.text):
        said.doubt(token.text, spanner, assume=True)
    elif (number.unit or "/" in number.text) and not figure.behind_kind:
        unit = number.unit or "in"  # 1-1/8" hex nut, 7/8-14
        said.doubt(token.text, [turned_by(tool_name(Number(number.value, number.text, unit)))])
    elif count and not spanner:
        likely = not figure.adjacent or number.whole <= _LIKELY_COUNT
        said.doubt(token.text, count, assume=likely)
    else:
        said.doubt(token.text, [*spanner, *count])


def _second_figure(said: Meaning, figure: Figure, number: Number) -> None:
    """A figure behind thread and length: how many, or the spanner."""
    spanner, count = _spanner_option(said, number), count_options(said, number)
    sure = bool(count) and not spanner and figure.last and number.whole <= _LIKELY_COUNT
    said.doubt(figure.token.text, [*count, *spanner], assume=sure)


def _length_with_unit(said: Meaning, figure: Figure, number: Number) -> None:
    spanner = [] if figure.adjacent and figure.token.cross else _spanner_option(said, number)
    if not spanner or figure.token.cross == "tight":
        said.size("length", number)
        return
    unit = number.unit
    if spanner and said.thread is not None and number.value < said.thread.diameter_mm:
        said.doubt(figure.token.text, spanner)  # 5mm allen bolts M6: no screw is so short
        return
    said.doubt(figure.token.text, [size_long(with_unit(number, unit)), *spanner])


def _fraction_behind(said: Meaning, figure: Figure, number: Number) -> None:
    """An inch fraction is a length; 20/25 behind a metric thread is two of them."""
    mixed = re.fullmatch(r"([0-9]{1,2}) ([0-9]{1,2}/[0-9]{1,2})", number.text)
    open_count = said.line.plural and said.line.count is None and "quantity" not in said.fields
    if mixed and open_count and not (figure.adjacent or figure.behind_kind or figure.token.cross):
        counted = together(
            of_them(int(mixed[1])), size_long(f"{mixed[2]} in")
        )  # 3 3/4 x 1/4 BSW bolts
        said.doubt(figure.token.text, [counted, size_long(f"{mixed[1]}-{mixed[2]} in")])
        return
    denominator = int(number.text.split("/")[-1])
    if denominator not in _POWERS:
        both = [
            Number(Fraction(part), part, "mm")
            for part in number.text.split("/")
            if part.isdecimal()
        ]
        options = [size_long(with_unit(one, "mm")) for one in both if one.value]
        said.doubt(figure.token.text, options)
        return
    spanner = [] if figure.adjacent else _spanner_option(said, number)
    if spanner:
        said.doubt(figure.token.text, [size_long(with_unit(number, "in")), *spanner])
        return
    said.size("length", number)


def _bare_figure(said: Meaning, figure: Figure, number: Number) -> None:
    """A number without a unit behind the thread of a screw."""
    if said.thread is None and figure.token.cross and number.value >= _SURELY_LONG:
        said.size("length", Number(number.value, number.text, "mm"))
    elif said.thread is None:
        said.doubt(
            figure.token.text,
            [*count_options(said, number), size_long(with_unit(number, "mm"))],
        )
    elif said.thread.system == "ISO metric":
        _bare_metric(said, figure, number)
    else:
        _bare_inch(said, figure, number)


def _bare_metric(said: Meaning, figure: Figure, number: Number) -> None:
    thread = said.thread
    diameter = thread.diameter_mm if thread else 0.0
    value, token = float(number.value), figure.token
    length = size_long(with_unit(number, "mm"))
    count, spanner = count_options(said, number), _spanner_option(said, number)
    crossed = bool(token.cross)
    fine = takes_fine_thread(said.line.kind, said.line.head)
    if token.cross == "tight" and fine and is_pitch(diameter, value / 100):
        name = f"M{diameter:g}x{value / 100:g}"  # drain plug M14x150
        said.doubt(token.text, [threaded(name), length])
    elif figure.adjacent and crossed and (figure.token.cross == "tight" or value > diameter):
        if value >= 0.5 * diameter or not number.whole:
            said.size("length", number)
        else:
            said.doubt(token.text, [*count, length])
    elif figure.adjacent and crossed:
        said.doubt(token.text, [*count, length], assume=bool(count) and value < 0.5 * diameter)
    elif figure.adjacent and not number.whole:
        said.size("length", number)
    elif figure.adjacent and value > diameter and not spanner:
        said.doubt(token.text, [length, *count], assume=not figure.unsure)
    elif token.cross and not figure.adjacent:
        long = not said.line.plural and value >= 8
        said.doubt(
            token.text, [length, *count] if long else [*count, length], assume=bool(count) or long
        )
    elif said.line.count is not None and value > diameter and not spanner:
        said.doubt(token.text, [length], assume=not figure.unsure)
    elif count and value < 0.5 * diameter:
        said.doubt(token.text, [*count, length])
    else:
        said.doubt(token.text, [length, *spanner, *count])


def _bare_inch(said: Meaning, figure: Figure, number: Number) -> None:
    """`1/4 UNC x 2`, `2BA x 12`: inches, millimetres or pieces."""
    token, value = figure.token, number.value
    crossed = bool(token.cross)
    count = count_options(said, number)
    options = []
    most = 2 if said.thread and said.thread.system == "BA" else INCHES_AT_MOST
    if value <= most:
        options.append(size_long(with_unit(number, "in")))
    if value >= 3:
        options.append(size_long(with_unit(number, "mm")))
    sure = (
        not number.whole
        or (figure.adjacent and crossed and number.whole == 1)
        or (said.line.count is not None and len(options) == 1)
    )
    if sure and options:
        said.apply(options[0].meaning)
        return
    behind = bool(token.cross) and figure.behind_kind and not figure.adjacent
    said.doubt(token.text, [*count, *options], assume=bool(count) and behind)
