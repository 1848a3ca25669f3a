"""Reports as one self-contained page that prints well: no script, nothing from elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from tagbench.errors import BookError
from tagbench.reports.html import template_environment
from tagbench.reports.photo_data import photo_data
from tagbench.reports.request import ReportRequest
from tagbench.reports.symbol_svg import symbol_svg
from tagbench.rules.care.cautions import DEFER_WHOLE
from tagbench.rules.describe.fasteners import torque_words
from tagbench.rules.describe.phrases import came_from, counted, day, moment, named, plural
from tagbench.rules.open_questions import spelled

FOLDER = Path(__file__).parent / "templates"


def render(template: str, request: ReportRequest, **shown: Any) -> str:
    """A template filled in; everything put into it is escaped."""
    pages = _environment(request)
    style = Markup((FOLDER / "print.css").read_text(encoding="utf-8"))
    style = style.replace("size: A4", f"size: {pages.globals['paper']}")
    return pages.get_template(template).render(
        machine=request.machine, printed=request.printed, style=style, request=request, **shown
    )


def _data_or_nothing(path: Path) -> str:
    """The picture, or nothing where it cannot be read: its place says so, the rest is printed."""
    try:
        return photo_data(path)
    except BookError:
        return ""


def _environment(request: ReportRequest) -> Environment:
    # A code is not broken over two lines.
    pages = template_environment(FOLDER, r'<span class="whole">\g<0></span>')
    pages.filters["spell"] = spelled
    pages.filters["torque"] = lambda torque: torque_words(torque, request.machine.units.torque)
    pages.filters.update(
        day=day, moment=moment, plural=plural, counted=counted, named=named, came_from=came_from
    )
    pages.filters["photo"] = _data_or_nothing
    pages.filters["kind"] = lambda block: type(block).__name__
    pages.globals["paper"] = {"a4": "A4", "letter": "letter"}.get(request.paper, request.paper)
    # The drawing is made here of a checked code and so needs no escaping.
    pages.filters["symbol"] = lambda code: Markup(symbol_svg(code, request.address))
    pages.globals["defer"] = DEFER_WHOLE
    return pages
