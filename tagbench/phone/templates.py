"""The pages as text: one set of templates, everything put into them is escaped."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Any

from aiohttp import web
from markupsafe import Markup

from tagbench.phone.pictures import formats
from tagbench.phone.sessions import Session
from tagbench.reports.html import template_environment

FOLDER = Path(__file__).parent / "templates"
STYLE = (FOLDER / "style.css").read_text(encoding="utf-8")
CAMERA_SCRIPT = (FOLDER / "camera.js").read_text(encoding="utf-8")
ANY_TOKEN = secrets.token_hex(32)
"""Stands in a page that is kept for all phones, where each one's own form token belongs."""
ANY_TOP = f"<!--{secrets.token_hex(16)}-->"
"""Stands there where what one phone has just done belongs."""
_MIME = {"JPEG": "image/jpeg", "PNG": "image/png", "HEIF": "image/heic"}

# A code in a sentence is a link, not broken over two lines.
_environment = template_environment(FOLDER, r'<a class="c" href="/\g<0>">\g<0></a>')
_environment.globals.update(
    style=Markup(STYLE),
    script=Markup(CAMERA_SCRIPT),
    accepted=",".join(_MIME[one] for one in formats() if one in _MIME),
    form_token=ANY_TOKEN,
    top=Markup(ANY_TOP),
    refused="",
)


for _name in _environment.list_templates(["html"]):
    _environment.get_template(_name)  # compiled now, so that no phone waits for it


def render(template: str, **shown: Any) -> str:
    """A page as text, with `ANY_TOKEN` and `ANY_TOP` in it."""
    return _environment.get_template(template).render(**shown)


def page(text: str, status: int = 200) -> web.Response:
    """A page as an answer."""
    return web.Response(
        body=text.encode(), status=status, content_type="text/html", charset="utf-8"
    )


def page_for(session: Session, text: str, status: int = 200, top: str = "") -> web.Response:
    """A page for one phone; `top` is what it is told first, as markup."""
    return page(text.replace(ANY_TOP, top).replace(ANY_TOKEN, session.form_token), status)


def message_page(
    status: int, sentence: str, session: Session, *, likely: tuple[str, ...] = ()
) -> web.Response:
    """A page that says why there is nothing else to see, and how to go on."""
    heading = {404: "Not here", 409: "Not done", 503: "Busy"}.get(status, "That did not work")
    text = render("told.html", heading=heading, sentence=sentence, likely=likely)
    return page_for(session, text, status)


def go_to(path: str) -> web.Response:
    """Sends the phone on to another of our pages."""
    return web.Response(status=303, headers={"Location": path})
