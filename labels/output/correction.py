"""How a printer is off, measured on the ruler page, and what is done about it."""

from dataclasses import dataclass

from labels.errors import StockError
from labels.stock.geometry import Box
from labels.stock.sheet import Stroke

RULER_INSET_MM = 20.0
"""How far in from each edge of the paper the measuring lines of the ruler page are meant to be."""
MOST_SHIFT_MM, MOST_STRETCH = 10.0, 0.05


@dataclass(frozen=True, slots=True)
class Correction:
    """What is done to every position before printing: `scale × position + shift`, in mm."""

    shift_x: float = 0.0
    shift_y: float = 0.0
    scale_x: float = 1.0
    scale_y: float = 1.0

    def box(self, box: Box) -> Box:
        return Box(
            self.shift_x + self.scale_x * box.x,
            self.shift_y + self.scale_y * box.y,
            self.scale_x * box.width,
            self.scale_y * box.height,
        )

    def stroke(self, stroke: Stroke) -> Stroke:
        return Stroke(
            self.shift_x + self.scale_x * stroke.x1,
            self.shift_y + self.scale_y * stroke.y1,
            self.shift_x + self.scale_x * stroke.x2,
            self.shift_y + self.scale_y * stroke.y2,
            stroke.thick,
        )


NONE = Correction()


def ruler_inset(page_width: float, page_height: float) -> float:
    """How far in from each edge the measuring lines of the ruler page are meant to be, in mm:
    20, less on a small label."""
    return min(RULER_INSET_MM, min(page_width, page_height) / 4)


def correction_from_ruler(
    page_width: float, page_height: float, *, left: float, across: float, top: float, down: float
) -> Correction:
    """The correction for a printer, from four lengths measured on its ruler page, in mm.

    `left` is from the paper's left edge to the left line and `across` from the left line to the
    right line; `top` and `down` are the same from the top edge. On a perfect printer `left` and
    `top` are 20 mm and the others the page less 40 mm. Raises `StockError` for lengths so far
    off that they are more likely to be mistaken.
    """
    inset = ruler_inset(page_width, page_height)
    scale_x, shift_x = _along(page_width, inset, left, across, "left", "across")
    scale_y, shift_y = _along(page_height, inset, top, down, "top", "down")
    return Correction(shift_x, shift_y, scale_x, scale_y)


def _along(
    page: float, inset: float, edge: float, span: float, edge_name: str, span_name: str
) -> tuple[float, float]:
    """Scale and shift along one side of the page."""
    meant = page - 2 * inset
    if not (1 - MOST_STRETCH) * meant <= span <= (1 + MOST_STRETCH) * meant:
        raise StockError(
            f"“{span_name}” was measured as {span:g} mm and is meant to be {meant:g} mm; "
            "print at 100 %, without “fit to page”, and measure again."
        )
    stretch = span / meant
    moved = edge - stretch * inset
    if abs(moved) > MOST_SHIFT_MM:
        raise StockError(
            f"“{edge_name}” was measured as {edge:g} mm and is meant to be {inset:g} mm; "
            "measure from the edge of the paper to the line."
        )
    return 1 / stretch, -moved / stretch
