"""The security headers of every answer."""

from __future__ import annotations

import base64
import hashlib

from aiohttp import web

from tagbench.phone.templates import CAMERA_SCRIPT, STYLE


def _hash_of(text: str) -> str:
    """A source that a content security policy allows by its digest (W3C CSP 3)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


HEADERS = {
    # Only the style sheet of our own pages may be used.
    "Content-Security-Policy": (
        f"default-src 'none'; style-src {_hash_of(STYLE)}; img-src 'self'; "
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
"""The headers of every answer, unless it says otherwise itself."""


CAMERA_HEADERS = {
    "Content-Security-Policy": (
        f"default-src 'none'; style-src {_hash_of(STYLE)}; script-src {_hash_of(CAMERA_SCRIPT)}; "
        "img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
        "frame-ancestors 'none'"
    ),
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
"""The headers of the one page that has a script and may use the camera."""


async def set_headers(_: web.Request, response: web.StreamResponse) -> None:
    """A signal handler: puts `HEADERS` on an answer."""
    for name, value in HEADERS.items():
        if name == "Server" or name not in response.headers:
            response.headers[name] = value
