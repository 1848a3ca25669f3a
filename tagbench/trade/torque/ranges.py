"""Torque ranges in any unit, and the wrench setting that gives them."""

from __future__ import annotations

import msgspec

from tagbench.records import Torque
from tagbench.trade.quantities.units import Range, exact
from tagbench.trade.torque.wrench import Lever, wrench_setting


class TorqueCard(msgspec.Struct, frozen=True):
    """A torque as it is wanted and as the wrench is set; the fields are the JSON keys."""

    low: float
    """Low figure at the fastener, in `unit`."""
    high: float
    """High figure at the fastener, in `unit`."""
    unit: str
    """The unit of all figures."""
    wrench_setting_low: float
    """What the wrench is set to for the low figure, in `unit`."""
    wrench_setting_high: float
    """What the wrench is set to for the high figure, in `unit`."""
    typed: str
    """The range as it was typed."""


def torque_card(wanted: Range, unit: str = "", lever: Lever | None = None) -> TorqueCard:
    """The card of a wanted range in `unit` (its own when none is named), set with an extension.

    Without a lever the wrench is set to the wanted figures. BadInput for an unknown unit or a
    lever that cannot turn anything.
    """
    shown = wanted.to(unit or wanted.unit)
    setting = wrench_setting(shown, lever) if lever else shown
    return TorqueCard(
        low=float(shown.low),
        high=float(shown.high),
        unit=shown.unit,
        wrench_setting_low=float(setting.low),
        wrench_setting_high=float(setting.high),
        typed=wanted.typed,
    )


def as_range(torque: Torque) -> Range:
    """The torque of a record as a range, for converting and showing."""
    return Range(exact(torque.low), exact(torque.high), torque.unit, torque.typed)
