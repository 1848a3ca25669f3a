"""The pictures of the README are taken from the screens as they are."""

from __future__ import annotations

from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from demo.take_pictures import main
from tagbench.screens.frame.registry import SCREENS


@pytest.mark.slow  # the look of each screen is tested in tests/screens/app/test_look.py
def test_every_screen_is_shown_over_the_demo_and_the_sheet_can_be_read(tmp_path: Path) -> None:
    main(tmp_path)
    shown = {path.stem: path.read_text().replace("&#160;", " ") for path in tmp_path.glob("*.svg")}
    assert set(shown) == {place.name for place in SCREENS if place.by_name} | {"part"}
    assert all("Tarnbrook Packman" in text for text in shown.values())
    assert "Backing plate screws" in shown["find"]
    assert "in bag Plate screws, in box Biscuit tin" in shown["part"]
    with Image.open(tmp_path / "sheet.png") as sheet:
        read = {found.text for found in zxingcpp.read_barcodes(sheet.convert("L"))}
    assert len(read) == 12
