"""Fasteners measured from rendered pictures, against what was laid."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from tagbench.measure.lay.groups import figures_words, not_measured
from tagbench.measure.lay.laid import (
    CRESTS_LOST,
    LENGTH_LOST,
    MeasuredPiece,
    Unclear,
    fits_a_thread,
    named_screw,
    passed_over,
    thread_candidates,
)
from tagbench.measure.lay.screw import SHADOWED, TIP_LOST, Screw
from tagbench.measure.lay.standard_sizes import standard_washer
from tagbench.measure.lay.thread_profile import ThreadProfile
from tests.commands.conftest import Tagbench, folder, tagbench

__all__ = ["folder", "tagbench"]  # fixtures of the commands


def test_laid_fasteners_are_counted_measured_and_named(
    tagbench: Tagbench, laid_picture: Path
) -> None:
    """Count exact, lengths within 0.4 mm, diameters within 0.15 mm, pitches by name."""
    said = tagbench("lay", str(laid_picture), "--json")
    assert said.code == 0, said.err
    pieces = said.json["pieces"]
    assert len(pieces) == 6
    assert said.json["unclear"] == []
    screws = sorted(
        (piece for piece in pieces if piece["length_mm"]), key=lambda piece: piece["length_mm"]
    )
    for piece, (length, diameter, pitch) in zip(
        screws, ((25, 5.9, 1.0), (40, 7.88, 1.25), (50, 5.9, 1.0)), strict=True
    ):
        assert abs(piece["length_mm"] - length) < 0.4
        assert abs(piece["diameter_mm"] - diameter) < 0.15
        assert abs(piece["pitch_mm"] / pitch - 1) < 0.03
    names = {piece["name"] for piece in pieces}
    assert names == {
        "M6x1x25 hex", "M6x1x50 hex", "M8x1.25x40 stud", "washer 6.4x12", "washer 8.4x16",
        "nut M6x1",
    }  # fmt: skip
    for piece in pieces:
        if piece["kind"] == "washer":
            inside, outside = (6.4, 12) if piece["outside_mm"] < 14 else (8.4, 16)
            assert abs(piece["inside_mm"] - inside) < 0.15
            assert abs(piece["outside_mm"] - outside) < 0.15
        if piece["kind"] == "nut":
            assert abs(piece["across_flats_mm"] - 10) < 0.15


def test_what_is_not_measured_is_found_from_a_corner_that_is_named() -> None:
    """Of the mat's plain middle or of the scan; pieces with one reason stand together."""
    told = not_measured(
        [
            Unclear(27, 36, "cut off", "the mat's plain middle"),
            Unclear(1, 2, "cut off", "the mat's plain middle"),
        ]
    )
    assert told == [
        "2 not measured, at 27, 36; 1, 2 mm from the lower left of the mat's plain middle: cut off"
    ]


def test_a_diameter_that_a_shadow_widened_fits_no_thread_of_the_pitch() -> None:
    """6.26 mm at 1 mm a turn is no M6 and no 1/4 in, whose 26 threads are 25.4 / 26 = 0.977 mm."""
    assert fits_a_thread(1.0, thread_candidates(5.9, 1.0, 0.1))
    assert not fits_a_thread(1.007, thread_candidates(6.26, 1.007, 0.1))
    assert fits_a_thread(25.4 / 26, thread_candidates(6.26, 25.4 / 26, 0.1))


def test_a_seldom_thread_is_not_told_where_an_everyday_one_is_near() -> None:
    """M9 and M11 are third choice, M3.5 second choice (ISO 261, table of selected diameters; from
    memory). 8.9 mm may be an M8 or M10 whose edge a shadow moved; an M4 of 4.14 mm is no #8."""
    for across, pitch in ((8.9, 1.25), (8.9, None), (10.9, 1.5), (4.14, 0.7)):
        assert passed_over(across, pitch, 0.15, thread_candidates(across, pitch, 0.15))
    for across, pitch in ((5.9, 1.0), (7.88, 1.25), (3.45, 0.6), (4.7, 0.81)):
        assert not passed_over(across, pitch, 0.15, thread_candidates(across, pitch, 0.15))


def a_screw(**told: Any) -> Screw:
    """An M6 x 25 as it is measured well: pitch read from many turns."""
    thread = ThreadProfile(1.0, 0.005, 1.0, 0.12, (2.0, 24.0))
    well = Screw(25.1, 5.9, "hex", 11.5, 4.0, thread, 0.05, 0.18)
    return replace(well, **told)


def test_a_diameter_is_not_told_where_an_edge_is_lost() -> None:
    """The thread is still named by its pitch; without a pitch the piece is pointed out."""
    lost = named_screw(a_screw(trouble=SHADOWED, diameter=6.2, diameter_doubt=0.67), (0, 0))
    assert isinstance(lost, MeasuredPiece)
    assert (lost.diameter, lost.name) == (None, "M6x1x25 hex")
    assert "diameter is not readable" in lost.note
    assert "diameter not readable" in figures_words([lost])
    unread = replace(a_screw().thread, pitch=None)
    said = named_screw(a_screw(trouble=SHADOWED, diameter_doubt=0.67, thread=unread), (0, 0))
    assert isinstance(said, str)
    assert "diameter is not readable" in said


def test_a_diameter_outside_its_threads_limits_is_not_told() -> None:
    """M6 x 1 of class 6g is 5.794 to 5.974 mm thick (ISO 965-1, from memory): what is thinner lost
    its crests to wear or to shine, what is much thicker has a shadow."""
    for diameter, told in ((5.7, False), (5.8, True), (6.05, True), (6.12, False)):
        piece = named_screw(a_screw(diameter=diameter), (0, 0))
        assert isinstance(piece, MeasuredPiece)
        assert (piece.diameter is not None, piece.name) == (told, "M6x1x25 hex")
        assert (CRESTS_LOST in piece.note) != told


def test_a_length_is_not_told_where_both_sides_and_tip_are_doubted() -> None:
    """Either by itself is told with what it may be off."""
    assert isinstance(named_screw(a_screw(tip_doubted=True), (0, 0)), MeasuredPiece)
    both = a_screw(tip_doubted=True, trouble=SHADOWED, diameter_doubt=0.67)
    assert named_screw(both, (0, 0)) == TIP_LOST


def test_a_length_that_cannot_be_promised_is_pointed_out() -> None:
    """Above 0.8 mm no length is told; a sure one is."""
    sure = named_screw(a_screw(), (0, 0))
    assert isinstance(sure, MeasuredPiece)
    assert (sure.length, sure.diameter, sure.name) == (25.1, 5.9, "M6x1x25 hex")
    assert named_screw(a_screw(length_doubt=0.45), (0, 0)) == LENGTH_LOST


def test_a_washer_is_named_within_what_its_figures_may_be_off() -> None:
    """6.7 and 11.6 mm within 0.4 mm are the 6.4 x 12 of ISO 7089 (from memory); not within less."""
    assert standard_washer(6.8, 11.6, 0.41) == (6.4, 12)
    assert standard_washer(6.8, 11.6) is None


def test_it_says_that_it_was_tried_on_rendered_pictures_only(
    tagbench: Tagbench, laid_picture: Path
) -> None:
    """Beside every result: check one with the caliper."""
    said = tagbench("lay", str(laid_picture))
    assert "rendered pictures only" in said.out
    assert "caliper" in said.out
