"""What figures mean on rings, discs and seals: inside, outside, thickness."""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

from tagbench.trade.fasteners.choices import (
    INCHES_AT_MOST,
    WORD_SIZES,
    Meaning,
    count_options,
    with_unit,
)
from tagbench.trade.fasteners.options import (
    Option,
    size_as,
    size_inside,
    size_outside,
    size_thick,
    together,
)
from tagbench.trade.fasteners.own_sizes import bearing_size
from tagbench.trade.fasteners.parsed_line import Figure
from tagbench.trade.fasteners.tokens import Number, Token
from tagbench.trade.fasteners.vocabulary import LONG_RINGS

#: An O-ring of the American list, whose sizes no table here holds.
_DASH = re.compile(r"-[0-9]{3}")


#: What goes on a shaft or into a bore.
_BORED = LONG_RINGS | {"oil seal", "seal", "dust seal", "felt seal"}
#: No seal of a machine is so small outside, in mm, and none so large in inches.
_SMALLEST = 4


def _are_inches(numbers: list[Number]) -> bool:
    """`seal 1x1.624`, `bush .875x1.125`: thousandths, and too small for millimetres."""
    if len(numbers) == 1 or any(one.unit or "/" in one.text for one in numbers):
        return False
    thousandths = any(re.search(r"\.[0-9]{3}$", one.text) for one in numbers)
    return thousandths and max(one.value for one in numbers) < _SMALLEST


#: No shim is so thin, in mm.
_THINNEST = Fraction(2, 100)


def _of_shim(number: Number) -> Number:
    """The .005 of a shim in inches: no shim is so thin in millimetres."""
    thin = not number.unit and 0 < number.value < _THINNEST
    return Number(number.value, number.text, "in") if thin else number


def read_ring(said: Meaning, figures: list[Figure]) -> None:
    figures = _in_one_chain(figures)
    for figure in figures:
        token, numbers = figure.token, list(figure.token.numbers)
        if said.line.kind in _BORED and _are_inches(numbers):
            numbers = [Number(one.value, one.text, "in") for one in numbers]
        if len(numbers) == 1 and not numbers[0].unit and said.line.kind != "shim":
            thousandths = re.fullmatch(r"\.[0-9]{3,4}", numbers[0].text)
            unit = "in" if thousandths else numbers[0].unit
            numbers = [Number(numbers[0].value, numbers[0].text, unit)]
        if said.line.kind == "shim" and len(numbers) > 1:
            numbers = [_of_shim(one) for one in numbers]
        if not numbers or token.behind == "span" or _DASH.fullmatch(token.text):
            said.words.append(token.text)
        elif token.behind and len(numbers) == 1:
            said.size(_by_word(said, token), numbers[0])
        elif len(numbers) == 1:
            _single_of_ring(said, figure, numbers[0])
        else:
            _chain_of_ring(said, token, numbers)


def _by_word(said: Meaning, token: Token) -> str:
    """The field of `20 od`, of `25 long` on a bush, whose length is its third size."""
    if token.behind == "outside":
        return "length"
    if token.behind == "long" and said.line.kind in LONG_RINGS:
        return "thickness"
    return WORD_SIZES[token.behind]


def _is_many(said: Meaning, token: Token, numbers: list[Number]) -> bool:
    """The 2 of `lockwashers 3/8 x 2`, which can be no outside diameter."""
    alone = re.search(r"\sx\s?[0-9]+$", token.text) is not None and numbers[1].text.isdecimal()
    inch = any(number.unit == "in" for number in numbers)
    if alone and said.line.plural and inch and numbers[1].value > INCHES_AT_MOST:
        return True  # ball bearings 1/4" x 22
    washer = said.line.kind.endswith("washer") or said.line.kind == "olive"
    if washer and alone and inch and numbers[1].value > 4 * numbers[0].value:
        return True  # spring washer 1/4" x 6
    plural = said.line.plural and washer
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


#: A spacer x 20 may be 20 mm long; few bags hold more than so many.
MANY = 8


def _behind_cross(said: Meaning, number: Number, unit: str) -> list[Option]:
    """How many, or how long a single spacer is."""
    options = count_options(said, number)
    if said.line.kind in LONG_RINGS and not said.line.plural and number.whole > MANY:
        options.insert(0, size_as(with_unit(number, unit), "long", "thickness"))
    if options and not said.line.plural and _is_one_size_said(said):
        section = said.line.kind == "O-ring"
        says = "section" if section else "thick"
        field = "length" if section and "length" not in said.fields else "thickness"
        options.insert(0, size_as(with_unit(number, unit), says, field))
    return options


def _is_one_size_said(said: Meaning) -> bool:
    """Whether one ring has its inside or outside said in so many words: O-ring 18 ID x 2."""
    one = any(figure.token.behind in ("across", "outside") for figure in said.line.figures)
    return one and len(said.fields.keys() & {"diameter", "length", "thickness"}) == 1


def _may_count_shims(said: Meaning, figure: Figure, number: Number) -> bool:
    """The 2 of `shims 2` counts them, or says how thick they are."""
    open_count = said.line.count is None and "quantity" not in said.fields
    whole = bool(number.whole) and not number.unit and not figure.token.cross
    return open_count and whole and said.line.surely_plural and figure.behind_kind


def _read_shim(said: Meaning, figure: Figure, number: Number, sized: Number) -> bool:
    """Whether a lone figure of a shim was read: how thick it is, or how many there are."""
    if not number.unit and re.fullmatch(r"\.[0-9]{3,4}", number.text):
        _shim_of_inches(said, figure.token, number)
    elif _may_count_shims(said, figure, number):
        options = [*count_options(said, number), size_thick(with_unit(number, "mm"))]
        said.doubt(figure.token.text, options)
    elif (number.value < 3 or number.unit) and "thickness" not in said.fields:
        said.size("thickness", sized)
    else:
        return False
    return True


def _single_of_ring(said: Meaning, figure: Figure, number: Number) -> None:
    kind, token = said.line.kind, figure.token
    unit = number.unit or ("in" if "/" in number.text else "mm")
    sized = Number(number.value, number.text, unit)
    if kind == "shim" and _read_shim(said, figure, number, sized):
        pass
    elif kind == "olive" and "diameter" not in said.fields and number.unit:
        said.size("diameter", sized)  # it goes by the tube in it
    elif kind.endswith("washer") and "diameter" not in said.fields and not figure.token.cross:
        _inside_of_washer(said, figure, sized)
    elif "diameter" in said.fields and "length" not in said.fields and token.cross == "tight":
        said.size("length", sized)
    elif token.cross and said.fields.keys() >= {"diameter", "length"} and not number.whole:
        said.size("thickness", sized)
    elif token.cross and count_options(said, number):
        options = _behind_cross(said, number, unit)
        said.doubt(token.text, options, assume=len(options) == 1)
    elif "diameter" in said.fields and "length" not in said.fields and token.cross:
        said.size("length", sized)
    elif "diameter" in said.fields:
        said.doubt(token.text, count_options(said, number), assume=figure.last and said.line.plural)
    else:
        _offer_sizes(said, token, number, with_unit(number, unit))


#: No washer has so small a hole, in mm; such a figure is how thick it is.
_NO_HOLE = 1
#: A thrust washer so thick has no such hole: inches, mm.
_THICK_IN, _THICK_MM = Fraction(1, 8), 4


def _inside_of_washer(said: Meaning, figure: Figure, sized: Number) -> None:
    """`washer 8`, and `washers 5`: five of them, or for M5."""
    number = figure.token.numbers[0]
    size = with_unit(sized, sized.unit)
    behind = figure.behind_kind or figure.token.start > said.line.start  # arandelas cobre 4
    many = behind and said.line.plural and count_options(said, number)
    thin = sized.unit == "in" and sized.value < _THICK_IN
    fine = number.unit == "mm" or not number.whole
    thin = thin or (fine and sized.unit == "mm" and sized.value < _THICK_MM)
    if said.line.kind == "thrust washer" and thin and not many:
        said.size("thickness", sized)
    elif number.text == "1" and not number.unit:
        said.words.append(figure.token.text)  # one more of another sort: 1 plain 1 split
    elif sized.unit == "mm" and sized.value < _NO_HOLE:
        said.doubt(figure.token.text, [size_thick(size)])
    elif many and said.line.thread is None:
        said.doubt(figure.token.text, [*many, size_inside(size)])
    else:
        said.size("diameter", sized)


def _offer_sizes(said: Meaning, token: Token, number: Number, label: str) -> None:
    options = [size_inside(label), size_outside(label)]
    if said.line.kind in ("spacer", "bush", "gasket", "O-ring"):
        word = "long" if said.line.kind in LONG_RINGS else "thick"
        options.append(size_as(label, word, "thickness"))
    said.doubt(token.text, [*options, *count_options(said, number)])


#: Thinner shims are not made in mm, so that a .003 is thousandths of an inch.
_THINNEST_MM = 0.02


def _shim_of_inches(said: Meaning, token: Token, number: Number) -> None:
    """`.003`, which inch people write without its nought and its unit."""
    label = f"{float(number.value):g}"
    options = [size_thick(f"{label} {unit}") for unit in ("in", "mm")]
    said.doubt(token.text, options, assume=number.value < _THINNEST_MM)


def _chain_of_ring(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """Inside, outside, thickness; a count before them where four figures stand."""
    counted = said.line.count is not None
    if len(numbers) == 2 and not counted and bearing_size(numbers[1].text) and numbers[0].whole:
        said.count(numbers[0].whole)  # bearings 2 x 6203
        said.fields["number"] = numbers[1].text
        size = bearing_size(numbers[1].text) or ()
        said.fields |= dict(zip(("diameter", "length", "thickness"), size, strict=False))
        return
    open_count = not counted and "quantity" not in said.fields
    free = bool(numbers[0].whole) and open_count
    odd = (
        len(numbers) == 3
        and numbers[2].value > numbers[1].value
        and said.line.kind not in LONG_RINGS
    )
    if free and (len(numbers) == 4 or odd):
        said.count(numbers[0].whole)
        numbers = numbers[1:]
    ring = said.line.kind == "O-ring" and len(numbers) == 3 and open_count
    if ring and re.search(r"\sx\s?[0-9]+$", token.text):  # O-ring 22x2 x 2
        said.count(int(numbers[2].text))
        numbers = numbers[:2]
    thin = said.line.kind == "shim" and len(numbers) == 2 and numbers[0].value < 3
    if thin and not counted and numbers[1].text.isdecimal():  # 0.1 mm x 3
        said.size("thickness", numbers[0])
        said.count(int(numbers[1].text))
        return
    if len(numbers) == 2 and open_count and _is_many(said, token, numbers):
        said.count(int(numbers[1].text))
        numbers = numbers[:1]
    if len(numbers) > 3 or "diameter" in said.fields:
        said.words.append(token.text)
        return
    inches = any("/" in number.text or number.unit == "in" for number in numbers)
    if not inches and len(numbers) == len(_FIELDS) and any(one.text[0] == "." for one in numbers):
        _ask_unit(said, token, numbers)
        return
    if said.line.kind == "O-ring" and len(numbers) == 2 and _is_section_first(numbers):
        first, second = (with_unit(number, "in" if inches else "mm") for number in numbers)
        section = together(size_inside(second), size_as(first, "thick", "length"))
        said.doubt(token.text, [section, together(size_inside(first), size_outside(second))])
        return
    _by_position(said, numbers, inches)


_FIELDS = ("diameter", "length", "thickness")


def _ask_unit(said: Meaning, token: Token, numbers: list[Number]) -> None:
    """`seal 1.25 x 2 x .375`: who leaves the nought out mostly thinks in inches."""
    options = []
    for unit in ("in", "mm"):
        sizes = [f"{float(one.value):g} {unit}" for one in numbers]
        meaning = "|".join(f"{field}:{size}" for field, size in zip(_FIELDS, sizes, strict=True))
        options.append(Option("inches" if unit == "in" else "millimetres", meaning))
    said.doubt(token.text, options)


def _is_section_first(numbers: list[Number]) -> bool:
    """`O-ring 1/16 x 1/2`: no O-ring is four times as wide as its hole."""
    return numbers[1].value > 4 * numbers[0].value


def _by_position(said: Meaning, numbers: list[Number], inches: bool) -> None:
    """Inside, outside, thickness; the smaller second figure of a washer is its thickness."""
    fields = ("diameter", "length", "thickness")
    if len(numbers) == len(fields) and numbers[1].value < numbers[0].value:
        numbers = [numbers[1], numbers[0], numbers[2]]  # no hole is wider than its ring
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
