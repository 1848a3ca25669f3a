"""Pictures of the invented three-wheeler, drawn by the code here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from PIL import Image

from demo.drawings.chain_drive import chain_drive
from demo.drawings.crankcase_cover import crankcase_cover
from demo.drawings.front_brake import front_brake

PICTURES: Mapping[str, Callable[[], Image.Image]] = MappingProxyType(
    {
        "front_brake": front_brake,
        "chain_drive": chain_drive,
        "crankcase_cover": crankcase_cover,
    }
)
"""Name → what draws it, 1200 × 900 dots."""


def save_picture(name: str, folder: Path) -> Path:
    """Draws a picture into `folder` as JPEG and gives the path of the file."""
    path = folder / f"{name}.jpg"
    PICTURES[name]().save(path, quality=90, optimize=True)
    return path
