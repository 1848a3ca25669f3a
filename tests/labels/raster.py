"""Looking at a finished PDF: rasterised by pypdfium2, which is not what wrote it."""

from pathlib import Path

import pypdfium2
from PIL import Image


def pages(path: Path, dots_per_inch: float = 300) -> list[Image.Image]:
    """The pages as grey pictures."""
    # A hair less, or the renderer rounds a page of whole dots up to one more and stretches it.
    scale = dots_per_inch / 72 * (1 - 1e-7)
    document = pypdfium2.PdfDocument(path)
    try:
        return [
            document[at].render(scale=scale, grayscale=True).to_pil() for at in range(len(document))
        ]
    finally:
        document.close()


def page_sizes_mm(path: Path) -> list[tuple[float, float]]:
    """Width and height of each page in mm."""
    document = pypdfium2.PdfDocument(path)
    try:
        sizes = [document[at].get_size() for at in range(len(document))]
    finally:
        document.close()
    return [(width / 72 * 25.4, height / 72 * 25.4) for width, height in sizes]
