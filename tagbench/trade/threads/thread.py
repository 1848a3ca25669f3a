"""What a screw thread is, and the limits it is made to."""

from __future__ import annotations

from typing import Literal

import msgspec

System = Literal["ISO metric", "unified", "Whitworth", "cycle", "BA", "BSP", "NPT"]

#: Flank angle in degrees by system: ISO 68-1, ASME B1.1, BS 84, BS 811, BS 93, ISO 228-1, B1.20.1.
ANGLES: dict[System, float] = {
    "ISO metric": 60.0,
    "unified": 60.0,
    "Whitworth": 55.0,
    "cycle": 60.0,
    "BA": 47.5,
    "BSP": 55.0,
    "NPT": 60.0,
}


class Thread(msgspec.Struct, frozen=True):
    """A thread by its standard designation; every other dimension follows from these."""

    designation: str
    """Standard spelling: `M5x0.8`, `1/4-20 UNC`, `#10-32 UNF`, `1/4 BSW`, `1/4-26 BSC`, `2BA`."""
    system: System
    """The family of standards that sets its form."""
    series: str
    """coarse, fine, old, UNC, UNF, UNEF, UNS, BSW, BSF, BSC, spoke, BA, G, R, Rp, Rc or NPT; empty
    when not in the tables."""
    diameter_mm: float
    """Nominal outside diameter, mm."""
    pitch_mm: float
    """Distance from crest to crest, mm."""
    common: int = 3
    """1 everyday, 2 now and then, 3 seldom."""
    left_hand: bool = False
    """True for a left-hand thread."""

    @property
    def angle_deg(self) -> float:
        """Flank angle, degrees."""
        return ANGLES[self.system]

    @property
    def threads_per_inch(self) -> float:
        """Threads in 25.4 mm."""
        return 25.4 / self.pitch_mm


class ThreadLimits(msgspec.Struct, frozen=True):
    """The ordinary workshop fit of a thread: all diameters in mm, areas in mm²."""

    screw_class: str
    """Class of the screw: 6g, 2A, medium, normal."""
    hole_class: str
    """Class of the hole: 6H, 2B, medium, normal."""
    major_max: float
    """Largest outside diameter of the screw."""
    major_min: float
    """Smallest outside diameter of a new screw."""
    pitch_max: float
    """Largest pitch (effective) diameter of the screw."""
    pitch_min: float
    """Smallest pitch diameter of the screw."""
    hole_minor_min: float
    """Smallest inside diameter of the hole."""
    hole_minor_max: float
    """Largest inside diameter of the hole."""
    hole_pitch_min: float
    """Basic pitch diameter, the smallest of the hole."""
    hole_pitch_max: float
    """Largest pitch diameter of the hole."""
    stress_area: float
    """Tensile stress area of the screw, mm²."""
