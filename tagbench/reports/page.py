"""A sheet as one self-contained page that prints well: no script, nothing from elsewhere."""

from __future__ import annotations

import re
from pathlib import Path

from jinja2 import Environment
from markupsafe import Markup

from tagbench.errors import BookError
from tagbench.reports.html import template_environment
from tagbench.reports.paper.blocks import Sheet
from tagbench.reports.photo_data import photo_data
from tagbench.reports.request import ReportRequest
from tagbench.reports.symbol_svg import symbol_svg
from tagbench.rules.describe.phrases import day, moment

FOLDER = Path(__file__).parent / "templates"
PAPER = {"a4": "A4", "letter": "letter"}
_ON_PAPER = (
    (re.compile("_{4,}"), '<span class="blank"></span>'),
    (re.compile(r"\[ \] "), '<span class="box"></span>'),
    (re.compile("\n"), "<br>"),
)
"""What words hold that is for a pen, or breaks a line → how it is drawn."""


def render(sheet: Sheet, request: ReportRequest) -> str:
    """The sheet as HTML; everything put into the template is escaped."""
    style = Markup((FOLDER / "print.css").read_text(encoding="utf-8"))
    style = style.replace("size: A4", f"size: {PAPER.get(request.paper, request.paper)}")
    template = _environment(request).get_template("sheet.html")
    return template.render(sheet=sheet, printed=request.printed, style=style)


def _data_or_nothing(path: Path) -> str:
    """The picture, or nothing where it cannot be read: its place says so, the rest is printed."""
    try:
        return photo_data(path)
    except BookError:
        return ""


def _environment(request: ReportRequest) -> Environment:
    # A code is not broken over two lines.
    pages = template_environment(FOLDER, r'<span class="whole">\g<0></span>')
    escaped = pages.filters["coded"]

    def coded(words: str) -> Markup:
        drawn = str(escaped(words))
        for pattern, markup in _ON_PAPER:
            drawn = pattern.sub(markup, drawn)
        return Markup(drawn)

    pages.filters.update(coded=coded, day=day, moment=moment, photo=_data_or_nothing)
    pages.filters["kind"] = lambda block: type(block).__name__
    # The drawing is made here of a checked code and so needs no escaping.
    pages.filters["symbol"] = lambda code: Markup(symbol_svg(code, request.address))
    return pages
