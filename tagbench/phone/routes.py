"""What a path of the phone page asks for. Nothing in a path ever becomes a file name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

Name = Literal["next", "find", "pair", "tag", "photo", "care", "fit", "short", "photos", "start"]

_WORD = re.compile(r"\w[\w\-. ]{0,59}")
_SECRET = re.compile(r"[A-Za-z0-9_-]{1,64}")
_NUMBER = re.compile(r"[0-9]{1,4}")
_DEEDS: dict[str, Name] = {
    "care": "care",
    "fit": "fit",
    "short": "short",
    "photos": "photos",
    "start": "start",
}


@dataclass(frozen=True)
class Route:
    """A path that the phone page knows."""

    name: Name
    """What is asked for."""
    code: str = ""
    """The tag's code as it stands in the path, not yet read."""
    item: str = ""
    """Number of the photo, or the secret of a pairing link."""


def route(path: str) -> Route | None:
    """The route of a decoded path; None when it is none of ours."""
    steps = path.strip("/").split("/")
    match steps:
        case [""]:
            return Route("next")
        case [word] if word.casefold() == "find":
            return Route("find")
        case [word, secret] if word.casefold() == "pair" and _SECRET.fullmatch(secret):
            return Route("pair", item=secret)
        case [code] if _WORD.fullmatch(code):
            return Route("tag", code)
        case [code, deed] if _WORD.fullmatch(code) and deed in _DEEDS:
            return Route(_DEEDS[deed], code)
        case [code, "photo", number] if _WORD.fullmatch(code) and _NUMBER.fullmatch(number):
            return Route("photo", code, number)
    return None
