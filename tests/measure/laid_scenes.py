"""Scenes of fasteners laid at random, with what is known of each, and how far a reading is off.

Sizes of heads, nuts and washers: ISO 4017, 4762, 7045, 7046, 1207, 4032 and 7089, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.measure.pieces import Screw, lay_nut, lay_screw, lay_washer
from tests.measure.scene import Scene, Shot, Slice

HEADS: dict[str, dict[int, tuple[float, float]]] = {
    "hex": {4: (7, 2.8), 5: (8, 3.5), 6: (10, 4), 8: (13, 5.3), 10: (16, 6.4)},
    "socket": {4: (7, 4), 5: (8.5, 5), 6: (10, 6), 8: (13, 8)},
    "pan": {4: (8, 3.1), 5: (9.5, 3.7), 6: (12, 4.6)},
    "countersunk": {4: (8, 2.25), 5: (9.2, 2.35), 6: (11.2, 2.85), 8: (15.6, 4.05)},
    "": {4: (0, 0), 5: (0, 0), 6: (0, 0), 8: (0, 0), 10: (0, 0)},
}
"""Across flats or diameter, and height, by thread."""
PITCHES = {4: 0.7, 5: 0.8, 6: 1.0, 8: 1.25, 10: 1.5}
_LENGTHS = (12, 16, 20, 25, 30, 35, 40, 50)
WASHERS = ((4.3, 9, 0.8), (5.3, 10, 1.0), (6.4, 12, 1.6), (8.4, 16, 1.6), (10.5, 20, 2.0))
NUTS = {4: (7, 3.2), 5: (8, 4.7), 6: (10, 5.2), 8: (13, 6.8), 10: (16, 8.4)}


@dataclass(frozen=True)
class Known:
    """One piece as it was laid, mm on the page."""

    kind: str
    at: tuple[float, float]
    screw: Screw | None = None
    inside: float = 0.0
    outside: float = 0.0
    """Outside diameter of a washer, width across flats of a nut."""


def laid_scene(
    rng: np.random.Generator, paper: str = "a4", kinds: tuple[str, ...] = (), count: int = 9,
    *, flat: bool = False,
) -> tuple[Scene, list[Known]]:  # fmt: skip
    """Screws of every head, studs, washers and nuts in the fields of a grid, turned at random;
    `flat` lays their axes level."""
    known: list[Known] = []
    slices: list[Slice] = []
    width, height = (210.0, 297.0) if paper == "a4" else (215.9, 279.4)
    cells = [(x, y) for y in (-66, 0, 66) for x in (-48, 0, 48)]
    every = kinds or ("hex", "hex", "socket", "pan", "countersunk", "", "washer", "nut", "washer")
    for number, cell in enumerate(rng.permutation(cells)[:count]):
        kind = every[number % len(every)]
        at = (width / 2 + cell[0] + rng.uniform(-2, 2), height / 2 + cell[1] + rng.uniform(-4, 4))
        base, shine = _look(rng)
        turn = rng.uniform(0, 360)
        if kind == "washer":
            inside, outside, thick = WASHERS[rng.integers(len(WASHERS))]
            slices += lay_washer(at, inside, outside, thick, number, base)
            known.append(Known("washer", at, None, inside, outside))
        elif kind == "nut":
            size = int(rng.choice(list(NUTS)))
            slices += lay_nut(at, NUTS[size][0], size * 0.85, NUTS[size][1], turn, number, base)
            known.append(Known("nut", at, None, size * 0.85, NUTS[size][0]))
        else:
            size = int(rng.choice(list(HEADS[kind])))
            wide, high = HEADS[kind][size]
            # rolled screws are a little under their name (ISO 965-1, 6g)
            across = size - 0.026 - 0.09 * PITCHES[size] * rng.uniform(0.2, 1.2)
            lengths = [length for length in _LENGTHS if length >= 2.4 * size]
            length = float(rng.choice(lengths[:6]))
            threaded = 1e9 if rng.random() < 0.6 else max(0.55 * length, 2 * size)
            screw = Screw(across, PITCHES[size], length, kind, wide, high, threaded)
            # what is turned across the narrow way needs a field of its own
            reach = 28 if abs(np.cos(np.radians(turn))) > 0.6 else 60
            if length + high > 1.6 * reach:
                turn = 90 + rng.uniform(-20, 20)
            slices += lay_screw(screw, at, turn, number, shine, base, flat)
            known.append(Known("screw" if kind else "stud", at, screw))
    return Scene("letter" if paper == "letter" else "a4", [], slices), known


def _look(rng: np.random.Generator) -> tuple[float, float]:
    """How light a piece is and how much it shines: blackened, zinc, bright, stainless."""
    looks = ((0.06, 0.15), (0.12, 0.4), (0.22, 0.6), (0.32, 0.75), (0.4, 0.3))
    return looks[rng.integers(len(looks))]


def laid_shot(rng: np.random.Generator, slant: float, megapixels: float = 8) -> Shot:
    """A photograph of it: any side, any light."""
    high = round(np.sqrt(megapixels * 1e6 * 0.75) / 4) * 4
    return Shot(
        size=(round(high * 4 / 3), high), slant=slant, azimuth=rng.uniform(0, 360),
        roll=rng.uniform(-20, 20), focal=rng.uniform(0.72, 0.95), blur=rng.uniform(0.7, 1.2),
        distortion=rng.uniform(-0.05, 0.03), uneven=rng.uniform(0.1, 0.4),
        shadow=rng.uniform(0, 0.4), quality=int(rng.integers(75, 95)), stains=4,
        seed=int(rng.integers(1 << 30)),
    )  # fmt: skip
