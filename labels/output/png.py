"""Pages as 1-bit PNG pictures with their resolution, for label printers that take pictures."""

from pathlib import Path

from PIL import Image, ImageDraw

from labels.face.drawing import BLACK, WHITE
from labels.output.correction import NONE, Correction
from labels.output.output_file import output_file
from labels.stock.sheet import Page


def page_image(page: Page, dots_per_mm: float, correction: Correction = NONE) -> Image.Image:
    """The whole page in dots. A correction moves the labels by whole dots and never resizes
    them, so that every module stays exact."""
    size = round(page.width * dots_per_mm), round(page.height * dots_per_mm)
    image = Image.new("1", size, WHITE)
    for placed in page.placed:
        box = correction.box(placed.box)
        image.paste(
            placed.drawing.image(), (round(box.x * dots_per_mm), round(box.y * dots_per_mm))
        )
    draw = ImageDraw.Draw(image)
    for stroke in map(correction.stroke, page.strokes):
        ends = [round(value * dots_per_mm) for value in stroke[:4]]
        draw.line(ends, fill=BLACK, width=max(1, round(stroke.thick * dots_per_mm)))
    return image


def write_png(image: Image.Image, path: Path, dots_per_mm: float) -> None:
    """Write one picture, with its dots per inch."""
    dots_per_inch = dots_per_mm * 25.4
    with output_file(path) as stream:
        image.save(stream, format="PNG", dpi=(dots_per_inch, dots_per_inch))


def page_file(path: Path, number: int, of: int) -> Path:
    """`tags.png` for a single page, else `tags-01.png`, `tags-02.png` and so on."""
    if of == 1:
        return path
    return path.with_name(f"{path.stem}-{number:0{max(2, len(str(of)))}d}{path.suffix}")
