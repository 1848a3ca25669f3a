"""The pages as text: one set of templates, everything put into them is escaped."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import Any

from aiohttp import web
from jinja2 import pass_context
from jinja2.runtime import Context
from markupsafe import Markup, escape

from tagbench.phone.held_photos import NO_PHOTOS
from tagbench.phone.pictures import formats
from tagbench.phone.sessions import Session
from tagbench.reports.html import CODE, template_environment

FOLDER = Path(__file__).parent / "templates"
STYLE = (FOLDER / "style.css").read_text(encoding="utf-8")
CAMERA_SCRIPT = (FOLDER / "camera.js").read_text(encoding="utf-8")
ANY_TOKEN = secrets.token_hex(32)
"""Stands in a page that is kept for all phones, where the own token of each form belongs."""
ANY_TOP = f"<!--{secrets.token_hex(16)}-->"
"""Stands there where what one phone has just done belongs."""
_MIME = {"JPEG": "image/jpeg", "PNG": "image/png", "HEIF": "image/heic"}

_RANGE = re.compile(r"(?<![\w-])[0-9][0-9.,/]*[-–][0-9][0-9.,/]*")
"""`21-23`, `1/4-20`: browsers break a line behind the hyphen."""


def _one_line(found: re.Match[str]) -> str:
    return f'<span class="n">{found[0]}</span>'


def _marked(words: object, code: Callable[[re.Match[str]], str]) -> Markup:
    """A sentence whose ranges stay on one line, its codes as `code` marks them."""
    return Markup(CODE.sub(code, _RANGE.sub(_one_line, str(escape(words)))))


def _unbroken(words: object) -> Markup:
    """A sentence whose ranges and codes stay on one line."""
    return _marked(words, _one_line)


@pass_context
def _coded(context: Context, words: object) -> Markup:
    """The same, with codes that are links where `known` of the page says that they lead on."""

    def marked(found: re.Match[str]) -> str:
        link = f'<a class="c" href="/{found[0]}">{found[0]}</a>'
        return link if context["known"](found[0]) else _one_line(found)

    return _marked(words, marked)


_environment = template_environment(FOLDER, "")
_environment.filters.update(coded=_coded, unbroken=_unbroken)
_environment.globals.update(
    style=Markup(STYLE),
    script=Markup(CAMERA_SCRIPT),
    accepted=",".join(_MIME[one] for one in formats() if one in _MIME),
    form_token=ANY_TOKEN,
    top=Markup(ANY_TOP),
    refused="",
    on_top=True,
    at="",
    typed={},
    held=NO_PHOTOS,
    known=lambda _: False,
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
    first, *others = text.replace(ANY_TOP, top).split(ANY_TOKEN)
    tokens = session.form_tokens()
    return page(first + "".join(next(tokens) + other for other in others), status)


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
