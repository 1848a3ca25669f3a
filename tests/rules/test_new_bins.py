"""A bin made by a slip of the pen is said to be new, with the one that may have been meant."""

from __future__ import annotations

import pytest

from tagbench.records import Bin
from tagbench.rules.new_bins import similar_bin
from tests.rules.making import bin_code


def similar(name: str, *others: str) -> str:
    """The name of the bin that one of this name resembles."""
    bins = {bin_code(n): Bin(code=bin_code(n), name=one) for n, one in enumerate(others, 1)}
    found = similar_bin(Bin(code=bin_code(99), name=name), bins)
    return found.name if found else ""


@pytest.mark.parametrize(
    ("name", "other"),
    [("Shoe bocks", "Shoe box"), ("shoebox", "Shoe box"), ("Biscit tin", "Biscuit tin"),
     ("Fornt brake 3", "Front brake 3"), ("Engine crates", "Engine crate")],
)  # fmt: skip
def test_slips_are_seen(name: str, other: str) -> None:
    assert similar(name, "Cigar box", other, "Upper shelf") == other


@pytest.mark.parametrize(
    ("name", "other"),
    [("Bag 7", "Bag 8"), ("Front brake 3", "Front brake 4"), ("Upper shelf", "Lower shelf"),
     ("Left bag", "Right bag"), ("Pin box", "Piston box"), ("Box A", "Box B"), ("M5", "M6"),
     ("Front box", "Rear box"), ("Shoe bag", "Shoe box"), ("Shoe box", "Shoe box")],
)  # fmt: skip
def test_names_that_are_meant_to_differ_are_no_slips(name: str, other: str) -> None:
    assert similar(name, other) == ""
