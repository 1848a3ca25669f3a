"""The drawn pictures of the demo."""

from __future__ import annotations

from math import hypot, isclose
from pathlib import Path

import pytest
from PIL import Image, ImageStat

from demo.drawings import PICTURES, save_picture
from demo.drawings.chain_drive import FRONT, PITCH, REAR, TEETH, chain_pins, pitch_radius
from demo.drawings.crankcase_cover import SCREWS
from demo.drawings.front_brake import SCREW_CLOCKS
from demo.drawings.paper import around
from demo.parts import fastener_lines
from demo.story import story


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_of_photo_size_and_small_on_disk(name: str, tmp_path: Path) -> None:
    path = save_picture(name, tmp_path)
    with Image.open(path) as picture:
        assert picture.size == (1200, 900)
        assert min(ImageStat.Stat(picture.convert("L")).stddev) > 20
    assert path.stat().st_size < 300_000


def test_every_picture_is_on_a_part_and_every_part_names_a_known_one() -> None:
    assert {name for _, note in story().parts() for name in note.photos} == set(PICTURES)


def test_a_clock_position_is_where_it_is_on_a_clock() -> None:
    for clock, point in ((12, (0, -10)), (3, (10, 0)), (6, (0, 10)), (9, (-10, 0))):
        assert around((0, 0), 10, clock) == pytest.approx(point)


def test_the_cover_shows_the_screws_that_the_part_has() -> None:
    note = next(note for _, note in story().parts() if note.key == "crankcase-cover")
    lines = [line for told in note.fasteners for line in fastener_lines(told)]
    drawn = {length: list(SCREWS.values()).count(length) for length in SCREWS.values()}
    assert {line.length: line.quantity for line in lines} == drawn


def test_the_brake_shows_as_many_screws_as_the_bag_holds() -> None:
    note = next(note for _, note in story().parts() if note.key == "plate-screws")
    (line,) = (line for told in note.fasteners for line in fastener_lines(told))
    assert line.quantity == len(SCREW_CLOCKS)
    assert all(f"{clock}" in line.place for clock in SCREW_CLOCKS)


def test_the_pitch_radius_puts_neighbouring_teeth_one_pitch_apart() -> None:
    """Chord between two teeth of a regular polygon; elementary geometry, no source needed."""
    for teeth in TEETH:
        one, other = (around((0, 0), pitch_radius(teeth), 12 * t / teeth) for t in (0, 1))
        assert isclose(hypot(one[0] - other[0], one[1] - other[1]), PITCH)


def test_the_drawn_chain_closes_with_an_even_number_of_links_of_one_length() -> None:
    pins = chain_pins()
    gaps = [
        hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(pins, [*pins[1:], pins[0]], strict=True)
    ]
    assert len(pins) % 2 == 0
    assert max(gaps) - min(gaps) < 1
    assert isclose(sum(gaps) / len(gaps), PITCH, rel_tol=0.03)
    for pin in pins:
        assert hypot(pin[0] - FRONT[0], pin[1] - FRONT[1]) > pitch_radius(TEETH[0]) - 1
        assert hypot(pin[0] - REAR[0], pin[1] - REAR[1]) > pitch_radius(TEETH[1]) - 1
