"""What a hand-cut gasket takes, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.trade.gasket import GasketCut, GasketPlan


def gasket_lines(plan: GasketPlan) -> Iterator[str]:
    """The sheet, the punches for each kind of hole, what to do and to mind."""
    size = f"{plan.sheet_width_mm:g} x {plan.sheet_height_mm:g} mm"
    yield f"{plan.material}, {plan.thickness_mm:g} mm: sheet {size} ({plan.sheet_area_cm2:.3g} cm²)"
    yield from (f"  {cut_words(cut)}" for cut in plan.cuts)
    yield from plan.sentences


def cut_words(cut: GasketCut) -> str:
    """`4 holes 6.6 mm for M6x1: punch 7 mm, transfer punch 6.5 mm`."""
    holes = f"{cut.quantity} hole{'s' * (cut.quantity > 1)} {cut.punches.hole}"
    bolt = f" for {cut.bolt}" if cut.bolt else ""
    mark = f", mark with {_transfer(cut.punches.transfer_punch)}" if cut.bolt else ""
    return f"{holes}{bolt}: punch {cut.punches.punch}{mark}"


def _transfer(punch: str) -> str:
    return punch if punch.startswith("a ") else f"transfer punch {punch}"
