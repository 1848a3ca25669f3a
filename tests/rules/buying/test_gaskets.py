"""A gasket is read as people type it, and says what to cut and which punches to have ready."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.records import GasketHole
from tagbench.rules.buying.gaskets import (
    cut_list,
    gasket_words,
    holes_words,
    how_to_cut,
    parse_gasket,
    parse_holes,
)


def test_lengths_bolts_and_counts_are_read_as_typed() -> None:
    """Decimal commas, inches, bolts by name; millimetres where no unit stands."""
    gasket = parse_gasket("gasket  paper", "0,5", "4-3/4 x 3 in", "4x M6; 2 × 1/4-20, 38 mm")
    assert gasket_words(gasket) == "gasket paper 0.5 mm, 120.65 x 76.2 mm"
    assert holes_words(gasket) == "4x M6x1; 2x 1/4-20 UNC; 1x 38 mm"
    assert parse_holes(holes_words(gasket)) == gasket.holes
    assert parse_holes("3 of 7.5") == (GasketHole(quantity=3, diameter_mm=7.5),)
    assert parse_gasket("cork", "3 mm", "40", "").height_mm == 40


def test_the_cut_list_names_sheet_holes_and_punches() -> None:
    """M6 passes a 6.6 mm hole (ISO 273, medium); the punch is the next that is made."""
    gasket = parse_gasket("gasket paper", "0.5", "120 x 80", "4x M6; 1x 38; 1x 60 mm")
    sheet, bolts, bore, large = cut_list(gasket, copies=2)
    assert sheet == "2 × gasket paper 0.5 mm, 120 x 80 mm; sheet 270 x 100 mm"
    assert bolts == "8 holes 6.6 mm (M6x1): punch 7 mm, transfer punch 6.5 mm"
    assert bore == "2 holes 38 mm: punch 38 mm"
    assert "too large for a punch" in large
    assert any("asbestos" in sentence for sentence in how_to_cut(gasket))
    assert cut_list(gasket)[2] == "1 hole 38 mm: punch 38 mm"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("", "1", "10x10", ""), "Say what it is cut from"),
        (("paper", "", "10x10", ""), "Say the thickness"),
        (("paper", "0", "10x10", ""), "more than zero"),
        (("paper", "1", "", ""), "width x height"),
        (("paper", "1", "10x10x10", ""), "width x height"),
        (("paper", "1", "10x10", "4x"), "is not a hole"),
        (("paper", "1", "10x10", "0x M6"), "is not a hole"),
        (("paper", "1", "10x10", "blurb"), "is not a hole"),
        (("paper", "1", "10x10", "20 mm"), "does not fit"),
        (("old asbestos sheet", "1", "10x10", ""), "asbestos-free"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    typed: tuple[str, str, str, str], says: str
) -> None:
    """With what to write instead."""
    with pytest.raises(BadInput, match=says):
        parse_gasket(*typed)
