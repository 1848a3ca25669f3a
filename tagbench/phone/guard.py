"""What every request must pass, and what every answer carries."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Collection

from aiohttp import web
from multidict import CIMultiDict

from tagbench.phone.addresses import split_host
from tagbench.phone.page_error import FORGED, PageError
from tagbench.phone.visits import Visit

READING = frozenset({"GET", "HEAD"})


def check_host(request: web.BaseRequest, names: Collection[str], port: int) -> None:
    """Refuses a request that calls this server by a name that is not its own.

    The address that the phone connected to is always its own, also when the router has given
    out a new one since the start.
    """
    given = request.headers.getall("Host", [])
    visit = request.protocol
    assert isinstance(visit, Visit)
    if len(given) == 1 and given[0] == visit.called:
        return
    host, asked = split_host(given[0]) if len(given) == 1 else ("", 0)
    if asked != port or not (host in names or host == _reached_at(request)):
        raise PageError(421, "This is not the address of the bench: scan the tag again.")
    visit.called = given[0]


def _reached_at(request: web.BaseRequest) -> str:
    """The address of this computer that the phone has connected to."""
    here = request.get_extra_info("sockname")
    return str(here[0]) if here else ""


def check_origin(request: web.BaseRequest) -> None:
    """Refuses a change that a page of another site sends (Fetch Metadata, RFC 6454).

    Browsers leave both headers out only where no page stands behind the request; the form's
    token is asked for in any case.
    """
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    origin = request.headers.get("Origin")
    if site not in ("same-origin", "none") or not (origin is None or _is_own(origin, request)):
        raise PageError(403, FORGED)


def _is_own(origin: str, request: web.BaseRequest) -> bool:
    return origin.casefold() == f"http://{request.headers.get('Host', '')}".casefold()


def was_opened_by_hand(request: web.BaseRequest) -> bool:
    """Whether a person opened this page, and no other site, preview or prefetch did."""
    headers = request.headers
    return (
        request.method == "GET"
        and headers.get("Sec-Fetch-Site", "none") in ("none", "same-origin")
        and headers.get("Sec-Fetch-Dest", "document") == "document"
        and not any(name in headers for name in ("Purpose", "Sec-Purpose", "X-Moz"))
    )


def armour(style: str) -> CIMultiDict[str]:
    """The headers of every answer; only the style sheet of our own pages may be used."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return CIMultiDict(
        {
            "Content-Security-Policy": (
                f"default-src 'none'; style-src 'sha256-{digest}'; img-src 'self'; "
                "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
            ),
            "X-Content-Type-Options": "nosniff",
            "X-Frame-Options": "DENY",
            "Referrer-Policy": "same-origin",
            "Cross-Origin-Resource-Policy": "same-origin",
            "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
            "X-Robots-Tag": "noindex",
            "Server": "",
            "Cache-Control": "no-store",
        }
    )
