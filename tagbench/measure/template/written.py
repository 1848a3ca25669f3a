"""A traced gasket written to a file at its true size: PDF, SVG or DXF by the file's ending."""

from __future__ import annotations

from pathlib import Path

from tagbench.book.book import Book
from tagbench.book.operations.pages import print_page_set
from tagbench.book.operations.printing import check_target
from tagbench.book.outside import write_file
from tagbench.measure.extra import HONEST
from tagbench.measure.mat import Paper
from tagbench.measure.template.pages import DOTS_PER_MM, template_pages
from tagbench.measure.template.vector import dxf_text, svg_text
from tagbench.records import Gasket, GasketOutline

ENDINGS = (".pdf", ".svg", ".dxf")


def write_template(
    book: Book, gasket: Gasket, title: str, target: Path, paper: Paper = "a4"
) -> None:
    """Writes it; BadInput for another ending or a folder that is not there."""
    check_target(target, ENDINGS)
    kind = target.suffix.casefold()
    if kind == ".pdf":
        told = (where_from(gasket), HONEST)
        pages = template_pages(gasket, title, told, paper)
        print_page_set(book, pages, DOTS_PER_MM, target=target, title=title)
        return
    text = svg_text(gasket, title) if kind == ".svg" else dxf_text(gasket)
    write_file(target, text.encode("utf-8"))


def where_from(gasket: Gasket) -> str:
    """The picture it comes from, what its scale is from, and what was changed by hand."""
    outline = gasket.outline
    assert outline is not None
    changed = f" Changed by hand: {'; '.join(outline.adjusted)}." if outline.adjusted else ""
    return f"From {outline.picture}, {how_scaled(outline)}.{changed}"


def how_scaled(outline: GasketOutline) -> str:
    """What its scale is from: `mat within 0.05 mm`, or `a flatbed scan`, which has no slant."""
    if outline.source == "mat":
        return f"mat within {outline.residual_mm:.2f} mm"
    return "a flatbed scan"
