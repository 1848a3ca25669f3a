"""The two sides of a machine, in the languages of the bench."""

from __future__ import annotations

#: Where one of them stands, the other may begin a further sort: 2 front, rear.
OPPOSITES = (
    ("front", "rear"), ("left", "right"), ("top", "bottom"), ("upper", "lower"),
    ("inner", "outer"), ("lh", "rh"), ("lhs", "rhs"), ("n/s", "o/s"), ("ns", "os"),
    ("nearside", "offside"), ("links", "rechts"), ("oben", "unten"), ("gauche", "droite"),
    ("avant", "arriere"), ("izquierda", "derecha"), ("sinistra", "destra"),
)  # fmt: skip
#: Sides; which of several pieces as often as where all of them were.
SIDES = frozenset(side for pair in OPPOSITES for side in pair)
