"""The pages as text: one set of templates, everything put into them is escaped."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from aiohttp import web
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape
from multidict import CIMultiDict

from tagbench.phone.guard import armour
from tagbench.phone.pictures import formats

FOLDER = Path(__file__).parent / "templates"
STYLE = (FOLDER / "style.css").read_text(encoding="utf-8")
ARMOUR = armour(STYLE)
"""Headers that every answer of ours is made with."""
_OF_A_PAGE = CIMultiDict({**ARMOUR, "Content-Type": "text/html; charset=utf-8"})
_MIME = {"JPEG": "image/jpeg", "PNG": "image/png", "HEIF": "image/heic"}
_CODE = re.compile(r"\b[A-Z0-9]{1,3}-[0-9]{3,}-[0-9A-Z]\b")

_environment = Environment(
    loader=FileSystemLoader(FOLDER),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    auto_reload=False,
)
_environment.globals.update(
    style=Markup(STYLE),
    accepted=",".join(_MIME[one] for one in formats() if one in _MIME),
    said="",
    refused="",
)


def _coded(text: str) -> Markup:
    """Text with the codes in it as links that are not broken over two lines."""
    link = r'<a class="c" href="/\g<0>">\g<0></a>'
    return Markup(_CODE.sub(link, str(escape(text))))


_environment.filters["coded"] = _coded


def render(template: str, **shown: Any) -> str:
    """A page as text."""
    return _environment.get_template(template).render(**shown)


def page(text: str, status: int = 200) -> web.Response:
    """A page as an answer."""
    return web.Response(body=text.encode(), status=status, headers=_OF_A_PAGE)


def told(status: int, sentence: str, *, paired: bool, likely: tuple[str, ...] = ()) -> web.Response:
    """A page that says why there is nothing else to see."""
    heading = {404: "Not here", 409: "Not done"}.get(status, "That did not work")
    shown = {"heading": heading, "sentence": sentence, "paired": paired, "likely": likely}
    return page(render("told.html", **shown), status)


def go_to(path: str) -> web.Response:
    """Sends the phone on to another of our pages."""
    return web.Response(status=303, headers={**ARMOUR, "Location": path})
