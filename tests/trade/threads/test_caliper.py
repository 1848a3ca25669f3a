"""Threads named from readings as people type them."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.trade.quantities.lengths import parse_lengths
from tagbench.trade.quantities.units import millimetres
from tagbench.trade.threads.caliper import across_of, name_measured, parse_angle


def best(across: str, pitch: str = "", angle: str = "", unit: str = "mm") -> str:
    """The designation of the first candidate."""
    return name_measured(across, pitch, angle=angle, unit=unit).candidates[0].designation


@pytest.mark.parametrize(
    ("across", "pitch", "name"),
    [
        ("4.95mm", "0.8", "M5x0.8"),
        ("4.95 4.94 4.96", "10 threads in 8 mm", "M5x0.8"),
        ("0.248 in", "20 tpi", "1/4-20 UNC"),
        ("0.248 in", "1.27", "1/4-20 UNC"),
        ("7.85", "1.25", "M8x1.25"),
        ("0.310 in", "18 tpi", "5/16-18 UNC"),
    ],
)
def test_readings_name_a_thread(across: str, pitch: str, name: str) -> None:
    """Limits by ISO 965-1 6g and ASME B1.1 2A, as in the tables under tests/reference."""
    assert best(across, pitch) == name


def test_the_angle_decides_between_unified_and_whitworth() -> None:
    """1/4 UNC and 1/4 BSW have the same pitch; 60° against 55° (ASME B1.1, BS 84)."""
    assert best("6.3", "20 tpi", angle="60°") == "1/4-20 UNC"
    assert best("6.3", "20 tpi", angle="55 deg") == "1/4 BSW"


def test_several_readings_widen_the_uncertainty() -> None:
    """The middle of them, give or take what reaches all; far apart they are to be taken again."""
    near = across_of(parse_lengths("4.95 4.96 mm"), millimetres("0.02"))
    assert (near.mm, near.uncertainty_mm, near.note) == (4.955, 0.02, "")
    far = across_of(parse_lengths("4.6 4.9 mm"), millimetres("0.02"))
    assert (far.mm, round(far.uncertainty_mm, 6)) == (4.75, 0.15)
    assert "0.3 mm apart" in far.note


def test_what_was_measured_is_said_first() -> None:
    """And that nothing fits, when nothing does."""
    found = name_measured("4.95 mm", "10 threads in 8 mm")
    assert found.sentence == "4.95 mm ± 0.02 across, pitch 0.8 mm ± 0.01:"
    assert "pitch not measured" in name_measured("4.95 mm").sentence
    assert "20 threads per inch" in name_measured("6.3", "20 tpi").sentence
    assert "no thread fits" in name_measured("7", "2").sentence
    assert "inside the hole" in name_measured("4.2", "0.8", internal=True).sentence


def test_the_unit_of_the_machine_goes_for_figures_without_one() -> None:
    assert best("0.248", "20 tpi", unit="in") == "1/4-20 UNC"
    assert best("6.3mm", "20 tpi", unit="in") == "1/4-20 UNC"


@pytest.mark.parametrize(
    ("across", "pitch", "angle", "uncertainty", "says"),
    [
        ("", "0.8", "", "", "Type what was measured"),
        ("5 mm", "soon", "", "", "not a pitch"),
        ("5 mm", "-0.8", "", "", "not a pitch"),
        ("5 mm", "0", "", "", "not a pitch"),
        ("5 mm", "4", "", "", "cannot be on a diameter"),
        ("5 mm", "0.8", "flat", "", "not a thread angle"),
        ("5 mm", "0.8", "12", "", "No thread here has an angle"),
        ("5 mm", "0.8", "", "3 mm", "small beside the diameter"),
        ("0 mm", "0.8", "", "", "more than zero"),
    ],
)
def test_what_cannot_be_measured_is_one_sentence(
    across: str, pitch: str, angle: str, uncertainty: str, says: str
) -> None:
    with pytest.raises(BadInput, match=says):
        name_measured(across, pitch, angle=angle, uncertainty=uncertainty)


def test_angles_as_people_type_them() -> None:
    assert [parse_angle(text) for text in ("60", "55°", "47.5 deg", "47 1/2 degrees")] == [
        60,
        55,
        47.5,
        47.5,
    ]


def test_a_typed_uncertainty_goes_for_the_caliper() -> None:
    found = name_measured("4.95", uncertainty="± 0.05 mm")
    assert found.across.uncertainty_mm == pytest.approx(0.05)
