"""`torque` as a person types it, against the published examples.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.commands.conftest import Tagbench
from tests.trade.published import examples, rows

_EXTENSIONS = examples("torque_wrench_extension")
_UNITS = {"lbf.in": "in-lb", "lbf.ft": "ft-lb", "N.m": "Nm"}


@pytest.mark.parametrize("example", _EXTENSIONS.values(), ids=_EXTENSIONS.keys())
def test_worked_examples_of_extensions(tagbench: Tagbench, example: dict[str, Any]) -> None:
    """US Army TM 1-1500-204-23-9, TM 9-254, TM 5-3805-274-13&P and other printed examples."""
    given, unit = example["inputs"], _UNITS[example["unit"]]
    words = ["--wrench", f"{given['L']}in", "--extension", f"{given['E']}in", "--json"]
    words += ["--angle", str(given["angle_deg"])] if "angle_deg" in given else []
    if "wanted" in given:
        card = tagbench("torque", f"{given['wanted']} {unit}", *words).json
        found, typed = "wrench_setting", "low"
    else:
        card = tagbench("torque", f"{given['setting']} {unit}", "--set-to", *words).json
        found, typed = "", "wrench_setting_low"
    low, high = (card["_".join(filter(None, [found, end]))] for end in ("low", "high"))
    assert low == high == pytest.approx(example["exact"], rel=1e-9)
    assert low == pytest.approx(example["expected"], abs=example["tolerance"])
    assert card[typed] == given.get("wanted", given.get("setting"))


@pytest.mark.parametrize(
    ("text", "into", "low", "high"),
    [
        ("43-58 lbf·ft", "N·m", 58.3002, 78.6374),
        ("25 N·m", "lbf·ft", 18.439, 18.439),
        ("1 lbf·ft", "kgf·m", 0.138255, 0.138255),
        ("12 in-lb", "lb-ft", 1, 1),
        ("10 kgf·cm", "N·m", 0.980665, 0.980665),
        ("100 N·m", "kgf.m", 10.1972, 10.1972),
    ],
)
def test_a_torque_in_other_units(
    tagbench: Tagbench, text: str, into: str, low: float, high: float
) -> None:
    """1 lbf·ft = 1.3558179483 N·m = 0.138254954 kgf·m (NIST SP 811 B.8, worked example UN-04)."""
    card = tagbench("torque", text, "--in", into, "--json").json
    assert (card["low"], card["high"]) == pytest.approx((low, high), rel=1e-5)
    assert (card["wrench_setting_low"], card["wrench_setting_high"]) == (card["low"], card["high"])
    assert card["typed"] == text


def test_words_of_a_range_need_no_quotes(tagbench: Tagbench) -> None:
    """The unit stays as typed unless another is asked for."""
    for words in (["43-58", "lbf·ft"], ["43", "-", "58", "ft-lb"], ["43", "to", "58", "lb·ft"]):
        card = tagbench("torque", *words, "--json").json
        assert (card["low"], card["high"], card["unit"]) == (43, 58, "lbf·ft")


def test_a_person_reads_it_in_the_usual_units(tagbench: Tagbench) -> None:
    """Small torques in small units."""
    assert tagbench("torque", "43-58 lbf·ft").out == (
        "43–58 lbf·ft = 58.3–78.6 N·m = 5.94–8.02 kgf·m\n"
    )
    assert "lbf·in" in tagbench("torque", "5 Nm").out
    said = tagbench("torque", "300 lbf·in", "--wrench", "10in", "--extension", "4in").out
    assert "Set the wrench to 214 lbf·in: 10 in wrench with a 4 in extension straight on." in said


@pytest.mark.parametrize(
    ("scale", "verdict"),
    [("5-25 N·m", "good"), ("20 N·m", "good"), ("9-20 N·m", "wrong wrench"), ("40 Nm", "usable")],
)
def test_the_scale_of_the_wrench(tagbench: Tagbench, scale: str, verdict: str) -> None:
    """US Army TM 1-1500-204-23-9 ch. 8: best from 30 to 80 %; nothing under its bottom."""
    found = tagbench("torque", "8-10 N·m", "--scale", scale, "--json").json["scale"]
    assert found["verdict"] == verdict
    assert found["sentence"] in tagbench("torque", "8-10 N·m", "--scale", scale).out


def test_the_scale_is_for_the_setting_not_the_torque(tagbench: Tagbench) -> None:
    """With a lever of 2 the wrench shows half."""
    words = ("--scale", "10 N·m", "--wrench", "300mm", "--extension", "300mm", "--json")
    assert tagbench("torque", "12 N·m", *words).json["scale"]["high_percent"] == 60


@pytest.mark.parametrize("row", rows("castle_nut_geometry"), ids=lambda row: row["thread"])
def test_castle_nuts_of_the_table(tagbench: Tagbench, row: dict[str, str]) -> None:
    """DIN 935-1: the way to the next slot along the bolt, and the pin."""
    nut = f"{row['thread']}, {row['slots']} slots, 2 holes"
    found = tagbench("torque", "20-30 N·m", "--castle-nut", nut, "--json").json["castle_nut"]
    assert found["step_mm"] == pytest.approx(float(row["axial_step_two_holes_mm"]), abs=6e-5)
    if row["split_pin_mm"]:
        pin = found["cotter_pin"]
        assert f"{pin['diameter_mm']:g}x{pin['length_mm']:g}" == row["split_pin_mm"]


def test_a_castle_nut_is_said_in_order_and_deferred(tagbench: Tagbench) -> None:
    """AC 43.13-1B 7-40 and 7-127; never back; who has the last word."""
    said = tagbench("torque", "50-70 in-lb", "--castle-nut", "M12x1.25", "--clamps").out
    steps = [
        "Begin at the low figure, 50 lbf·in",
        "at most 60 degrees further (0.21 mm along the bolt)",
        "Never go beyond the high figure, 70 lbf·in",
        "Never turn the nut back",
        "new cotter pin 3.2x22",
        "maker's manual",
    ]
    places = [said.index(step) for step in steps]
    assert places == sorted(places)
    bare = tagbench("torque", "20-25 Nm", "--castle-nut", "--json").json["castle_nut"]
    assert (bare["slots"], bare["step_deg"], bare["step_mm"]) == (6, 60, None)
    words = ("--castle-nut", "M12x1.25", "--slots", "8", "--cross-holes", "2", "--json")
    nut = tagbench("torque", "20-25 Nm", *words).json["castle_nut"]
    assert (nut["slots"], nut["cross_holes"], nut["step_deg"]) == (8, 2, 45)
    bearing = tagbench("torque", "20-25 Nm", "--castle-nut", "M16x1.5", "--bearing").out
    assert "Seat it" in bearing
    assert "turn back to the nearest one" in bearing
    assert "Begin at the low figure" not in bearing


def test_what_a_castle_nut_does_is_asked_where_it_is_unclear(tagbench: Tagbench) -> None:
    """By its part where the book knows it; a wheel spindle may be either and gets no procedure."""
    asked = tagbench("torque", "20-25 Nm", "--castle-nut", "M12x1.25").out
    assert "Which is it?" in asked
    assert "--clamps or --bearing" in asked
    assert "Begin at" not in asked
    assert "turn back" not in asked
    cone = tagbench("torque", "20-25 Nm", "--castle-nut", "M12x1.25", "--for", "wheel cone").out
    assert "turn back to the nearest one" in cone
    code = tagbench("strip", "torque arm", "--from", "Rear brake", "--json").json["code"]
    arm = tagbench("torque", "20-25 Nm", "--castle-nut", "M12x1.25", "--part", code).out
    assert "only ever turn on" in arm


def test_a_circle_is_told_in_stages(tagbench: Tagbench) -> None:
    """ASME PCC-1 legacy pattern, from memory: 8 bolts go 1 5 3 7 2 6 4 8."""
    stages = tagbench("torque", "20 Nm", "--bolts", "8", "--json").json["stages"]
    assert [stage["percent"] for stage in stages] == [30, 60, 100, 100]
    assert stages[0]["order"] == [1, 5, 3, 7, 2, 6, 4, 8]
    assert stages[1]["torque"]["low"] == 12
    assert "12 N·m: 1 5 3 7 2 6 4 8" in tagbench("torque", "20 Nm", "--bolts", "8").out


_ESTIMATE = ("torque", "--estimate", "M8", "--grade", "8.8", "--metal", "steel")


def test_an_estimate_is_marked_and_yields(tagbench: Tagbench) -> None:
    """Worked example TQ-16 has 25.5 N·m for M8 class 8.8 with K 0.2; the estimate stays under."""
    example = examples("torque_estimate")["TQ-16"]
    words = (*_ESTIMATE, "--for", "toolbox lid")
    card = tagbench(*words, "--json").json
    assert card["low"] == card["high"] < example["exact"]
    estimate = card["estimate"]
    assert estimate["estimate"] is True
    assert estimate["of_yield_percent"] <= 90.0001
    assert estimate["preload_low_n"] < estimate["preload_n"] < estimate["preload_high_n"]
    said = tagbench(*words, "--in", "lbf·ft").out
    assert said.startswith("ESTIMATE for M8x1.25, 8.8, unknown, into steel")
    assert "yields to the maker's manual" in said
    assert "no range to choose from" in said
    brass = tagbench(*words[:-4], "--metal", "brass", "--engaged", "6mm", "--for", "lid").out
    assert "into brass" in brass


def test_no_estimate_where_a_wrong_one_hurts(tagbench: Tagbench) -> None:
    """By words, by the kind of fastener, and by a part in the book."""
    told = tagbench(*_ESTIMATE, "--for", "front brake anchor")
    assert told.code == 2
    assert "only the maker's figure will do" in told.err
    assert "holds" in tagbench(*_ESTIMATE).err
    assert tagbench(*_ESTIMATE, "--for", "spark plug M14").code == 2
    code = tagbench("strip", "anchor pin", "--from", "Front wheel / Brake", "--json").json["code"]
    assert tagbench(*_ESTIMATE, "--part", code).code == 2
    cover = tagbench("strip", "cover", "--from", "Gearbox", "--json").json["code"]
    assert tagbench(*_ESTIMATE, "--part", cover).code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Give a torque with its unit"),
        (("--castle-nut", "20 Nm"), "Give a torque with its unit"),
        (("25",), "needs a unit"),
        (("43-58",), "needs a unit"),
        (("58-43 lbf·ft",), "from high to low"),
        (("-5 N·m",), "negative"),
        (("-5", "Nm"), "negative"),
        (("0 N·m",), "is not a torque"),
        (("tight",), "not understood"),
        (("5 mm",), "not a unit of torque"),
        (("5 lbf",), "not understood"),
        (("25 N·m", "--in", "mm"), "not a unit of torque"),
        (("25 N·m", "--in", "stones"), "not understood"),
        (("1,250 N·m",), "two ways"),
        (("25 N·m 30 lbf·ft",), "not understood"),
        (("25 N·m", "--extension", "50mm"), "how long the wrench is"),
        (("25 N·m", "--wrench", "300mm", "--extension", "-5mm"), "negative"),
        (("25 N·m", "--wrench", "300mm", "--extension", "300mm", "--angle", "180"), "shorter"),
        (("25 N·m", "--wrench", "300 N·m", "--extension", "5mm"), "not a unit of length"),
        (("25 N·m", "--set-to"), "needs the lever"),
        (("25 N·m", "--scale", "20-100"), "needs a unit"),
        (("25 N·m", "--bolts", "0"), "1 to 200"),
        (("25 N·m", "--bolts", "some"), "takes a whole number"),
        (("25 N·m", "--castle-nut", "banana"), "not a castle nut"),
        (("25 N·m", "--castle-nut", "5 slots"), "even number of slots"),
        (("25 N·m", "--castle-nut", "--slots", "5"), "even number of slots"),
        (("25 N·m", "--castle-nut", "--cross-holes", "0"), "one cross-hole or a few"),
        (("25 N·m", "--bearing"), "go with --castle-nut"),
        (("25 N·m", "--slots", "6"), "go with --castle-nut"),
        (("25 N·m", "--estimate", "M8"), "not both"),
        (("25 N·m", "--grade", "8.8"), "go with --estimate"),
        (("--estimate", "M8", "--for", "lid"), "screwed into"),
        (("--estimate", "M8", "--metal", "steel"), "what the fastener holds"),
        (("--estimate", "M8", "--for", "lid", "--metal", "steel", "--grade", "99"), "No strength"),
        (
            ("--estimate", "M8", "--for", "lid", "--metal", "steel", "--friction", "jam"),
            "not known",
        ),
        (("--estimate", "5mm", "--grade", "8.8"), "not a thread"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(
    tagbench: Tagbench, words: tuple[str, ...], says: str
) -> None:
    """On stderr, nothing on stdout."""
    told = tagbench("torque", *words)
    assert (told.code, told.out) == (2, "")
    assert says in told.err
    assert len(told.err.strip().splitlines()) == 1


def test_stages_of_a_line_and_of_an_odd_cover(tagbench: Tagbench) -> None:
    """From the middle outwards, or by the positions of the holes."""
    words = ("torque", "9 Nm", "--bolts", "5", "--pattern", "line", "--json")
    assert tagbench(*words).json["stages"][0]["order"][0] == 3
    holes = [word for at in ("0 0", "40 -5", "80 0", "60 70") for word in ("--hole", at)]
    odd = tagbench("torque", "9 Nm", *holes, "--json").json["stages"]
    assert sorted(odd[0]["order"]) == [1, 2, 3, 4]
    assert tagbench("torque", "9 Nm", "--hole", "left").code == 2
    assert tagbench("torque", "9 Nm", "--bolts", "3", "--hole", "0 0").code == 2
