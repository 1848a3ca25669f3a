"""Label stock, described by its geometry: how large the page is and where the labels lie on it."""

from dataclasses import dataclass, field
from math import isfinite
from typing import Literal

from labels.errors import StockError

StockKind = Literal["sheet", "roll", "card"]
LEAST_DPI, MOST_DPI = 100, 4800
"""Dots per inch that printers have; outside of them a figure is mistyped."""
SLACK_MM = 0.05
"""What a sum may be over the page for being rounded in the stock's description."""


@dataclass(frozen=True, slots=True)
class PunchedHole:
    """A punched hole: its centre from the label's left and top edge, and its diameter, in mm."""

    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in mm, from the left and top edge of whatever it lies on."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Insets:
    """Four distances in mm, measured inwards from the edges."""

    left: float = 0.0
    top: float = 0.0
    right: float = 0.0
    bottom: float = 0.0


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of label stock. All lengths in mm; raises `StockError` if it does not close."""

    name: str
    kind: StockKind
    page_width: float
    page_height: float
    label_width: float
    label_height: float
    dots_per_mm: float
    columns: int = 1
    rows: int = 1
    margin_left: float = 0.0
    margin_top: float = 0.0
    pitch_x: float = 0.0
    pitch_y: float = 0.0
    unprintable: Insets = field(default_factory=Insets)
    hole: PunchedHole | None = None

    def __post_init__(self) -> None:
        check_closes(self)

    @property
    def labels_per_page(self) -> int:
        return self.columns * self.rows

    @property
    def dots_per_inch(self) -> float:
        return self.dots_per_mm * 25.4

    @property
    def label_dots(self) -> tuple[int, int]:
        """Width and height of one label in whole printer dots, never over its true size."""
        return self.dots(self.label_width), self.dots(self.label_height)

    @property
    def page_dots(self) -> tuple[int, int]:
        """Width and height of the page in printer dots, rounded."""
        return round(self.page_width * self.dots_per_mm), round(self.page_height * self.dots_per_mm)

    def dots(self, millimetres: float) -> int:
        """Whole dots within a length; a hair short of a dot counts as that dot."""
        return int(millimetres * self.dots_per_mm + 1e-6)

    def place(self, number: int) -> Box:
        """Where label `number` lies on its page; labels are counted from 1, along the rows."""
        row, column = divmod((number - 1) % self.labels_per_page, self.columns)
        return Box(
            self.margin_left + column * self.pitch_x,
            self.margin_top + row * self.pitch_y,
            self.label_width,
            self.label_height,
        )

    @property
    def keep_clear(self) -> Insets:
        """The edge of every label that stays blank, because on some label no printer reaches it.

        It is the same for all labels of the page, so that all tags look alike.
        """
        first, last = self.place(1), self.place(self.labels_per_page)
        edge = self.unprintable
        return Insets(
            max(0.0, edge.left - first.x),
            max(0.0, edge.top - first.y),
            max(0.0, last.right - (self.page_width - edge.right)),
            max(0.0, last.bottom - (self.page_height - edge.bottom)),
        )


def check_closes(stock: Stock) -> None:
    """Refuse geometry that runs off its page or over its neighbour, with the sum that shows it."""
    _check_numbers(stock)
    lengths = (stock.page_width, stock.page_height, stock.label_width, stock.label_height)
    if min(*lengths, stock.dots_per_mm, stock.columns, stock.rows) <= 0:
        raise StockError(f"Stock {stock.name}: sizes, counts and dots must be above zero.")
    _check_dots(stock)
    _check_edges(stock)
    _check_run(
        stock.name, "wide", "columns", stock.columns, stock.margin_left, stock.pitch_x,
        stock.label_width, stock.page_width,
    )  # fmt: skip
    _check_run(
        stock.name, "high", "rows", stock.rows, stock.margin_top, stock.pitch_y,
        stock.label_height, stock.page_height,
    )  # fmt: skip
    if stock.hole:
        _check_hole(stock, stock.hole)


def _check_numbers(stock: Stock) -> None:
    """Every figure must be a number: TOML allows `nan` and `inf`, and no sum with them closes."""
    hole, edge = stock.hole, stock.unprintable
    figures = {
        "page": (stock.page_width, stock.page_height),
        "label": (stock.label_width, stock.label_height),
        "dots": (stock.dots_per_mm,),
        "margin": (stock.margin_left, stock.margin_top),
        "pitch": (stock.pitch_x, stock.pitch_y),
        "unprintable": (edge.left, edge.top, edge.right, edge.bottom),
        "hole": (hole.x_mm, hole.y_mm, hole.diameter_mm) if hole else (),
    }
    for name, values in figures.items():
        for value in values:
            if not isfinite(value):
                raise StockError(f"Stock {stock.name}: {name} has {value}, which is not a length.")


def _check_dots(stock: Stock) -> None:
    inch = stock.dots_per_inch
    if LEAST_DPI <= inch <= MOST_DPI:
        return
    meant = stock.dots_per_mm
    advice = (
        f"; {meant:g} is more likely dots_per_inch"
        if LEAST_DPI <= meant <= MOST_DPI
        else f"; {inch:g} is more likely dots_per_mm"
        if LEAST_DPI <= inch * 25.4 <= MOST_DPI
        else ""
    )
    raise StockError(
        f"Stock {stock.name}: {meant:g} dots a mm × 25.4 = {inch:g} dots per inch, and printers "
        f"have {LEAST_DPI} to {MOST_DPI}{advice}."
    )


def _check_edges(stock: Stock) -> None:
    """Margins and unprintable edges are lengths inwards, and something must be left between."""
    for side, value, label, page in (
        ("left", stock.margin_left, stock.label_width, stock.page_width),
        ("top", stock.margin_top, stock.label_height, stock.page_height),
    ):
        if value < 0:
            raise StockError(
                f"Stock {stock.name}: a margin cannot be below zero: with {value:g} mm at the "
                f"{side} the first label would lie from {value:g} to {value:g} + {label:g} = "
                f"{value + label:g} mm of a page from 0 to {page:g} mm."
            )
    edge = stock.unprintable
    if min(edge.left, edge.top, edge.right, edge.bottom) < 0:
        least = min(edge.left, edge.top, edge.right, edge.bottom)
        raise StockError(
            f"Stock {stock.name}: an unprintable edge is measured inwards and cannot be "
            f"{least:g} mm; write 0 where the printer reaches the edge."
        )
    for way, first, last, page in (
        ("wide", edge.left, edge.right, stock.page_width),
        ("high", edge.top, edge.bottom, stock.page_height),
    ):
        if first + last >= page:
            raise StockError(
                f"Stock {stock.name}: the unprintable edges leave nothing: {first:g} + {last:g} = "
                f"{first + last:g} mm, and the page is {page:g} mm {way}."
            )
    for name, pitch, count in (
        ("across", stock.pitch_x, stock.columns),
        ("down", stock.pitch_y, stock.rows),
    ):
        if count > 1 and pitch <= 0:
            raise StockError(
                f"Stock {stock.name}: the pitch {name} is {pitch:g} mm; it is the way from one "
                "label's edge to the same edge of the next, and above zero."
            )


def _check_hole(stock: Stock, hole: PunchedHole) -> None:
    """The hole, at whatever edge, lies on the label whole."""
    if hole.diameter_mm <= 0:
        raise StockError(
            f"Stock {stock.name}: a hole of {hole.diameter_mm:g} mm across is none; leave it out."
        )
    half = hole.diameter_mm / 2
    for way, at, label in (
        ("left", hole.x_mm, stock.label_width),
        ("top", hole.y_mm, stock.label_height),
    ):
        if at - half < 0 or at + half > label:
            raise StockError(
                f"Stock {stock.name}: the hole does not lie within the label: {at:g} ± "
                f"{hole.diameter_mm:g} / 2 is {at - half:g} to {at + half:g} mm from the {way} "
                f"edge, and the label is from 0 to {label:g} mm."
            )


def _check_run(
    name: str, way: str, what: str, count: int, margin: float, pitch: float, label: float,
    page: float,
) -> None:  # fmt: skip
    if count > 1 and pitch < label - SLACK_MM:
        raise StockError(
            f"Stock {name}: labels {label:g} mm {way} overlap at a pitch of {pitch:g} mm."
        )
    used = margin + (count - 1) * pitch + label
    if used > page + SLACK_MM:
        raise StockError(
            f"Stock {name}: {count} {what} do not close on the page: {margin:g} + {count - 1} × "
            f"{pitch:g} + {label:g} = {used:g} mm, and the page is {page:g} mm {way}."
        )
