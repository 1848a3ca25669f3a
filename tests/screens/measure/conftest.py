"""Screens drawn to a folder that a person looks at, when TAGBENCH_SHOTS names one."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.screens.driver import ScreenDriver


@pytest.fixture
def shoot() -> Callable[[ScreenDriver, str], None]:
    """Keeps what is shown as an SVG of that name."""

    def kept(driver: ScreenDriver, name: str) -> None:
        folder = os.environ.get("TAGBENCH_SHOTS")
        if folder:
            size = driver.app.size
            file = Path(folder) / f"{name}-{size.width}x{size.height}.svg"
            file.write_text(driver.app.export_screenshot())

    return kept
