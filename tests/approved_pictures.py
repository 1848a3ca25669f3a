"""Pictures of pages that were looked at and found good; a page that looks otherwise is reported.

`TAGBENCH_APPROVE=1` writes them anew; look at each before it is committed.
"""

from __future__ import annotations

import os
from pathlib import Path

from PIL import Image, ImageChops

BLOCK = 8
"""Pixels; differences are compared by the mean of such squares, so that a renderer's edges and
fonts' hinting do not count, and a word that moved does."""
MOST_DIFFERENCE = 70
"""Shades (of 255) that the mean of a square may differ."""


def matches_approved(page: Image.Image, path: Path) -> str:
    """What is wrong with the look of a page against its approved picture; empty when nothing is."""
    grey = page.convert("L")
    if os.environ.get("TAGBENCH_APPROVE") == "1":
        path.parent.mkdir(exist_ok=True)
        grey.quantize(8).save(path, optimize=True)
        return ""
    if not path.exists():
        return f"{path.name} was never approved"
    with Image.open(path) as approved:
        known = approved.convert("L")
    if max(abs(grey.width - known.width), abs(grey.height - known.height)) > 1:
        return f"{path.name}: {grey.size} now, {known.size} when it was approved"
    apart = ImageChops.difference(grey.resize(known.size), known).reduce(BLOCK)
    worst = apart.getextrema()[1]
    assert isinstance(worst, int | float)
    if worst > MOST_DIFFERENCE:
        return f"{path.name}: a square differs by {worst} shades"
    return ""
