"""What figures mean on pins, keys, clips and springs, and on what goes by a number."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from tagbench.trade.fasteners.choices import (
    GRIPS,
    INCHES_AT_MOST,
    WORD_SIZES,
    Meaning,
    count_options,
    with_unit,
)
from tagbench.trade.fasteners.options import (
    Option,
    of_them,
    several,
    size_across,
    size_as,
    size_long,
    size_thick,
)
from tagbench.trade.fasteners.own_sizes import numbered_size
from tagbench.trade.fasteners.parsed_line import Figure
from tagbench.trade.fasteners.patterns import NUMBER, UNIT
from tagbench.trade.fasteners.tokens import Number, Token
from tagbench.trade.fasteners.vocabulary import NUMBERED
from tagbench.trade.published import read_table

#: Gauge numbers of wood and tapping screws go up to here.
_GAUGES = 24
#: More than so many pins or rivets are seldom in one bag.
_LIKELY_COUNT = 12
_FEW = 6
#: A cable tie is named by its length, in mm.
_SHORTEST_TIE = 50


def _is_lone_one(said: Meaning, token: Token) -> bool:
    """The 1 of `cotter pin 1`, which counts it or is its size."""
    free = "quantity" not in said.fields and "number" not in said.fields
    return free and token.text == "1" and said.line.kind not in NUMBERED


def read_pin(said: Meaning, figures: list[Figure]) -> None:
    for figure in figures:
        token, numbers = figure.token, list(figure.token.numbers)
        if token.behind == "span":
            _span(said, token)
        elif said.line.kind == "other":
            _figure_of_nothing(said, figure)
        elif len(numbers) == 1 and (field := _field_said(said, token, numbers[0])):
            said.size(field, numbers[0])
        elif len(numbers) == 1 and _is_too_thick(said, numbers[0]):
            said.doubt(token.text, count_options(said, numbers[0]), assume=True)
        elif len(numbers) == 1 and _is_count_of_balls(said, numbers[0]):
            said.doubt(token.text, count_options(said, numbers[0]))
        elif _is_lone_one(said, token):
            said.doubt("1", [*count_options(said, numbers[0]), size_across("1 mm")])
        elif len(numbers) == 1:
            _single(said, figure, numbers[0])
        elif not _says_count_too(said, token, numbers):
            _chain(said, figure, numbers)


def _figure_of_nothing(said: Meaning, figure: Figure) -> None:
    """A figure in a line that does not say what it is."""
    number = figure.token.numbers[0]
    only = len(figure.token.numbers) == 1
    if only and figure.token.behind in WORD_SIZES and figure.token.text[0].isalpha():
        said.size(WORD_SIZES[figure.token.behind], number)  # l=5
        return
    said.doubt(figure.token.text, count_options(said, number) if only else [])


def _span(said: Meaning, token: Token) -> None:
    """What a hose clip goes round, `20-32 mm`, which is no thread."""
    if said.line.kind not in GRIPS:
        said.words.append(token.text)
        return
    low, high = token.numbers
    unit = low.unit or high.unit or ("in" if "/" in low.text + high.text else "mm")
    said.line.notes.insert(0, f"{low.text}-{high.text} {unit}")


def _field_said(said: Meaning, token: Token, number: Number) -> str:
    """The field that the word behind a figure names, or the length of a cable tie; else empty."""
    tie = "length" if _is_length_of_tie(said, number) else ""
    return WORD_SIZES[token.behind] if token.behind else tie


def _is_length_of_tie(said: Meaning, number: Number) -> bool:
    return said.line.kind == "cable tie" and bool(number.unit) and number.value >= _SHORTEST_TIE


#: No ball or rivet of a small machine is so thick, in mm.
_THICKER = MappingProxyType({"ball": 13, "rivet": 9, "roller": 13})


def _is_too_thick(said: Meaning, number: Number) -> bool:
    """The 14 of `trim rivets 14` and the 22 of `steering balls top 22` count them."""
    most = _THICKER.get(said.line.kind, 0)
    bare = bool(number.whole) and not number.unit and said.line.surely_plural
    return bool(most) and bare and number.whole > most


def _is_count_of_balls(said: Meaning, number: Number) -> bool:
    """The 12 of `the 12 hub balls 1/4`: a ball has one size."""
    several = said.line.kind == "ball" and len(said.line.figures) > 1
    return several and bool(number.whole) and not number.unit


def _single(said: Meaning, figure: Figure, number: Number) -> None:
    kind, token = said.line.kind, figure.token
    unit = number.unit or ("in" if "/" in number.text else "mm")
    free = not number.unit and "number" not in said.fields
    if kind in NUMBERED and free and _by_own_number(said, number):
        return
    if (
        "diameter" in said.fields
        and "length" not in said.fields
        and (
            bool(token.cross)
            or number.unit
            or "/" in number.text
            or not number.whole
            or ("number" in said.fields and not _is_many(said, figure, number))
        )
        and not (bool(token.cross) and _is_many(said, figure, number))
    ):
        inch = (
            "in"
            if said.fields.get("number") and not number.unit and number.value <= INCHES_AT_MOST
            else unit
        )
        said.size("length", Number(number.value, number.text, inch))
    elif "diameter" in said.fields or (
        token.cross and number.whole and not token.text.startswith("-")  # DIN 472-35
    ):
        options = count_options(said, number)
        inches = "number" in said.fields and number.value <= INCHES_AT_MOST
        if token.cross and inches and options:
            length = size_long(with_unit(number, "in"))
            said.doubt(token.text, [*options, length], assume=" " not in token.text)
        else:
            likely = bool(token.cross) or number.whole <= _LIKELY_COUNT
            said.doubt(token.text, options, assume=likely)
    elif kind == "spring" and number.unit and not figure.token.cross:
        label = with_unit(number, number.unit)
        said.doubt(token.text, [size_long(label), size_across(label)])
    elif _may_count_or_size(said, figure, number):
        size = size_across(with_unit(number, unit))
        many = kind in GRIPS and number.whole <= _FEW  # hose clips 2: none is so small
        said.doubt(token.text, [*count_options(said, number), size], assume=many)  # rivets 6
    elif kind == "connecting link" and number.text in _chain_names():
        said.fields["number"] = number.text
    elif (
        kind in ("roller", "spring", "connecting link", "cable tie", "clip", "clamp", "lock wire")
        and not number.unit
        and kind != "lock wire"
    ):
        said.doubt(
            token.text, count_options(said, number), assume=said.line.plural and figure.behind_kind
        )
    elif kind == "key" or kind in NUMBERED:
        label = with_unit(number, unit)
        word = "wide" if kind == "key" else "thick"
        said.doubt(
            token.text,
            [
                size_as(label, word, "diameter"),
                size_long(label),
                *count_options(said, number),
            ],
        )
    else:
        said.size("diameter", Number(number.value, number.text, unit))


def _is_many(said: Meaning, figure: Figure, number: Number) -> bool:
    """The 4 of `drive screws #2 x4` and of `#6 sheet metal screws, 4`."""
    return (
        "number" in said.fields
        and said.line.plural
        and number.whole > 1
        and bool(count_options(said, number))
        and (figure.behind_kind or bool(figure.token.cross))
    )


def _may_count_or_size(said: Meaning, figure: Figure, number: Number) -> bool:
    """Whether a lone figure may be how many as well as how wide: `rivets 6`, `circlip 2`."""
    free = number.whole > 1 and bool(count_options(said, number)) and not figure.token.cross
    if (
        said.line.kind == "circlip"
        and free
        and not said.line.standard
        and number.whole <= _SMALLEST_CIRCLIP
    ):
        return True
    return said.line.surely_plural and figure.behind_kind and free and number.whole <= _LIKELY_COUNT


#: None is for a shaft so thin, in mm (DIN 471 begins with 3, DIN 472 with 8).
_SMALLEST_CIRCLIP = 4


@cache
def _chain_names() -> frozenset[str]:
    return frozenset(row["name"] for row in read_table("chains"))


def _by_own_number(said: Meaning, number: Number) -> bool:
    """`woodruff key 404`: a lone number that is one of its own table."""
    kind = said.line.kind
    size = numbered_size(kind, number.text)
    if size is None or kind != "key" or len(number.text) < 3 or said.line.head != "woodruff":
        return False
    said.fields |= {"number": f"#{number.text}", "length_unit": "in", "diameter": size[0]}
    if size[1]:
        said.fields["length"] = size[1]
    return True


def _chain(said: Meaning, figure: Figure, numbers: list[Number]) -> None:
    kind, token = said.line.kind, figure.token
    free = bool(numbers[0].whole) and said.line.count is None and "quantity" not in said.fields
    most = 3 if kind in ("key", "spring") else 2
    if _is_count_first(said, token, numbers):
        return
    ends_in_count = re.search(r"\sx\s?[0-9]+$", token.text) is not None
    open_count = said.line.count is None and "quantity" not in said.fields
    apart = said.line.plural or re.search(r"[0-9]x[0-9.,/]+\sx\s?[0-9]+$", token.text)
    if len(numbers) == most + 1 and open_count and ends_in_count and apart:
        said.count(int(numbers[-1].text))  # needle rollers 2.5x13.8 x 28
        numbers = numbers[:-1]
    elif len(numbers) == most + 1 and free and (said.line.plural or _first_apart(token)):
        said.count(numbers[0].whole)
        numbers = numbers[1:]
    if _is_counted_size(said, figure, numbers):
        return
    if len(numbers) > most or "diameter" in said.fields or "length" in said.fields:
        said.words.append(token.text)
        return
    inches = any("/" in number.text or number.unit == "in" for number in numbers)
    if kind in ("wood screw", "self-tapping screw", "drive screw", "taper pin") and _by_gauge(
        said, numbers
    ):
        return
    thin = numbers[1].value < 5 and numbers[1].whole != 1 and not said.line.standard
    counts = ends_in_count and numbers[1].text.isdecimal()
    if kind == "circlip" and counts and said.line.count is None and thin:
        unit = "in" if inches else "mm"
        size = size_across(with_unit(numbers[0], unit))
        either = of_them(int(numbers[1].text)), size_thick(with_unit(numbers[1], unit))
        said.doubt(
            token.text, [Option(one.says, f"{size.meaning}|{one.meaning}") for one in either]
        )
        return
    named = re.match(rf"{NUMBER}\s?{UNIT}\s", token.text, re.IGNORECASE) or "/" in numbers[0].text
    whole = numbers[1].text.isdecimal()
    if ends_in_count and whole and open_count and said.line.plural and named and kind != "key":
        options = [_first_counted(numbers, inches), _sized(numbers, inches)]
        long = inches and numbers[1].value > INCHES_AT_MOST
        said.doubt(token.text, options[:1] if long else options, assume=long)
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
    _in_order(said, _outside_first(said, token, numbers), inches)


def _outside_first(said: Meaning, token: Token, numbers: list[Number]) -> list[Number]:
    """The 12 and then the 50 of a spring `50 mm x 12 OD`."""
    swapped = said.line.kind == "spring" and token.behind == "outside" and len(numbers) == 2
    return numbers[::-1] if swapped else numbers


def _says_count_too(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """What has one size only says with a second figure how many there are."""
    kind = said.line.kind
    if kind == "ball" and len(numbers) == 2:
        return _balls(said, token, numbers)
    return kind in GRIPS and _is_size_and_count(said, token, numbers)


def _is_size_and_count(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """`hose clip 1/2" x 2`: a clip has one size."""
    ends_in_count = re.search(r"\sx\s?[0-9]+$", token.text) is not None
    if len(numbers) != 2 or not ends_in_count or said.line.count is not None:
        return False
    said.size("diameter", numbers[0])
    said.count(int(numbers[1].text))
    return True


def _balls(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """`1/4 x 22`: how big, then how many; the 2x23 of `2x23 balls` stays as words."""
    if not ("/" in numbers[0].text or numbers[0].unit or not numbers[0].whole):
        if _is_count_first(said, token, numbers):
            return True
        said.words.append(token.text)
        return True
    if not numbers[1].whole or said.line.count is not None:
        return False
    said.count(numbers[1].whole)
    said.size("diameter", numbers[0])
    return True


def _sized(numbers: list[Number], inches: bool) -> Option:
    unit = "in" if inches else "mm"
    first, second = (with_unit(number, unit) for number in numbers[:2])
    said = f"{first.removesuffix(f' {unit}')} by {second}"
    return Option(said, f"diameter:{first}|length:{second}")


def _is_count_first(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """`14 x 1/4 balls`, `12 x 3.2mm rivets`: how many, then the only size."""
    first = re.match(rf"([0-9]{{1,3}})\s?x\s?{NUMBER}\s?(?:{UNIT})?$", token.text, re.IGNORECASE)
    free = said.line.count is None and "quantity" not in said.fields
    sized = bool(numbers[-1].unit) or "/" in numbers[-1].text
    thinner = numbers[-1].value < numbers[0].value
    if not (first and free and sized and said.line.plural and len(numbers) == 2):
        return False
    if said.line.kind in NUMBERED or (said.line.kind != "ball" and not thinner):
        return False
    said.count(int(first[1]))
    said.size("diameter", numbers[1])
    return True


def _is_counted_size(said: Meaning, figure: Figure, numbers: list[Number]) -> bool:
    """`2 x 8 mm dowels`: two of that size as well as one of 2 by 8 mm."""
    first, token = numbers[0], figure.token
    free = said.line.count is None and "quantity" not in said.fields
    typed = re.match(rf"[1-9][0-9]?\s?x\s{NUMBER}\s?{UNIT}", token.text, re.IGNORECASE)
    if not (typed and free and said.line.plural and len(numbers) == 2) or figure.behind_kind:
        return False
    inches = any("/" in number.text or number.unit == "in" for number in numbers)
    counted = Number(first.value, first.text, "")
    said.doubt(token.text, [_counted([counted, numbers[1]], inches), _sized(numbers, inches)])
    return True


def _is_wire_first(numbers: list[Number]) -> bool:
    """`1.2 x 14 x 52`: how thick the wire, how wide and how long the spring."""
    wire, *rest = (number.value for number in numbers)
    return len(rest) > 1 and wire * 4 < rest[0] and wire < rest[1]


def _first_apart(token: Token) -> bool:
    """The 4 of `4 x 2x20` stands apart from the size."""
    return re.match(r"[0-9]+\s?x\s", token.text) is not None


def _first_counted(numbers: list[Number], inches: bool) -> Option:
    """`pop rivets 4mm x 6` as six of them."""
    return _so_many(int(numbers[1].text), numbers[0], inches)


def _counted(numbers: list[Number], inches: bool) -> Option:
    return _so_many(numbers[0].whole, numbers[1], inches)


def _so_many(many: int, number: Number, inches: bool) -> Option:
    return several(many, size_across(with_unit(number, "in" if inches else "mm")))


def _by_gauge(said: Meaning, numbers: list[Number]) -> bool:
    """`8 x 1 1/4 woodscrew` is number 8 by inches; `4 x 40` is millimetres."""
    first, second = numbers[:2]
    backwards = ("/" in first.text or first.unit == "in") and second.text.isdecimal()
    if backwards and first.value < 4 < second.value <= _GAUGES and said.line.head != "hex":
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
    elif said.line.kind == "spring" and _is_wire_first(numbers):
        fields = ("thickness", "diameter", "length")  # wire, outside, length
    elif said.line.kind == "circlip":
        fields = ("diameter", "thickness" if numbers[1].value < numbers[0].value else "length")
    for field, number in zip(fields, numbers, strict=False):
        said.size(
            field, Number(number.value, number.text, number.unit or ("in" if inches else "mm"))
        )
