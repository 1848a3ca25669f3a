"""Whether a request comes from our own pages, and whether a person opened it."""

from __future__ import annotations

from aiohttp import web

from tagbench.phone.errors import FORGED, PageError


def check_origin(request: web.Request) -> None:
    """Refuses a change that a page of another site sends (Fetch Metadata, RFC 6454).

    Browsers leave both headers out only where no page stands behind the request; the form's
    token is asked for in any case.
    """
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    origin = request.headers.get("Origin")
    own = f"{request.scheme}://{request.headers.get('Host', '')}".casefold()
    if site not in ("same-origin", "none") or not (origin is None or origin.casefold() == own):
        raise PageError(403, FORGED)


def was_opened_by_hand(request: web.Request) -> bool:
    """Whether a person opened this page, and no other site, preview or prefetch did."""
    headers = request.headers
    return (
        request.method == "GET"
        and headers.get("Sec-Fetch-Site", "none") in ("none", "same-origin")
        and headers.get("Sec-Fetch-Dest", "document") == "document"
        and not any(name in headers for name in ("Purpose", "Sec-Purpose", "X-Moz"))
    )
