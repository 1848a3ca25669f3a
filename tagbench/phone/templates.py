"""The pages as text: one set of templates, everything put into them is escaped."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from aiohttp import web
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from tagbench.phone.guard import Armour
from tagbench.phone.pictures import formats

FOLDER = Path(__file__).parent / "templates"
STYLE = (FOLDER / "style.css").read_text(encoding="utf-8")
ARMOUR = Armour(STYLE)
_MIME = {"JPEG": "image/jpeg", "PNG": "image/png", "HEIF": "image/heic"}

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


def render(template: str, **shown: Any) -> str:
    """A page as text."""
    return _environment.get_template(template).render(**shown)


def page(text: str, status: int = 200) -> web.Response:
    """A page as an answer."""
    return web.Response(text=text, status=status, content_type="text/html")


def told(status: int, sentence: str, *, paired: bool, likely: tuple[str, ...] = ()) -> web.Response:
    """A page that says why there is nothing else to see."""
    heading = {404: "Not here", 409: "Not done"}.get(status, "That did not work")
    shown = {"heading": heading, "sentence": sentence, "paired": paired, "likely": likely}
    return page(render("told.html", **shown), status)


def go_to(path: str) -> web.Response:
    """Sends the phone on to another of our pages."""
    return web.Response(status=303, headers={"Location": path})
