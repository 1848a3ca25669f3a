"""Where a thing is kept: bag in box on shelf, and what lies in a bin."""

from __future__ import annotations

import re
from collections.abc import Mapping

from tagbench.errors import NotFound, Refused
from tagbench.records import Bin

Bins = Mapping[str, Bin]


def bins_around(code: str, bins: Bins) -> tuple[Bin, ...]:
    """The bin and everything that holds it, outermost last; empty when the code is none of a bin.

    A loop in damaged data ends the path instead of running on.
    """
    found: list[Bin] = []
    while code in bins and bins[code] not in found:
        found.append(bins[code])
        code = found[-1].kept_in
    return tuple(found)


def typed_path(code: str, bins: Bins) -> str:
    """A bin as it is typed: from the outside in, `Shelf A / Box 2 / Bag 7`.

    The code where a name would be cut when it is read again.
    """
    names = [bin_.name for bin_ in reversed(bins_around(code, bins))]
    return code if any(len(names_in_path(name)) > 1 for name in names) else " / ".join(names)


def names_in_path(text: str) -> list[str]:
    """The names on a typed path, outermost first; the 3/8 of `3/8 bolts` is a measure."""
    return [step.strip() for step in re.split(r"(?<![0-9])/|/(?![0-9])", text) if step.strip()]


def same_name(name: str) -> str:
    """The name as names are compared: whatever its case and blanks."""
    return " ".join(name.split()).casefold()


def bin_words(bin_: Bin) -> str:
    """`bag Front brake 3`; the kind is not said twice for a box called `Box 2`."""
    if bin_.kind.casefold() in bin_.name.casefold().split():
        return bin_.name
    return f"{bin_.kind} {bin_.name}".strip()


def kept_in(code: str, bins: Bins) -> tuple[str, ...]:
    """The whole path in words, outermost last: `("bag Front brake 3", "box 2", "shelf A")`."""
    return tuple(map(bin_words, bins_around(code, bins)))


def kept_in_words(code: str, bins: Bins) -> str:
    """`in bag Front brake 3, in box 2, on shelf A`, or `in no bin`."""
    said = (f"{_in_or_on(bin_)} {bin_words(bin_)}" for bin_ in bins_around(code, bins))
    return ", ".join(said) or "in no bin"


def path_words(code: str, bins: Bins) -> str:
    """`bag Front brake 3, in box 2, on shelf A`: the path as a noun; empty when in no bin."""
    said = kept_in_words(code, bins) if code in bins else ""
    return said.partition(" ")[2]


def _in_or_on(bin_: Bin) -> str:
    return "on" if bin_.kind.casefold() in {"shelf", "hook", "rack", "bench"} else "in"


def check_move(code: str, into: str, bins: Bins) -> None:
    """Raises when bin `code` cannot be kept in `into`: unknown bins, or a loop, spelled out."""
    for wanted in (code, into):
        if wanted and wanted not in bins:
            raise NotFound(f"No bin has the code {wanted}; list the bins to see their codes.")
    chain = bins_around(into, bins)
    if any(bin_.code == code for bin_ in chain):
        upto = [bin_words(bin_) for bin_ in chain[: [b.code for b in chain].index(code) + 1]]
        loop = " in ".join([bin_words(bins[code]), *upto])
        raise Refused(
            f"A bin cannot be kept in itself ({loop}); "
            f"take {bin_words(chain[0])} out of {bin_words(bins[code])} first."
            if len(chain) > 1
            else f"{bin_words(bins[code])} cannot be kept in itself; choose another bin."
        )


def codes_within(code: str, bins: Bins) -> frozenset[str]:
    """The codes of all bins that lie in a bin, at any depth, the bin itself left out."""
    return frozenset(
        inner
        for inner in bins
        if inner != code and any(outer.code == code for outer in bins_around(inner, bins)[1:])
    )
