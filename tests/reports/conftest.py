"""A small machine with something of everything that a report shows."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from tagbench.records import Bin, Machine, Photo, Setting, Want, Wiring
from tagbench.reports.request import ReportRequest
from tagbench.rules.wiring import read_pins
from tagbench.trade.fasteners.text import parse_fasteners
from tests.rules.machines import MARK, NOON, clean, code, tables

NASTY = '<script>alert("x")</script> & Söhne'
"""A name as nobody should type it, to see that it stays text."""


@pytest.fixture
def photos(tmp_path: Path) -> Path:
    """A folder with one large picture."""
    folder = tmp_path / "photos"
    folder.mkdir()
    Image.new("RGB", (1600, 1200), "navy").save(folder / "plate.jpg")
    return folder


@pytest.fixture
def asking() -> ReportRequest:
    """Nut, wheel and plate; the wheel is snug, the plate held up, a want open, a setting open."""
    nut = parse_fasteners("castle nut M12x1.25 + cotter pin 3.2x32, 45-55 N·m")
    screws = parse_fasteners("4x M5x0.8x12 pan")
    made = tables(
        [
            clean(1, name="axle nut", assembly="Front wheel", fasteners=nut),
            clean(2, name=NASTY, assembly="Front wheel", behind=[1], fitted="snug"),
            clean(
                3,
                name="brake plate",
                assembly="Front wheel / Brake",
                position="left",
                behind=[2],
                care=(),
                sits_how="dot up",
                bin="BIN-001-K",
                fasteners=screws,
                wiring=Wiring(pins=read_pins("1 BN brake lamp switch (diagram GN); 2 BK earth")),
                photos=(Photo(file="plate.jpg", caption="as it came off", moment="before"),),
            ),
        ],
        machines={MARK: Machine(mark=MARK, name="Tarnbrook Packman")},
        bins={"BIN-001-K": Bin(code="BIN-001-K", name="Front brake 1")},
        wants={
            "1": Want(id=1, machine=MARK, what="felt seal", parts=(code(3),), price="2.50"),
            "2": Want(
                id=2,
                machine=MARK,
                what="tube",
                parts=(code(1),),
                ordered=date(2024, 4, 1),
                due=date(2024, 4, 20),
            ),
        },
        settings={
            "1": Setting(
                id=1, machine=MARK, what="brake play", low=3.0, high=5.0, note="at the lever"
            )
        },
    )
    return ReportRequest(tables=made, machine=made.machines[MARK], printed=NOON)
