"""How a thread is seen from the side: crests hide roots, the more the farther along it one looks.

Seen straight across, a thread's edge runs from its crests to its roots. Seen at a slant along the
axis, the rays that pass a root are caught by the crest before it or behind it, so the edge lies
nearer to the crests. What the mean of the edge is under the crests follows from the profile.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

CREST_FLAT, DEPTH = 1 / 8, 0.6134
"""Flat at the crest and depth of an external thread, in pitches (ISO 68-1; a flat root of P/4)."""
_TURN_STEPS, _ALONG_STEPS = 121, 48
_STEEPEST = 70.0


def under_crests(diameter: float, pitch: float, slant_deg: float) -> float:
    """How far the mean of a thread's edge lies under its crests, mm, on one side.

    `slant_deg` is the angle between the line of sight and what is square to the axis.
    """
    slant = round(min(abs(slant_deg), _STEEPEST))
    return pitch * _share(round(diameter / pitch * 4) / 4, slant)


@lru_cache(maxsize=512)
def _share(diameters: float, slant_deg: int) -> float:
    """The same in pitches, of a thread so many pitches thick."""
    crest = diameters / 2
    turn = np.linspace(-np.radians(75), np.radians(75), _TURN_STEPS)[None]
    along = (np.arange(_ALONG_STEPS) / _ALONG_STEPS)[:, None]
    under = []
    # the helix climbs with the line of sight on one side and against it on the other
    for side in (1.0, -1.0):
        radius = np.full((_ALONG_STEPS, _TURN_STEPS), crest)
        # the place along the axis that a ray meets depends on the radius there: settled by turns
        for _ in range(12):
            slid = radius * np.sin(turn) * np.tan(np.radians(slant_deg))
            place = along - slid - side * turn / (2 * np.pi)
            off = np.abs((place % 1.0) - 0.5)
            new = crest - np.clip((off - CREST_FLAT / 2) * np.sqrt(3), 0, DEPTH)
            radius = (radius + new) / 2
        under.append(crest - (radius * np.cos(turn)).max(axis=1).mean())
    return float(np.mean(under))
