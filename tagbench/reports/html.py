"""How pages are made from templates, for reports and for the phone page alike."""

from __future__ import annotations

import re
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

CODE = re.compile(r"\b[A-Z0-9]{1,3}-[0-9]{3,}-[0-9A-Z]\b")
"""What may be the code of a tag, in a sentence."""


def template_environment(folder: Path, code_markup: str) -> Environment:
    """The templates of a folder; everything put into them is escaped, nothing may be left out.

    The filter `coded` puts `code_markup` round each code in a text, with `\\g<0>` for the code.
    """
    environment = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters["coded"] = lambda words: Markup(CODE.sub(code_markup, str(escape(words))))
    return environment
