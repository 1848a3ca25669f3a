"""Tension and torsion in a screw that is being tightened, and the thread that may strip.

Formulas of VDI 2230-1 (section 5.4.3 and 5.5, from memory): with friction mu in the thread and
under the head, preload F, pitch P, pitch diameter d2, flank angle a and mean bearing diameter Dk

    thread torque  MG = F (P / 2 pi + mu d2 / (2 cos(a/2)))        N·mm
    torque         T  = MG + F mu Dk / 2                           N·mm
    tension        s  = F / As,    torsion  t = 16 MG / (pi d0^3), d0 = (4 As / pi)^(1/2)
    together       sv = (s^2 + 3 t^2)^(1/2)                        (von Mises)
"""

from __future__ import annotations

from math import cos, pi, radians, sqrt

from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.thread import Thread

BEARING = 1.25
"""Mean bearing diameter of a head in thread diameters: (dw + dh) / 2 of ISO 4014 heads over ISO 273
medium holes is 1.24 to 1.33 for M3 to M24; a small one is on the safe side."""
_SHEARED = 0.75
"""Share of the cylinder at the major diameter that the internal thread shears through; a tapped
hole at its widest (6H) keeps 0.75 or more by the formula of FED-STD-H28/2B, from memory."""


def thread_arm(thread: Thread, friction: float) -> float:
    """Torque in the thread per newton of preload, mm (N·mm / N)."""
    pitch_diameter = limits_of(thread).hole_pitch_min
    slope = friction * pitch_diameter / (2 * cos(radians(thread.angle_deg / 2)))
    return thread.pitch_mm / (2 * pi) + slope


def torque_arm(thread: Thread, friction: float) -> float:
    """Whole torque per newton of preload, mm (N·mm / N)."""
    return thread_arm(thread, friction) + friction * BEARING * thread.diameter_mm / 2


def stress_per_newton(thread: Thread, friction: float) -> float:
    """Von Mises stress per newton of preload while the screw is turned, MPa / N."""
    area = limits_of(thread).stress_area
    core = sqrt(4 * area / pi)
    torsion = 16 * thread_arm(thread, friction) / (pi * core**3)
    return sqrt((1 / area) ** 2 + 3 * torsion**2)


def strip_load(thread: Thread, shear_mpa: float, engaged_mm: float) -> float:
    """The load that strips the tapped hole over `engaged_mm` of thread, N."""
    return shear_mpa * pi * thread.diameter_mm * _SHEARED * engaged_mm
