"""Who is asking: the token in the phone's cookie, and the token in its forms."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from aiohttp import web

from tagbench.records import Phone

COOKIE = "tagbench_phone"
COOKIE_SECONDS = 400 * 24 * 3600
"""How long a browser keeps the cookie; 400 days is the most that browsers allow (RFC 6265bis)."""
_TOKEN = re.compile(rf"(?:^|;)\s*{COOKIE}=\"?([A-Za-z0-9_-]{{43}})\"?\s*(?:;|$)")


@dataclass(frozen=True)
class Visitor:
    """A paired phone that makes a request."""

    phone: Phone
    """Which phone."""
    form_token: str
    """What its forms must carry, so that no other page can send them for it."""


def new_token() -> str:
    """A token for a newly paired phone: 256 random bits."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """SHA-256 of a token, hexadecimal. The token is random, so it needs no salt."""
    return hashlib.sha256(token.encode()).hexdigest()


def form_token(token: str) -> str:
    """The form token that belongs to a phone's token; the one does not give away the other."""
    return hmac.digest(token.encode(), b"tagbench forms", "sha256").hex()


def visitor(cookies: Iterable[str], phones: Mapping[str, Phone]) -> Visitor | None:
    """The paired phone whose token is in the Cookie headers; None for a stranger."""
    found = _TOKEN.search(";".join(cookies))
    if found is None:
        return None
    wanted = token_hash(found[1])
    for phone in phones.values():
        if hmac.compare_digest(phone.token_hash, wanted):
            return Visitor(phone, form_token(found[1]))
    return None


def give_token(response: web.StreamResponse, token: str) -> None:
    """Sets the cookie. Lax: a camera app opens the page from outside the browser."""
    response.set_cookie(
        COOKIE, token, max_age=COOKIE_SECONDS, path="/", httponly=True, samesite="Lax"
    )


def kind_of(agent: str) -> str:
    """The kind of device, from the words that browsers put into `User-Agent` for it."""
    return "tablet" if "Tablet" in agent else "phone" if "Mobile" in agent else "computer"
