"""Sessions: which paired phone asks, by the token in its cookie, and the token in its forms."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count

from aiohttp import web

from tagbench.records import Phone

COOKIE = "tagbench_phone"
COOKIE_SECONDS = 400 * 24 * 3600
"""How long a browser keeps the cookie; 400 days is the most that browsers allow (RFC 6265bis)."""
_NONCE = 16
"""Hexadecimal digits that all forms of one page have in common."""
_UNSIGNED = _NONCE + 4
"""With the number of the form on its page."""
_TOKEN = re.compile(rf"(?:^|;)\s*{COOKIE}=\"?([A-Za-z0-9_-]{{43}})\"?\s*(?:;|$)")


@dataclass(frozen=True)
class Session:
    """A paired phone that makes a request."""

    phone: Phone
    """Which phone."""
    token: str
    """The secret in its cookie; it is never written down."""

    def form_tokens(self) -> Iterator[str]:
        """What the forms of one page must carry, another for each: no other page can send them
        for it, and each is done once however often it is sent.

        They follow from the token of the phone and do not give it away.
        """
        nonce = secrets.token_hex(_NONCE // 2)
        for number in count():
            yield self._signed(f"{nonce}{number:04x}")

    def gave(self, form_token: str) -> bool:
        """Whether this is the token of a form that was made for this phone."""
        signed = self._signed(form_token[:_UNSIGNED])
        return hmac.compare_digest(signed.encode(), form_token.encode())

    def _signed(self, unsigned: str) -> str:
        about = f"tagbench forms {unsigned}".encode()
        return unsigned + hmac.digest(self.token.encode(), about, "sha256").hex()


_KEY: web.RequestKey[Session] = web.RequestKey("session", Session)


def new_token() -> str:
    """A token for a newly paired phone: 256 random bits."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """SHA-256 of a token, hexadecimal. The token is random, so it needs no salt."""
    return hashlib.sha256(token.encode()).hexdigest()


def token_in(cookies: Iterable[str]) -> str:
    """The token in the Cookie headers; empty without one that could be ours."""
    found = _TOKEN.search(";".join(cookies))
    return found[1] if found else ""


def find_session(token: str, phones: Mapping[str, Phone]) -> Session | None:
    """The session of the paired phone with that token; None for a stranger."""
    wanted = token_hash(token)
    for phone in phones.values():
        if hmac.compare_digest(phone.token_hash, wanted):
            return Session(phone, token)
    return None


def keep_session(request: web.Request, session: Session) -> None:
    """Keeps the session with its request."""
    request[_KEY] = session


def session_of(request: web.Request) -> Session:
    """The session of a request that has passed the middleware."""
    return request[_KEY]


def name_of(request: web.Request) -> str:
    """Who makes a request, as the log names them."""
    session = request.get(_KEY)
    return f"the phone {session.phone.name}" if session else f"a stranger at {request.remote}"


def is_paired(request: web.Request) -> bool:
    """Whether a request comes from a paired phone."""
    return _KEY in request


def give_token(response: web.StreamResponse, token: str) -> None:
    """Sets the cookie. Lax: a camera app opens the page from outside the browser.

    It is not kept to encrypted pages, since the symbols on the tags open plain ones.
    """
    response.set_cookie(
        COOKIE, token, max_age=COOKIE_SECONDS, path="/", httponly=True, samesite="Lax"
    )


def device_kind(agent: str) -> str:
    """The kind of device, from the words that browsers put into `User-Agent` for it."""
    return "tablet" if "Tablet" in agent else "phone" if "Mobile" in agent else "computer"
