"""Takes one piece at a time out of a typed fastener: each returns the piece and the rest."""

from __future__ import annotations

import re
from functools import cache

from tagbench.errors import BadInput
from tagbench.records import Torque
from tagbench.trade.fasteners.sizes import FREE, LENGTH_UNIT, NUMBER, known_thread, without
from tagbench.trade.fasteners.vocabulary import fold_words, locking_phrases, longest_phrase
from tagbench.trade.quantities.typed import parse_torque
from tagbench.trade.quantities.unit_words import TORQUE_UNIT


@cache
def _torque() -> re.Pattern[str]:
    return re.compile(
        r"(?:,\s?)?(?:\b(?:torqued?|tighten(?:ed)?)\b:?\s?)?(?:\b(?:to|at)\b\s?|@\s?)?"
        rf"{FREE}(?P<figures>{NUMBER}(?:\s?(?:{TORQUE_UNIT})?\s?(?:-|–|\bto\b|±|\+/-|\.\.)\s?"
        rf"{NUMBER}(?:\s?%)?)?\s?(?:{TORQUE_UNIT}))\.?"
        r"(?P<estimate>\s?estimated?\b)?(?:\s?\[(?P<source>[^\]]*)\])?",
        re.IGNORECASE,
    )


_NOTE = re.compile(r"(?:^|[,\s])note:\s*", re.IGNORECASE)
_BRACKETS = re.compile(r"\[[^\]\n]*\]")
#: A place that only says how many: `M5x12 (x4)`, `(4) M5x12`, `M5x12 (4 off)`.
_COUNT_IN_PLACE = re.compile(
    r"(?:qty[.:]?\s?)?(?:x\s?)?(?P<count>[0-9]{1,3})(?:\s?(?:x|-?off|pcs?\.?|pieces?))?",
    re.IGNORECASE,
)
_WORD_NUMBERS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "pair": 2, "dozen": 12,
}  # fmt: skip


@cache
def _counted() -> re.Pattern[str]:
    return re.compile(
        r"(?P<count>[0-9]{1,4})(?P<gap>\s?)(?:(?P<cross>x)|-?off\b|of\b|pcs?\b\.?|pieces?\b"
        r"|no\b\.?(?=\s?[A-Z#])|-\s?(?=M[0-9]))"
        r"(?P<after>\s?)",
        re.IGNORECASE,
    )


@cache
def _counted_later() -> re.Pattern[str]:
    return re.compile(
        r"(?:,\s?|\s[-–]\s)?\b(?:(?P<off>[0-9]{1,4})\s?-?off|(?:qty|quantity)[.:]?\s?(?P<qty>[0-9]{1,4}))\b",
        re.IGNORECASE,
    )


@cache
def _count_word() -> re.Pattern[str]:
    return re.compile(
        rf"(?:a\s)?(?P<word>{'|'.join(_WORD_NUMBERS)})\s(?:of\s|off\s|x\s)?", re.IGNORECASE
    )


@cache
def _bare_count() -> re.Pattern[str]:
    return re.compile(rf"(?P<count>[0-9]{{1,3}})\s(?!x\b|{LENGTH_UNIT}|long\b)")


_COUNT_BEHIND = re.compile(r"(?:^|\s)(?P<cross>x)\s?(?P<count>[0-9]{1,3})$", re.IGNORECASE)
_NUTS_BEHIND = re.compile(
    r"(?:\bballs?\b.*|\b(?:nut|washer|circlip|clip|rivet)s?)\s(?P<cross>x)\s?(?P<count>[0-9]{1,3})$",
    re.IGNORECASE,
)
_TWO_SIZES = re.compile(r"\b(?:pin|key|rivet|dowel|cotter)s?\b", re.IGNORECASE)
_JOINED = re.compile(r"\s*(?:\+|&|\bwith\b|\b(?:c/)?w/|\bc/w\b|\bplus\b)\s*", re.IGNORECASE)
_ALSO = re.compile(r"\s*(?:\+|&|,|\bwith\b|\b(?:c/)?w/|\bc/w\b|\bplus\b|\band\b)\s*", re.IGNORECASE)
_MANY = re.compile(r"(?P<count>[2-9])\s?(?:x\s?)?(?=[a-z])", re.IGNORECASE)
_PIN_SIZE = re.compile(rf"\s?(?P<size>{NUMBER}\s?x\s?{NUMBER}(?:\s?(?:mm|in\b))?)")


def bracketed(text: str) -> frozenset[int]:
    """The places in a text that stand in [ ], where a source may have any sign."""
    return frozenset(at for found in _BRACKETS.finditer(text) for at in range(*found.span()))


def take_places(text: str) -> tuple[str, str]:
    """What stands in parentheses, joined; BadInput when one is left open."""
    places, kept, depth, apart = [], [], 0, bracketed(text)
    for at, sign in enumerate(text):
        opens, closes = (sign == "(", sign == ")") if at not in apart else (False, False)
        depth += opens
        if depth == 0:
            kept.append(sign)
        elif opens and depth == 1:
            places.append("")
        elif not (closes and depth == 1):
            places[-1] += sign
        depth -= closes
        if depth < 0:
            break
    if depth:
        raise BadInput("A parenthesis is left open; put the place in ( ), such as (upper left).")
    return ", ".join(" ".join(place.split()) for place in places if place.strip()), "".join(kept)


def count_in_place(place: str) -> int:
    """How many a place says, `x4` or `4 off`, when that is all it says; 0 otherwise."""
    found = _COUNT_IN_PLACE.fullmatch(place)
    return int(found["count"]) if found else 0


def take_note(text: str) -> tuple[str, str]:
    """What stands behind a `note:` outside of all brackets, to the end of the line."""
    apart = bracketed(text)
    for found in _NOTE.finditer(text):
        before = text[: found.start()]
        if found.start() not in apart and before.count("(") <= before.count(")"):
            return text[found.end() :].strip(), before
    return "", text


def take_torque(text: str) -> tuple[Torque | None, str]:
    """A torque with its unit, `estimate` and a source in brackets behind it."""
    found = _torque().search(text)
    if found is None:
        return None, text
    figures = parse_torque(found["figures"])
    torque = Torque(
        low=float(figures.low),
        high=float(figures.high),
        unit=figures.unit,
        source=(found["source"] or "").strip(),
        estimate=bool(found["estimate"]),
        typed=found["figures"].strip(),
    )
    return torque, without(text, found)


def take_quantity(text: str) -> tuple[int | None, str]:
    """How many: `4x`, `4 off`, `four`, `4pcs`, `… 4 off`; None when it is not said.

    BadInput for none. The 3 of `3x13 key` is a size, the 10 of `10-32` a thread.
    """
    if later := _counted_later().search(text):
        count, rest = int(later["off"] or later["qty"]), without(text, later)
    elif (counted := _counted().match(text)) and not _is_size(counted, text):
        count, rest = int(counted["count"]), text[counted.end() :]
    elif word := _count_word().match(text):
        count, rest = _WORD_NUMBERS[word["word"].lower()], text[word.end() :]
    elif (bare := _bare_count().match(text)) and not known_thread(text):
        count, rest = int(bare["count"]), text[bare.end() :]
    else:
        return None, text
    if count < 1:
        raise BadInput("The quantity must be at least one, such as 4x M5x0.8x12 pan.")
    return count, rest


def take_count_behind(text: str, sized: bool) -> tuple[int | None, str]:
    """The 4 of `nuts x 4`, and of `M5x12 x4` when the length is taken already (`sized`)."""
    found = (_COUNT_BEHIND if sized else _NUTS_BEHIND).search(text)
    if found is None or int(found["count"]) < 1:
        return None, text
    return int(found["count"]), text[: found.start("cross")].rstrip()


def _is_size(counted: re.Match[str], text: str) -> bool:
    """True for `3x13 key`, where the first number is no count but half of the size."""
    rest = text[counted.end() :]
    if not counted["cross"] or counted["gap"] != counted["after"] or not rest[:1].isdigit():
        return False
    another = re.match(rf"{NUMBER}\s?x", rest)
    return bool(_TWO_SIZES.search(rest)) and not another and known_thread(rest) is None


def take_locking(text: str) -> tuple[tuple[str, ...], str]:
    """What stands behind `+` or `with`: lock washer, cotter pin 3.2x32, thread lock, …

    BadInput when the first words there are none of these.
    """
    joint = _JOINED.search(text)
    if joint is None:
        return (), text
    rest, locking = text[: joint.start()], []
    for segment in _ALSO.split(text[joint.end() :]):
        words = re.sub(r"^(?:a|an|one|new)\s", "", segment)
        if not words:
            continue
        many = _MANY.match(words)
        item, left = _locking_item(words[many.end() :] if many else words)
        if not item:
            raise BadInput(
                f'"{words}" behind + is not understood; write lock washer, cotter pin,'
                " thread lock, tab washer, lock wire, lock nut or plain washer."
            )
        locking += [item] * (int(many["count"]) if many else 1)
        rest = f"{rest} {left}"
    return tuple(locking), rest


def _locking_item(text: str) -> tuple[str, str]:
    words = fold_words(text)
    phrase = longest_phrase(words, locking_phrases())
    if not phrase:
        return "", text
    item, left = locking_phrases()[phrase], " ".join(words[len(phrase) :])
    size = _PIN_SIZE.match(left)
    if size:
        return f"{item} {size['size'].replace(' ', '')}", left[size.end() :]
    return item, left
