"""Part numbers however they are typed; what took the place of what, and the one to order."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import cast

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Part, PartNumber, Tables, replace
from tagbench.rules.describe.phrases import named
from tagbench.rules.find.words import fold

Known = Mapping[str, PartNumber]
"""Plain form → what is known of the number."""


@lru_cache(maxsize=65536)
def plain_number(text: str) -> str:
    """A part number without blanks, dashes, dots, slashes and case: `12 345-67a` → `1234567A`.

    Two numbers are the same when this form is the same.
    """
    return "".join(sign for sign in fold(text).upper() if sign.isalnum())


@dataclass(frozen=True)
class ToOrder:
    """Which number to order for a part, and how it was come by."""

    number: str
    """The number to order; empty when every one is obsolete and no substitute is known."""
    chain: tuple[str, ...]
    """The numbers from the original to the last, as each took the place of the one before."""
    differs: str = ""
    """What is different about it when it is a substitute."""
    substitute: bool = False
    """Whether it is a substitute."""

    @property
    def words(self) -> str:
        """`order 4713 (4711 → 4712 → 4713)`, or that there is none, in words."""
        if not self.chain:
            return "no part number"
        trail = " → ".join(self.chain)
        if not self.number:
            return f"{trail} is obsolete and no substitute is known"
        said = f"order {self.number}"
        if self.substitute:
            return f"{said}, a substitute for {trail}" + (
                f": {self.differs}" if self.differs else ""
            )
        return f"{said} ({trail})" if len(self.chain) > 1 else said


def known_numbers(parts: Iterable[Part]) -> dict[str, PartNumber]:
    """All that the parts say about part numbers, by plain form.

    What tells most of a number counts: that it was superseded, else that it is obsolete.
    """
    found: dict[str, PartNumber] = {}
    for part in parts:
        for number in part.part_numbers:
            plain = plain_number(number.number)
            if plain and (plain not in found or _tells(number) >= _tells(found[plain])):
                found[plain] = number
    return found


def _over(known: Known | None, part: Part) -> Known:
    """What is known with what the part says on top, unless others know more of the number."""
    others = known or {}
    own = {
        plain: number
        for plain, number in known_numbers([part]).items()
        if plain not in others or _tells(number) >= _tells(others[plain])
    }
    return ChainMap(own, cast(dict[str, PartNumber], others))


def _tells(number: PartNumber) -> int:
    return 2 if number.superseded_by else int(number.status != "original")


def follow(number: str, known: Known) -> tuple[str, ...]:
    """The number and those that took its place one after the other; Refused for a loop."""
    chain = [number]
    seen = {plain_number(number)}
    while True:
        entry = known.get(plain_number(chain[-1]))
        after = entry.superseded_by.strip() if entry is not None else ""
        if not plain_number(after):
            return tuple(chain)
        chain.append(after)
        if plain_number(after) in seen:
            raise Refused(_loop_sentence(chain))
        seen.add(plain_number(after))


def _loop_sentence(chain: list[str]) -> str:
    start = next(
        at for at, number in enumerate(chain) if plain_number(number) == plain_number(chain[-1])
    )
    loop = " is superseded by ".join(chain[start : start + 2])
    rest = "".join(f", which is superseded by {number}" for number in chain[start + 2 :])
    return f"These part numbers run in a loop: {loop}{rest}; take one of the steps out."


def to_order(part: Part, known: Known | None = None) -> ToOrder:
    """The number to order for a part: the chain followed, a substitute when it is obsolete.

    `known` as from `known_numbers` of all parts lets one part use what is noted on another.
    Raises Refused for a loop.
    """
    if not part.part_numbers:
        return ToOrder("", ())
    everything = _over(known, part)
    originals = [n for n in part.part_numbers if n.status != "substitute"] or part.part_numbers
    chain = follow(originals[0].number, everything)
    last = everything.get(plain_number(chain[-1]))
    if last is None or last.status != "obsolete":
        return ToOrder(chain[-1], chain)
    for number in part.part_numbers:
        if number.status == "substitute":
            return ToOrder(number.number, chain, number.differs, substitute=True)
    return ToOrder("", chain)


def add_number(part: Part, number: PartNumber, known: Known | None = None) -> Part:
    """The part with a number added, or with what is said of it changed; Refused for a loop."""
    plain = plain_number(number.number)
    if not plain:
        raise BadInput("A part number needs at least one letter or digit.")
    mended = replace(
        number,
        number=" ".join(number.number.split()),
        superseded_by=" ".join(number.superseded_by.split()),
    )
    kept = [plain_number(n.number) for n in part.part_numbers]
    numbers = list(part.part_numbers)
    if plain in kept:
        numbers[kept.index(plain)] = mended
    else:
        numbers.append(mended)
    changed = replace(part, part_numbers=tuple(numbers))
    follow(number.number, _over(known, changed))
    return changed


def supersede(part: Part, old: str, new: str, known: Known | None = None) -> Part:
    """The part with `new` in the place of `old`; Refused for a loop, NotFound without `old`."""
    entry = number_of(part, old)
    if not plain_number(new):
        raise BadInput(f"Say which number takes the place of {entry.number}.")
    return add_number(part, replace(entry, status="superseded", superseded_by=new), known)


def rename_number(part: Part, number: str, spelled: str) -> Part:
    """The part with a number spelled in another way; BadInput when it has that one already."""
    old = number_of(part, number)
    if any(plain_number(n.number) == plain_number(spelled) for n in part.part_numbers):
        raise BadInput(f"{named(part)} has the number {spelled} already.")
    new = replace(old, number=spelled)
    return replace(part, part_numbers=tuple(new if n is old else n for n in part.part_numbers))


def drop_number(part: Part, number: str) -> Part:
    """The part without that number; NotFound when it has no such number."""
    gone = number_of(part, number)
    return replace(part, part_numbers=tuple(n for n in part.part_numbers if n is not gone))


def number_of(part: Part, text: str) -> PartNumber:
    """The entry of a number however it is typed; NotFound names those that the part has."""
    for number in part.part_numbers:
        if plain_number(number.number) == plain_number(text):
            return number
    there = ", ".join(number.number for number in part.part_numbers) or "none"
    raise NotFound(f"{named(part)} has no part number {text} (it has {there}).")


def took_a_place(part: Part, text: str) -> bool:
    """Whether a number stands only in the place of another one of the part's numbers."""
    plain = plain_number(text)
    own = {plain_number(number.number) for number in part.part_numbers}
    after = {plain_number(number.superseded_by) for number in part.part_numbers}
    return plain in after - own


def same_parts(tables: Tables, part: Part) -> list[Part]:
    """The other parts of the book with one of its numbers, those that took its place counted in.

    On the machine itself first, in removal order.
    """
    known = known_numbers(tables.parts.values())
    mine = _all_numbers(part, known)
    others = [
        other
        for other in tables.parts.values()
        if other.code != part.code and mine & _all_numbers(other, known)
    ]
    return sorted(others, key=lambda o: (o.machine != part.machine, o.machine, o.order, o.code))


def _all_numbers(part: Part, known: Known) -> set[str]:
    found: set[str] = set()
    for number in part.part_numbers:
        try:
            chain = follow(number.number, known)
        except Refused:
            chain = (number.number,)  # a loop is shown where numbers are mended, not here
        found.update(map(plain_number, chain))
    return found
